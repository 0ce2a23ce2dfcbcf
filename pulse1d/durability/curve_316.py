"""Measured fatigue curves of steel 316H, read off as points, as anchor for its family."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pulse1d.durability.life_bounds import LIFE_LEAST, LIFE_MOST

ZERO_C = 273.15
RANGES = np.log10([0.003, 0.004, 0.006, 0.01, 0.02])
"""log10 of strain range [-]."""
CELSIUS = np.array([40.0, 425.0, 480.0, 650.0, 705.0])
CYCLES: NDArray[np.float64] = np.log10(
    [
        [1.1e6, 7.6e5, 2.5e5, 8.6e4, 4.4e4],
        [3.0e5, 2.0e5, 7.8e4, 2.8e4, 1.5e4],
        [6.0e4, 4.2e4, 1.9e4, 7.6e3, 3.9e3],
        [1.1e4, 8.0e3, 4.1e3, 2.0e3, 9.4e2],
        [1.7e3, 1.2e3, 690.0, 440.0, 170.0],
    ]
)
"""log10 of mean life by strain range (rows) and temperature (columns): mean curves of 316H,
Argonne National Laboratory, srlife, data/damage/316H.xml, evaluated to two digits."""


def life_316(strain_range: float, T: float) -> float:
    """Mean life of 316H: log N linear in log strain range, then linear in T.

    Parameters
    ----------
    strain_range : float   [-]
    T : float   [K]; beyond 40 .. 705 degC the end's curve
    Returns
    -------
    N : float   0.25 .. 1e9 [cycles]
    Limits      0.3 .. 2 %; beyond, each end's slope goes on: the true curve bends the other
                way, so the life told is too short there. Above 705 degC it is an upper bound.
    Source      Argonne National Laboratory, srlife, 316H.xml, points in this file
    """
    if strain_range <= 0.0:
        return LIFE_MOST
    x = np.log10(strain_range)
    i = int(np.clip(np.searchsorted(RANGES, x) - 1, 0, len(RANGES) - 2))
    share = (x - RANGES[i]) / (RANGES[i + 1] - RANGES[i])
    by_T = CYCLES[i] + share * (CYCLES[i + 1] - CYCLES[i])
    log_N = float(np.interp(T - ZERO_C, CELSIUS, by_T))
    return float(np.clip(10.0 ** min(log_N, 12.0), LIFE_LEAST, LIFE_MOST))


def above_316(T: float) -> bool:
    """Whether a temperature lies above the curves, so that they only bound the life.

    Parameters
    ----------
    T : float   [K]
    Returns
    -------
    above : bool   [-]
    Source      the last curve's temperature
    """
    return bool(T - ZERO_C > CELSIUS[-1])
