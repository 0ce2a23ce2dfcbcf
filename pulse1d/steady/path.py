"""One open path between two pressures: the mass flow that the depression drives through it.

A bench test of one port with the others blanked is a single path. Its mass flow is one unknown;
the exit static pressure falls steadily with it, so a bracketed secant in mdot^2 finds it from any
start, and the bracket's upper end tells a choked flow.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit, prange

from pulse1d.gas import state
from pulse1d.gas.relations import mass_number, stagnation_ratio
from pulse1d.losses.laws import A_1, A_2, DUCT, JET_FWD, JET_REV, LAW
from pulse1d.steady.march import march
from pulse1d.steady.vary import varied_rows

CONVERGED, CHOKED_FLOW, FAILED = 0, 1, 2
"""Status of a solution. CHOKED_FLOW is converged too: the flow cannot rise with the depression."""

TOLERANCE = 1e-10
"""Exit pressure error at convergence, as a part of the depression."""

MAX_MARCHES = 120


@njit(cache=True, error_model="numpy")
def largest_flow(rows, reverse, p0, T0, gas):
    """Sonic mass flow of the narrowest section: an upper bound of the path's flow.

    Parameters
    ----------
    rows : (n, k) array   Steps of the path [SI]
    reverse : bool   Flow runs from the last row to the first [-]
    p0, T0 : float   Stagnation state at the inlet [Pa, K]
    gas : array   Mixture table [SI]
    Returns
    -------
    mdot : float   Bound [kg/s]
    Source      NACA Report 1135, from memory
    """
    area = np.inf
    for row in rows:
        area = min(area, row[A_1], row[A_2])
        if row[LAW] != DUCT:
            area = min(area, row[JET_REV] if reverse else row[JET_FWD])
    gamma = state.gamma(T0 / 1.2, gas)
    return area * p0 * mass_number(1.0, gamma) / math.sqrt(gas[0] * T0)


@njit(cache=True, error_model="numpy")
def exit_error(rows, reverse, mdot, p0, T0, p_down, X, gas, shock_row, shock):
    """Exit static pressure above the receiver's, and the row that chokes (-1 for none).

    Parameters
    ----------
    rows, reverse, gas : as in ``march``
    mdot, p0, T0, p_down : float   Trial flow, inlet stagnation state, receiver [kg/s, Pa, K, Pa]
    X : float   Development length at the inlet [-]
    shock_row, shock : int, float   As in ``march`` [-]
    Returns
    -------
    error, choke_row : float, int   [Pa, -]
    Source      definition
    """
    p0_e, T0_e, _, M, _, choke = march(
        rows, 0, rows.shape[0], reverse, mdot, p0, T0, X, gas, shock_row, shock, np.empty((0, 9))
    )
    if choke >= 0:
        return -np.inf, choke
    gamma = state.gamma(T0_e / (1.0 + 0.2 * M * M), gas)
    return p0_e / stagnation_ratio(M, gamma) - p_down, -1


@njit(cache=True, error_model="numpy")
def shock_behind(rows, reverse, mdot, p0, T0, p_down, X, gas, choke_row):
    """What a choked row must leave to its shock for the exit pressure to meet the receiver's.

    Parameters
    ----------
    rows, reverse, mdot, p0, T0, p_down, X, gas : as in ``exit_error``
    choke_row : int   Row that chokes [-]
    Returns
    -------
    shock : float   Fall of ln p0 behind the row; 0 when the exit itself is sonic [-]
    Source      steady flow behind a choked throat adjusts by a shock (Shapiro 1953 ch. 5)
    """
    low, high = 0.0, math.log(p0 / p_down)
    for _ in range(60):
        mid = 0.5 * (low + high)
        error, choke = exit_error(rows, reverse, mdot, p0, T0, p_down, X, gas, choke_row, mid)
        if choke >= 0 or error < 0.0:
            high = mid
        else:
            low = mid
        if high - low < 1e-13:
            break
    return low


@njit(cache=True, error_model="numpy")
def solve_path(rows, reverse, p0, T0, p_down, X, gas):
    """Mass flow of a path from a stagnation state to a receiver.

    Parameters
    ----------
    rows : (n, k) array   Steps in port-to-outlet order [SI]
    reverse : bool   Flow runs from the last row to the first [-]
    p0, T0 : float   Stagnation state at the inlet [Pa, K]
    p_down : float   Static pressure of the receiver [Pa]
    X : float   0 for a boundary layer that starts at the inlet, -1 for a developed one [-]
    gas : array   Mixture table [SI]
    Returns
    -------
    mdot : float   Magnitude of the mass flow [kg/s]
    status : int   CONVERGED, CHOKED_FLOW or FAILED [-]
    choke_row : int   Row that chokes, -1 for none [-]
    shock : float   Loss of ln p0 behind a choked row [-]
    marches : int   Marches used [-]
    Source      bracketed secant (Brent 1973 ch. 4, from memory)
    """
    target = TOLERANCE * (p0 - p_down)
    if not p0 > p_down:
        return 0.0, (CONVERGED if p0 == p_down else FAILED), -1, 0.0, 0
    low, high, choke_row = 0.0, 1.001 * largest_flow(rows, reverse, p0, T0, gas), -1
    x_old, error_old = 0.0, p0 - p_down
    trial = high * min(0.5, math.sqrt((p0 - p_down) / p0))
    for marches in range(1, MAX_MARCHES + 1):
        error, choke = exit_error(rows, reverse, trial, p0, T0, p_down, X, gas, -1, 0.0)
        if choke < 0 and abs(error) <= target:
            return trial, CONVERGED, -1, 0.0, marches
        if choke >= 0 or error < 0.0:
            high, choke_row = trial, choke
        else:
            low = trial
        if high - low <= 1e-14 * high:
            if choke_row < 0:
                return low, CONVERGED, -1, 0.0, marches
            shock = shock_behind(rows, reverse, low, p0, T0, p_down, X, gas, choke_row)
            return low, CHOKED_FLOW, choke_row, shock, marches
        guess = -1.0
        if choke < 0:
            x = trial * trial
            if error != error_old:
                square = x - error * (x - x_old) / (error - error_old)
                guess = math.sqrt(square) if square > 0.0 else -1.0
            x_old, error_old = x, error
        stalled = marches > 12 and marches % 2 == 0
        trial = guess if low < guess < high and not stalled else 0.5 * (low + high)
    return low, FAILED, choke_row, 0.0, MAX_MARCHES


@njit(cache=True, parallel=True, error_model="numpy")
def solve_samples(rows, reverse, p0, T0, p_down, X, gas, effects, z):
    """Mass flow of one path for many samples of its doubts.

    Parameters
    ----------
    rows, reverse, p0, T0, p_down, X, gas : as in ``solve_path``
    effects : (m, 5) array   As in ``varied_rows`` [-]
    z : (samples, causes) array   Standard normal samples [-]
    Returns
    -------
    mdot, status : (samples,) arrays   [kg/s, -]
    Source      sampling of stated bands (JCGM 101:2008)
    """
    n = z.shape[0]
    mdot = np.empty(n)
    status = np.empty(n, dtype=np.int64)
    for k in prange(n):
        varied = varied_rows(rows, effects, z[k])
        result = solve_path(varied, reverse, p0, T0, p_down, X, gas)
        mdot[k], status[k] = result[0], result[1]
    return mdot, status
