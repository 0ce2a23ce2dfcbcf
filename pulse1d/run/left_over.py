"""What a calibration has left of the doubts, applied to their samples."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.schema import Calibration, Correction

Array = NDArray[np.float64]


def calibrated_samples(z: Array, causes: Sequence[str], calibration: Calibration) -> Array:
    """Samples of the causes with what a calibration has left of their spread.

    Parameters
    ----------
    z : (samples, causes) array   Standard normal [-]
    causes : sequence of str   Keys of the columns [-]
    calibration : Calibration   Rows of it that name no cause here are passed over [-]
    Returns
    -------
    z : (samples, causes) array   About the corrected values, in prior standard deviations [-]
    """
    known = {c.cause: c for c in calibration.corrections}
    places = [k for k, cause in enumerate(causes) if cause in known]
    if not places:
        return z
    names = [causes[k] for k in places]
    z = z.copy()
    z[:, places] = z[:, places] @ root_of(names, known, calibration).T
    return z


def root_of(names: Sequence[str], known: dict[str, Correction], calibration: Calibration) -> Array:
    """Square root of the covariance that a calibration leaves of some causes.

    Parameters
    ----------
    names : sequence of str   Corrected causes [-]
    known : dict   Their corrections [-]
    calibration : Calibration   Its correlations are read [-]
    Returns
    -------
    root : (n, n) array   root @ root.T is the covariance [-]
    """
    tie = np.eye(len(names))
    for correlation in calibration.correlations:
        if all(name in names for name in correlation.between):
            i, j = (names.index(name) for name in correlation.between)
            tie[i, j] = tie[j, i] = correlation.r
    spread = np.array([known[name].spread for name in names])
    values, vectors = np.linalg.eigh(spread[:, None] * tie * spread)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))
