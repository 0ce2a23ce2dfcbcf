"""Many open paths at once, of any number of rows, one call into compiled code."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

from pulse1d.steady.path import solve_path

Array = NDArray[np.float64]


@njit(cache=True, parallel=True, error_model="numpy")
def solve_packed(rows, first, reverse, p0, T0, p_down, X, gas):
    """Mass flow of each path.

    Parameters
    ----------
    rows : (n, k) array   Steps of all paths, end to end [SI]
    first : (paths + 1,) array   Where each path starts [-]
    reverse : bool   Flow runs from the last row to the first [-]
    p0, T0, p_down, X : float   As in ``solve_path`` [Pa, K, Pa, -]
    gas : array   Mixture table [SI]
    Returns
    -------
    mdot, status : (paths,) arrays   As of ``solve_path`` [kg/s, -]
    Source      ``pulse1d.steady.path``
    """
    paths = first.shape[0] - 1
    mdot = np.empty(paths)
    status = np.empty(paths, dtype=np.int64)
    for k in prange(paths):
        found = solve_path(rows[first[k] : first[k + 1]], reverse, p0, T0, p_down, X, gas)
        mdot[k], status[k] = found[0], found[1]
    return mdot, status


def solve_many(
    paths: Sequence[Array], reverse: bool, p0: float, T0: float, p_down: float, gas: Array
) -> tuple[Array, NDArray[np.int64]]:
    """Mass flow of each path between the same two pressures.

    Parameters
    ----------
    paths : sequence of (n, k) arrays   Steps in port-to-outlet order [SI]
    reverse : bool   Flow runs from the last row to the first [-]
    p0, T0 : float   Stagnation state in front [Pa, K]
    p_down : float   Static pressure behind [Pa]
    gas : array   Mixture table [SI]
    Returns
    -------
    mdot, status : (paths,) arrays   Those of ``pulse1d.steady.path.solve_path`` [kg/s, -]
    """
    first = np.cumsum([0, *(len(rows) for rows in paths)])
    return solve_packed(np.concatenate(paths), first, reverse, p0, T0, p_down, 0.0, gas)
