"""A valve's lift and effective areas over a cycle, as tables of one value a degree."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pulse1d.cylinder.crank import CYCLE

Array = NDArray[np.float64]


def smooth_lift(theta: Array, opens: float, closes: float, most: float) -> Array:
    """Lift of a symmetric event without ramps.

    L = L_max (1 - z^2)^2,  z = -1 at opening to 1 at closing

    Parameters
    ----------
    theta : (n,) array   Crank angles [deg]
    opens, closes : float   Events; a closing below the opening is taken a cycle later [deg]
    most : float   Greatest lift [m]
    Returns
    -------
    lift : (n,) array   [m]
    Source      a polynomial with level ends, in place of a cam that is not known (judgement)
    """
    length = (closes - opens) % CYCLE
    z = 2.0 * ((theta - opens) % CYCLE) / length - 1.0
    return np.where(z < 1.0, most * (1.0 - z * z) ** 2, 0.0)


@njit(cache=True, error_model="numpy")
def area_at(table, theta):
    """A table of one value a degree at a crank angle, linear between.

    Parameters
    ----------
    table : (720,) array   From 0 degrees on [any]
    theta : float   Crank angle [deg]
    Returns
    -------
    value : float   [any]
    """
    at = theta % 720.0
    k = int(at)
    w = at - k
    return (1.0 - w) * table[k % 720] + w * table[(k + 1) % 720]
