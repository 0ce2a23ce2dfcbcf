"""Quantiles of samples and the share of their variance by cause."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

REST = "interaction of causes"


@dataclass(frozen=True)
class Band:
    """5, 50 and 95 % quantiles."""

    p5: float
    p50: float
    p95: float


def band(values: NDArray[np.float64]) -> Band | None:
    """The 5-95 % band of samples; failed samples are NaN and left out.

    Parameters
    ----------
    values : (n,) array   Samples [any]
    Returns
    -------
    band : Band or None   None when fewer than 20 samples are finite [any]
    Source      JCGM 101:2008
    """
    good = values[np.isfinite(values)]
    if len(good) < 20:
        return None
    return Band(*(float(q) for q in np.quantile(good, (0.05, 0.50, 0.95))))


def variance_shares(
    values: NDArray[np.float64], z: NDArray[np.float64], causes: Sequence[str]
) -> dict[str, float]:
    """First-order share of each cause in the variance, by linear regression on the samples.

    Parameters
    ----------
    values : (n,) array   Samples of an answer [any]
    z : (n, m) array   Samples of the causes [-]
    causes : sequence of str   Their keys [-]
    Returns
    -------
    shares : dict   Cause to share, largest first; what no single cause explains comes last under
        ``REST``; empty when too few samples are left or nothing varies [-]
    Source      standardised regression coefficients (Saltelli et al. 2008 ch. 1, from memory)
    """
    good = np.isfinite(values)
    y = values[good]
    if good.sum() < max(20, 2 * len(causes)) or np.var(y) == 0.0:
        return {}
    centred = z[good] - z[good].mean(axis=0)
    y = y - y.mean()
    covariance = centred.T @ y / len(y)
    slope = np.linalg.solve(centred.T @ centred / len(y), covariance)
    parts = np.maximum(slope * covariance / np.var(y), 0.0)
    order = np.argsort(-parts)
    shares = {causes[k]: float(parts[k]) for k in order}
    shares[REST] = float(max(1.0 - parts.sum(), 0.0))
    return shares
