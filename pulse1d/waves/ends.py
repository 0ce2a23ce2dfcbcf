"""All ends of all legs: the law of each node, and its fluxes; compiled."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pulse1d.waves.boundaries.imposed import flow_end, pressure_end
from pulse1d.waves.boundaries.joint import joint_end
from pulse1d.waves.boundaries.passage import passage_end
from pulse1d.waves.boundaries.reservoir import reservoir_end
from pulse1d.waves.boundaries.valve_cylinder import cylinder_end
from pulse1d.waves.end_states import gas_of, pipe_states, put_flux, reservoir_state, scheduled
from pulse1d.waves.gas_cells import blend
from pulse1d.waves.kinds import (
    ENERGY,
    HAS_RUN,
    K_IN,
    MASS,
    MASS_Y,
    P_R,
    PHI_IN,
    PHI_OUT,
    ROWS,
    ROWS_END,
    T_R,
    TABLE,
    TABLE_END,
    TAKEN,
    VOLUME,
    WORK,
    Y_R,
    Kind,
    Mode,
)
from pulse1d.waves.wave_curve import curve_density, curve_pressure

CLOSED, FREE, RESERVOIR = int(Kind.CLOSED), int(Kind.FREE), int(Kind.RESERVOIR)
PRESSURE, FLOW = int(Kind.PRESSURE), int(Kind.FLOW)
JOINT, LOSSY_JOINT = int(Kind.JOINT), int(Kind.LOSSY_JOINT)
CYLINDER = int(Kind.CYLINDER)
CONSTANT = int(Mode.CONSTANT)


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

    A turbine in a passage keeps its work from the enthalpy, and adds it up in WORK.

    Parameters
    ----------
    n, first, count : int   Node and its ends [-]
    t_step, nodes, ends, cells, work, gases, mode, counts, state, mix : as in ``single_end``
    """
    kind, par, now = nodes[0][n], nodes[3][n], nodes[4][n]
    fresh, burned = gases
    spent = 0.0
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
        now[0], spent = passage_end(state, area, rows, tables, now[0], out)
        nodes[7][n, TAKEN] += now[0] * t_step
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
    if spent > 0.0 and mass_out > 0.0:
        energy_in -= spent * mass_in
        nodes[7][n, WORK] += spent * mass_in * t_step
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
        elif kind[n] == CYLINDER:
            own = int(nodes[3][n, P_R])
            cylinder_end(
                nodes[9][own], nodes[10][own], nodes[4][n], first, t, t_step, ends, cells, work,
                gases, mode, counts, s, m, nodes[6], nodes[7][n],
            )  # fmt: skip
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
