"""All ends of all legs: the law of each node, and its fluxes; compiled."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pulse1d.gas.table import R as R_AT
from pulse1d.waves.boundaries.imposed import flow_end, pressure_end
from pulse1d.waves.boundaries.joint import joint_end
from pulse1d.waves.boundaries.passage import passage_end
from pulse1d.waves.boundaries.reservoir import reservoir_end
from pulse1d.waves.gas_cells import blend, gas_numbers
from pulse1d.waves.kinds import (
    ENERGY,
    HAS_RUN,
    K_IN,
    MASS,
    MASS_Y,
    P_R,
    PHI_IN,
    PHI_OUT,
    PRESSURE_NOW,
    ROWS,
    ROWS_END,
    T_NOW,
    T_R,
    TABLE,
    TABLE_END,
    VOLUME,
    Y_R,
    Kind,
    Mode,
)
from pulse1d.waves.wave_curve import curve_density, curve_pressure

CLOSED, FREE, RESERVOIR = int(Kind.CLOSED), int(Kind.FREE), int(Kind.RESERVOIR)
PRESSURE, FLOW = int(Kind.PRESSURE), int(Kind.FLOW)
JOINT, LOSSY_JOINT = int(Kind.JOINT), int(Kind.LOSSY_JOINT)
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
    e, Y, T = now[ENERGY] / now[MASS], now[MASS_Y] / now[MASS], now[T_NOW]
    for _ in range(30):
        R, gamma, found = gas_of(T, Y, mode, fresh, burned)
        step = (e - found) * (gamma - 1.0) / R
        T += step
        if abs(step) <= 1e-13 * T:
            break
    R, _, _ = gas_of(T, Y, mode, fresh, burned)
    now[T_NOW] = T
    now[PRESSURE_NOW] = now[MASS] * R * T / par[VOLUME]
    return now[PRESSURE_NOW], T, Y


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


@njit(cache=True, error_model="numpy")
def single_end(n, e, t, t_step, nodes, ends, cells, work, gases, mode, counts, state, mix):
    """A node with one end.

    Parameters
    ----------
    n, e : int   Node and end [-]
    t, t_step : float   Time in the middle of the step; its length [s]
    nodes, ends, cells, work, gases : tuples   See ``pulse1d.waves.advance``
    mode, counts, state, mix : as above
    """
    kind, par, table = nodes[0][n], nodes[3][n], nodes[5]
    fresh, burned = gases
    rho, u, p, gamma = state[0, 0], state[1, 0], state[2, 0], state[3, 0]
    Y, entering, T_e = mix[0, 0], False, 0.0
    if kind == FREE:
        pass
    elif kind == PRESSURE:
        value = scheduled(table, int(par[TABLE]), int(par[TABLE_END]), t)
        rho, u, p = pressure_end(rho, u, p, gamma, par[P_R] * value)
        if u < 0.0:  # entropy of the cell's mean: that of its edge would feed its own slope
            i = ends[0][e]
            rho = cells[0][i] * (p / cells[5][i]) ** (1.0 / gamma)
    elif kind == FLOW:
        value = scheduled(table, int(par[TABLE]), int(par[TABLE_END]), t)
        R_r, gamma_r, _ = gas_of(par[T_R], par[Y_R], mode, fresh, burned)
        g = par[P_R] * value / ends[2][e]
        rho, u, p = flow_end(rho, u, p, gamma, g, par[T_R], gamma_r, R_r)
        entering, Y = u < 0.0, par[Y_R] if u < 0.0 else Y
        T_e = p / (rho * R_r)
    else:
        p = curve_pressure(0.0, rho, u, p, gamma)
        rho, u = curve_density(p, state[0, 0], state[2, 0], gamma), 0.0
    energy = gas_of(T_e, Y, mode, fresh, burned)[2] if entering else 0.0
    put_flux(e, rho, u, p, energy, Y, not entering, ends, cells, work, mode, t_step, counts)
    if kind != FREE:  # a free end's ghosts repeat its last cell: a slope of its own would reflect
        nodes[6][e, 0], nodes[6][e, 1], nodes[6][e, 2] = rho, u, p


@njit(cache=True, error_model="numpy")
def reservoir_node(
    n, first, count, t, t_step, nodes, ends, cells, work, gases, mode, counts, state, mix
):
    """A node of the open air, a vessel or a chamber, with any number of ends.

    Parameters
    ----------
    n, first, count : int   Node and its ends [-]
    t, t_step, nodes, ends, cells, work, gases, mode, counts, state, mix : as in ``single_end``
    """
    par, now, table = nodes[3][n], nodes[4][n], nodes[5]
    fresh, burned = gases
    p_r, T_r, Y_r = reservoir_state(par, now, mode, fresh, burned)
    R_r, gamma_r, _ = gas_of(T_r, Y_r, mode, fresh, burned)
    share = scheduled(table, int(par[TABLE]), int(par[TABLE_END]), t)
    for k in range(count):
        e = first + k
        rho, u, p = reservoir_end(
            state[0, k], state[1, k], state[2, k], state[3, k], state[4, k],
            p_r, T_r, gamma_r, R_r, par[PHI_IN] * share, par[PHI_OUT] * share, par[K_IN],
        )  # fmt: skip
        entering = u < 0.0
        Y = Y_r if entering else mix[0, k]
        energy = gas_of(p / (rho * R_r), Y, mode, fresh, burned)[2] if entering else 0.0
        into = put_flux(
            e, rho, u, p, energy, Y, not entering, ends, cells, work, mode, t_step, counts
        )
        nodes[6][e, 0], nodes[6][e, 1], nodes[6][e, 2] = rho, u, p
        nodes[7][n, MASS] += rho * u * ends[2][e] * t_step
        nodes[7][n, ENERGY] -= into * ends[2][e] * t_step
        nodes[7][n, MASS_Y] += rho * u * Y * ends[2][e] * t_step


@njit(cache=True, error_model="numpy")
def shared_node(n, first, count, t_step, nodes, ends, cells, work, gases, mode, counts, state, mix):
    """A joint or a passage: what leaves it carries the enthalpy and composition of what enters.

    Parameters
    ----------
    n, first, count : int   Node and its ends [-]
    t_step, nodes, ends, cells, work, gases, mode, counts, state, mix : as in ``single_end``
    """
    kind, par, now = nodes[0][n], nodes[3][n], nodes[4][n]
    fresh, burned = gases
    area, out = ends[2][first : first + count], np.empty((3, count))
    if kind in (JOINT, LOSSY_JOINT):
        joint_end(
            state, area, ends[3][first : first + count], par[HAS_RUN] > 0.0, kind == LOSSY_JOINT,
            now, ends[4][first : first + count], ends[5][first : first + count], mix, out,
        )  # fmt: skip
    else:
        tables = np.empty((2, fresh.shape[0]))
        for k in range(2):
            if mode == CONSTANT:
                tables[k] = burned
            else:
                blend(mix[0, k], fresh, burned, tables[k])
        rows = nodes[8][int(par[ROWS]) : int(par[ROWS_END])]
        now[0] = passage_end(state, area, rows, tables, now[0], out)
    mass_in, mass_out, energy_in, burned_in = 0.0, 0.0, 0.0, 0.0
    for k in range(count):
        rho, u, p = out[0, k], out[1, k], out[2, k]
        flow = rho * u * area[k]
        if flow > 0.0:
            into = put_flux(
                first + k, rho, u, p, 0.0, mix[0, k], True, ends, cells, work, mode, t_step, counts
            )
            mass_in += flow
            energy_in -= into * area[k]
            burned_in += flow * mix[0, k]
        else:
            mass_out -= flow
    for k in range(count):
        nodes[6][first + k, 0] = out[0, k]
        nodes[6][first + k, 1], nodes[6][first + k, 2] = out[1, k], out[2, k]
        rho, u, p = out[0, k], out[1, k], out[2, k]
        if rho * u > 0.0:
            continue
        if mass_out <= 0.0 or mass_in <= 0.0:
            put_flux(
                first + k,
                rho,
                0.0,
                p,
                0.0,
                mix[0, k],
                True,
                ends,
                cells,
                work,
                mode,
                t_step,
                counts,
            )
            continue
        u *= mass_in / mass_out
        inner = energy_in / mass_in - 0.5 * u * u - p / rho
        Y = burned_in / mass_in
        put_flux(first + k, rho, u, p, inner, Y, False, ends, cells, work, mode, t_step, counts)


@njit(cache=True, error_model="numpy")
def apply_ends(t, t_step, nodes, ends, cells, work, gases, mode, counts):
    """Fluxes of every end.

    Parameters
    ----------
    t, t_step : float   Time in the middle of the step; its length [s]
    nodes, ends, cells, work, gases : tuples   See ``pulse1d.waves.advance``
    mode : int   [-]
    counts : (4,) array   [J, ...]
    """
    kind, node_first, node_count = nodes[0], nodes[1], nodes[2]
    state, mix = np.empty((5, 16)), np.empty((3, 16))
    for n in range(kind.shape[0]):
        first, count = node_first[n], node_count[n]
        s, m = state[:, :count].copy(), mix[:, :count].copy()
        pipe_states(first, count, ends, cells, work, gases[0], gases[1], mode, s, m)
        if kind[n] == RESERVOIR:
            before = counts[0]
            reservoir_node(
                n, first, count, t, t_step, nodes, ends, cells, work, gases, mode, counts, s, m
            )
            if nodes[3][n, VOLUME] > 0.0:  # once more with what the vessel holds in mid step
                held = nodes[4][n].copy()
                nodes[4][n] += 0.5 * nodes[7][n]
                nodes[7][n], counts[0] = 0.0, before
                reservoir_node(
                    n, first, count, t, t_step, nodes, ends, cells, work, gases, mode, counts, s, m
                )
                nodes[4][n] = held
        elif count > 1:
            shared_node(
                n, first, count, t_step, nodes, ends, cells, work, gases, mode, counts, s, m
            )
        else:
            single_end(n, first, t, t_step, nodes, ends, cells, work, gases, mode, counts, s, m)


@njit(cache=True, error_model="numpy")
def fill_ghosts(legs, ends, cells, boundary, is_closed):
    """Ghost cells from the last boundary states, so that the face holds their mean.

    Parameters
    ----------
    legs, ends, cells : tuples   See ``pulse1d.waves.advance``
    boundary : (ends, 3) array   rho, u out of the pipe, p of the last step [SI]
    is_closed : (ends,) array   Mirror instead [-]
    """
    rho, u, p, Y = cells[0], cells[4], cells[5], cells[7]
    for e in range(boundary.shape[0]):
        i, stop = ends[0][e], ends[1][e]
        g = i + 1 if stop else i - 1
        Y[g] = Y[i]
        if is_closed[e] or math.isnan(boundary[e, 0]):
            rho[g], p[g] = rho[i], p[i]
            u[g] = -u[i] if is_closed[e] else u[i]
            continue
        v = boundary[e, 1] if stop else -boundary[e, 1]
        rho[g] = max(2.0 * boundary[e, 0] - rho[i], 0.2 * rho[i])
        u[g] = 2.0 * v - u[i]
        p[g] = max(2.0 * boundary[e, 2] - p[i], 0.2 * p[i])
