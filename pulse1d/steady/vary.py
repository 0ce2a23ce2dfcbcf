"""A sample of the doubts on rows, compiled."""

from __future__ import annotations

import math

from numba import njit


@njit(cache=True, error_model="numpy")
def varied_rows(rows, effects, z):
    """Rows with one sample of every doubt applied.

    Parameters
    ----------
    rows : (n, k) array   Nominal steps [SI]
    effects : (m, 5) array   Cause, row, column, mode (0 ln, 1 add), size of one sigma [-]
    z : (causes,) array   Standard normal sample [-]
    Returns
    -------
    varied : (n, k) array   [SI]
    Source      sampling of stated bands (JCGM 101:2008)
    """
    varied = rows.copy()
    for j in range(effects.shape[0]):
        i, column = int(effects[j, 1]), int(effects[j, 2])
        change = effects[j, 4] * z[int(effects[j, 0])]
        if effects[j, 3] == 0.0:
            varied[i, column] *= math.exp(change)
        else:
            varied[i, column] += change
    return varied
