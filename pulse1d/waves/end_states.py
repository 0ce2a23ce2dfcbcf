"""What the laws of ends share: gas, reservoir and pipe states, and the flux left; compiled."""

from __future__ import annotations

from numba import njit

from pulse1d.gas.table import R as R_AT
from pulse1d.waves.gas_cells import gas_numbers
from pulse1d.waves.kinds import (
    ENERGY,
    MASS,
    MASS_Y,
    P_R,
    PRESSURE_NOW,
    T_NOW,
    T_R,
    VOLUME,
    Y_R,
    Mode,
)

CONSTANT, EQUILIBRIUM = int(Mode.CONSTANT), int(Mode.EQUILIBRIUM)


@njit(cache=True, error_model="numpy")
def gas_of(T, Y, mode, fresh, burned):
    """R, gamma and internal energy of a gas; energies of a constant gas count from 0 K.

    Parameters
    ----------
    T, Y : float   Temperature, burned fraction [K, -]
    mode : int   CONSTANT: ``fresh`` holds R at its place and gamma at the next [-]
    fresh, burned : (50,) arrays   Tables [SI]
    Returns
    -------
    R, gamma, e : float   [J/kg/K, -, J/kg]
    """
    if mode == CONSTANT:
        R, gamma = fresh[R_AT], fresh[R_AT + 1]
        return R, gamma, R * T / (gamma - 1.0)
    R, cv, e = gas_numbers(T, Y, fresh, burned)
    return R, 1.0 + R / cv, e


@njit(cache=True, error_model="numpy")
def scheduled(table, first, last, t):
    """Value of a schedule at a time, linear between its rows, level beyond them.

    Parameters
    ----------
    table : (n, 2) array   Times and values [s, any]
    first, last : int   Rows first .. last - 1; equal for none [-]
    t : float   [s]
    Returns
    -------
    value : float   1 without a schedule [any]
    """
    if last <= first:
        return 1.0
    if t <= table[first, 0]:
        return table[first, 1]
    low, high = first, last - 1
    if t >= table[high, 0]:
        return table[high, 1]
    while high - low > 1:
        mid = (low + high) // 2
        if table[mid, 0] <= t:
            low = mid
        else:
            high = mid
    w = (t - table[low, 0]) / (table[high, 0] - table[low, 0])
    return table[low, 1] + w * (table[high, 1] - table[low, 1])


@njit(cache=True, error_model="numpy")
def gas_in(now, V, mode, fresh, burned):
    """State of the gas that a node holds in a volume.

    Parameters
    ----------
    now : (STATES,) array   State of the node; pressure and temperature updated [SI]
    V : float   [m3]
    mode, fresh, burned : as in ``gas_of``
    Returns
    -------
    p, T, R, gamma : float   [SI]
    """
    m = now[MASS]
    e, Y, T = now[ENERGY] / m, now[MASS_Y] / m, now[T_NOW]
    R, gamma, found = gas_of(T, Y, mode, fresh, burned)
    for _ in range(30):
        step = (e - found) * (gamma - 1.0) / R
        T += step
        R, gamma, found = gas_of(T, Y, mode, fresh, burned)
        if abs(step) <= 1e-13 * T:
            break
    now[T_NOW], now[PRESSURE_NOW] = T, m * R * T / V
    return now[PRESSURE_NOW], T, R, gamma


@njit(cache=True, error_model="numpy")
def reservoir_state(par, now, mode, fresh, burned):
    """Pressure and temperature of a reservoir: given, or from what a vessel holds.

    Parameters
    ----------
    par, now : (9,), (5,) arrays   Parameters and state of the node, the latter updated [SI]
    mode, fresh, burned : as in ``gas_of``
    Returns
    -------
    p, T, Y : float   [Pa, K, -]
    """
    if par[VOLUME] <= 0.0:
        return par[P_R], par[T_R], par[Y_R]
    p, T, _, _ = gas_in(now, par[VOLUME], mode, fresh, burned)
    return p, T, now[MASS_Y] / now[MASS]


@njit(cache=True, error_model="numpy")
def pipe_states(first, count, ends, cells, work, fresh, burned, mode, state, mix):
    """Edge states of the pipes at a node, seen from inside them.

    Parameters
    ----------
    first, count : int   Ends of the node [-]
    ends, cells, work : tuples   See ``pulse1d.waves.advance``
    fresh, burned, mode : as in ``gas_of``
    state : (5, count) array   Filled with rho, u out of the pipe, p, gamma, R [SI]
    mix : (3, count) array   Filled with Y, gamma, R [-, -, J/kg/K]
    """
    end_cell, end_stop = ends[0], ends[1]
    left, right, left_Y, right_Y = work[0], work[1], work[4], work[5]
    gam = cells[8]
    for k in range(count):
        e = first + k
        i, stop = end_cell[e], end_stop[e]
        edge = right if stop else left
        state[0, k], state[2, k], state[3, k] = edge[0, i], edge[2, i], gam[i]
        state[1, k] = edge[1, i] if stop else -edge[1, i]
        Y = right_Y[i] if stop else left_Y[i]
        R = fresh[R_AT] + Y * (burned[R_AT] - fresh[R_AT]) if mode != CONSTANT else fresh[R_AT]
        state[4, k] = R
        mix[0, k], mix[1, k], mix[2, k] = Y, gam[i], R


@njit(cache=True, error_model="numpy")
def put_flux(e, rho, u, p, energy, Y, own_gas, ends, cells, work, mode, t_step, counts):
    """Write the flux of one end.

    Parameters
    ----------
    e : int   End [-]
    rho, u, p : float   Boundary state, u > 0 out of the pipe [SI]
    energy : float   Internal energy of gas that enters; unused on the way out [J/kg]
    Y : float   Burned fraction of what passes [-]
    own_gas : bool   The gas that passes is the pipe's own [-]
    ends, cells, work : tuples   See ``pulse1d.waves.advance``
    mode, t_step : int, float   [-, s]
    counts : (4,) array   Row 0 takes the energy defect of equilibrium reading [J]
    Returns
    -------
    FE : float   Energy flux into the pipe, as it is [W/m2]
    """
    i, stop, area = ends[0][e], ends[1][e], ends[2][e]
    flux, flux_Y = work[2], work[6]
    G, e0 = cells[9], cells[10]
    face = i if stop else i - 1
    v = u if stop else -u
    linear = p * G[i] + rho * e0[i]
    inner = linear if own_gas else rho * energy
    whole = v * (inner + 0.5 * rho * v * v + p)
    flux[0, face], flux[1, face] = rho * v, rho * v * v + p
    flux_Y[face] = rho * v * Y
    if mode == 1:
        flux[2, face], flux[3, face] = 0.0, whole
    elif mode == EQUILIBRIUM:
        flux[2, face], flux[3, face] = v * p, v * (0.5 * rho * v * v + p)
        gain = v * (linear - inner) * area * t_step
        counts[0] += -gain if stop else gain
    else:
        flux[2, face], flux[3, face] = 0.0, whole - e0[i] * rho * v
    return -whole if stop else whole
