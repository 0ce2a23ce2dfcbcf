"""The time loop of the whole network, compiled: no Python between start and end.

Everything is handed over in tuples of arrays (structure of arrays, cells of all legs end to end):

cells : rho, mom, E, rho_Y, u, p, T, Y, gamma, G, e0, rho a, 1/rho (the last for plain legs)
work : left, right (3, n), flux (4, n), new (3, n), left_Y, right_Y, flux_Y, new_Y, keep, rates
shape : face areas A (face i between cells i and i+1), V, 1/V, 1/dx, dlnA
wall : table (23, n), drag, heat
legs : first and last cell, plain (1: uniform, no wall, constant gamma)
ends : cell, at its stop (1) or start (0), area, direction (3), levels, offsets on K
nodes : kind, first end, count, parameters, state, schedules, boundary (ends, 3), gains, rows,
  parameters and tables of cylinders
gases : tables of fresh and burned gas
record : times, frames, probe cells, weights, probe record, frame record, progress (2,)
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.cells import (
    LEAST,
    accept_constant,
    flux_hllc,
    flux_species,
    flux_upwind_energy,
    update,
    update_species,
)
from pulse1d.waves.edges import MC, reconstruct_by, reconstruct_mc
from pulse1d.waves.ends import apply_ends, fill_ghosts
from pulse1d.waves.gas_cells import accept_gas, faces_gain
from pulse1d.waves.plain_cells import accept_plain, flux_plain, reconstruct_plain, update_plain
from pulse1d.waves.walls import add_up, bring_up

DONE, VACUUM, STEPS = 0, 1, 2
"""Outcome: reached the end; a cell ran empty in spite of every fall-back; too many steps."""
RETRIES = 4


@njit(cache=True, error_model="numpy")
def interior(dt, legs, cells, work, shape, wall, gases, mode, limiter, two_gases):
    """Edge values and fluxes inside every leg.

    Parameters
    ----------
    dt : float   [s]
    legs, cells, work, shape, wall, gases : tuples   See the head of this file
    mode, limiter : int   [-]
    two_gases : bool   [-]
    """
    rho, u, p, gam = cells[0], cells[4], cells[5], cells[8]
    left, right, flux, keep = work[0], work[1], work[2], work[8]
    inv_dx = shape[3]
    for leg in range(legs[0].shape[0]):
        a, b = legs[0][leg], legs[1][leg]
        if legs[2][leg] and limiter == MC:
            reconstruct_plain(
                rho, u, p, cells[12], gam[a], left, right, keep, 0.5 * dt * inv_dx[a], a, b
            )
            flux_plain(left, right, gam[a], cells[11], flux, a, b - 1)
        else:
            if limiter == MC:
                reconstruct_mc(
                    rho, u, p, gam, left, right, inv_dx, shape[4], wall[1], wall[2], keep, dt, a, b
                )
            else:
                reconstruct_by(
                    limiter, rho, u, p, gam, left, right, inv_dx, shape[4], wall[1], wall[2], keep,
                    dt, a, b,
                )  # fmt: skip
            flux_hllc(left, right, gam, cells[11], flux, a, b - 1)
        if two_gases:
            flux_species(cells[7], work[4], work[5], flux, work[6], inv_dx, u, keep, dt, a, b)
        if mode == 1:
            flux_upwind_energy(flux, cells[9], cells[10], a, b - 1)


@njit(cache=True, error_model="numpy")
def updated(dt, legs, cells, work, shape, wall, mode, two_gases):
    """Conserved values after the step.

    Parameters
    ----------
    dt, legs, cells, work, shape, wall, mode, two_gases : as in ``interior``
    Returns
    -------
    thin, leg : int   Cells that came out too thin; the last leg that holds one [-]
    """
    thin, where = 0, 0
    own = 0.0 if mode == 1 else 1.0
    for leg in range(legs[0].shape[0]):
        a, b = legs[0][leg], legs[1][leg]
        if legs[2][leg]:
            found = update_plain(
                cells[0], cells[1], cells[2], cells[5], work[3], work[2], dt * shape[3][a],
                cells[8][a], a, b,
            )  # fmt: skip
        else:
            found = update(
                cells[0], cells[1], cells[2], cells[5], work[3], work[0], work[1], work[2],
                cells[9], cells[10], shape[0], shape[2], wall[1], wall[2], dt, own, a, b,
            )  # fmt: skip
        if two_gases:
            update_species(cells[3], work[7], work[6], shape[0], shape[2], dt, a, b)
        if found > 0:
            thin, where = thin + found, leg
    return thin, where


@njit(cache=True, error_model="numpy")
def accepted(legs, cells, work, shape, gases, mode, two_gases):
    """Take the step over in every leg.

    Parameters
    ----------
    legs, cells, work, shape, gases, mode, two_gases : as in ``interior``
    Returns
    -------
    rate, defect : float   Largest (|u| + a)/dx; energy added by equilibrium reading [1/s, J]
    """
    rate, defect, rates = 0.0, 0.0, work[9]
    rho, mom, E, u, p = cells[0], cells[1], cells[2], cells[4], cells[5]
    for leg in range(legs[0].shape[0]):
        a, b = legs[0][leg], legs[1][leg]
        if legs[2][leg]:
            speed = accept_plain(
                rho, mom, E, work[3], u, p, cells[12], cells[8][a], cells[11], rates, a, b
            )
            found = speed * shape[3][a]
        elif mode == 0:
            found = accept_constant(
                rho, mom, E, work[3], u, p, cells[8], cells[11], shape[3], rates, a, b
            )
        else:
            found, more = accept_gas(
                rho, mom, E, cells[3], work[3], work[7], u, p, cells[6], cells[7], cells[9],
                cells[10], cells[8], cells[11], shape[1], shape[3], rates, gases[0],
                gases[1], mode == 2, a, b,
            )  # fmt: skip
            defect += more
        if mode == 0 and two_gases:
            for i in range(a, b):
                cells[3][i] = work[7][i]
                cells[7][i] = min(max(work[7][i] / rho[i], 0.0), 1.0)
        rate = found if found > rate or math.isnan(found) else rate
    return rate, defect


@njit(cache=True, error_model="numpy")
def fall_back(legs, cells, work):
    """Mark the cells that came out too thin, and their neighbours, for first order.

    Parameters
    ----------
    legs, cells, work : tuples   See the head of this file [SI]
    Returns
    -------
    count : int   Cells newly marked [-]
    """
    count = 0
    rho, E, mom, e0, new, keep = cells[0], cells[2], cells[1], cells[10], work[3], work[8]
    for leg in range(legs[0].shape[0]):
        for i in range(legs[0][leg], legs[1][leg]):
            inner = E[i] - rho[i] * e0[i] - 0.5 * mom[i] ** 2 / rho[i]
            after = new[2, i] - new[0, i] * e0[i] - 0.5 * new[1, i] ** 2 / new[0, i]
            if not (new[0, i] > LEAST * rho[i] and after > LEAST * inner):
                for j in range(max(i - 1, legs[0][leg]), min(i + 2, legs[1][leg])):
                    count += 1 if keep[j] > 0.0 else 0
                    keep[j] = 0.0
    return count


@njit(cache=True, error_model="numpy")
def take_record(t, dt, cells, record, after):
    """Write the probe rows and frames that fall into a step, linear between its two ends.

    Parameters
    ----------
    t, dt : float   Start of the step and its length [s]
    cells, record : tuples   See the head of this file
    after : bool   False before the step is taken over, which writes its share; True after it [-]
    """
    times, frames, probe, weight, rows, pictures, progress = record
    k = int(progress[0])
    while k < times.shape[0] and times[k] <= t + dt:
        share = (times[k] - t) / dt if after else 1.0 - (times[k] - t) / dt
        for j in range(probe.shape[0]):
            i, w = probe[j], weight[j]
            for q, column in enumerate((0, 4, 5, 7)):
                value = (1.0 - w) * cells_at(cells, column, i) + w * cells_at(cells, column, i + 1)
                rows[k, j, q] = share * value + (rows[k, j, q] if after else 0.0)
        k += 1
    m = int(progress[1])
    while m < frames.shape[0] and frames[m] <= t + dt:
        share = (frames[m] - t) / dt if after else 1.0 - (frames[m] - t) / dt
        for i in range(cells[0].shape[0]):
            pictures[m, 0, i] = share * cells[5][i] + (pictures[m, 0, i] if after else 0.0)
            pictures[m, 1, i] = share * cells[4][i] + (pictures[m, 1, i] if after else 0.0)
        m += 1
    if after:
        progress[0], progress[1] = k, m


@njit(cache=True, error_model="numpy")
def cells_at(cells, column, i):
    """One of rho, u, p, Y of a cell.

    Parameters
    ----------
    cells : tuple   See the head of this file
    column, i : int   0, 4, 5 or 7; cell [-]
    Returns
    -------
    value : float   [SI]
    """
    if column == 0:
        return cells[0][i]
    if column == 4:
        return cells[4][i]
    return cells[5][i] if column == 5 else cells[7][i]


@njit(cache=True, error_model="numpy")
def advance(
    t, t_end, cfl, start_steps, max_steps, legs, cells, work, shape, wall, ends, nodes, gases,
    record, mode, limiter, two_gases, is_closed, heated, counts, rate,
):  # fmt: skip
    """March to a time.

    Parameters
    ----------
    t, t_end, cfl : float   From, to, Courant number [s, s, -]
    start_steps, max_steps : int   First steps at a fifth of the Courant number; bound [-]
    legs, cells, work, shape, wall, ends, nodes, gases, record : tuples   See the head of this file
    mode, limiter : int   [-]
    two_gases, heated : bool   Two compositions; walls with friction or heat anywhere [-]
    is_closed : (ends,) array   Closed ends [-]
    counts : (4,) array   Energy defect, fall-backs, steps, leg that ran empty; updated [J, -, -, -]
    rate : float   Largest (|u| + a)/dx at the start [1/s]
    Returns
    -------
    t, outcome, rate : float, int, float   [s, -, 1/s]
    """
    steps = 0
    if limiter != MC:
        legs[2][:] = False  # the loops of a plain pipe know one limiter
    while t < t_end * (1.0 - 1e-14):
        if steps >= max_steps:
            return t, STEPS, rate
        dt = min((cfl if steps >= start_steps else 0.2 * cfl) / rate, t_end - t)
        if heated:
            for leg in range(legs[0].shape[0]):
                if not legs[2][leg]:
                    bring_up(
                        legs[0][leg], legs[1][leg], cells, shape[3], wall[0], wall[1], wall[2],
                        mode, gases[0], gases[1], int(counts[2]),
                    )  # fmt: skip
        fill_ghosts(legs, ends, cells, nodes[6], is_closed)
        thin, where = 1, 0
        for turn in range(RETRIES):
            nodes[7][:] = 0.0
            before = counts[0]
            interior(dt, legs, cells, work, shape, wall, gases, mode, limiter, two_gases)
            apply_ends(t + 0.5 * dt, dt, nodes, ends, cells, work, gases, mode, counts)
            thin, where = updated(dt, legs, cells, work, shape, wall, mode, two_gases)
            if thin == 0:
                break
            counts[0] = before
            counts[1] += fall_back(legs, cells, work)
            if turn > 0:
                dt *= 0.25
        work[8][:] = 1.0
        if thin > 0:
            counts[3] = where
            return t, VACUUM, rate
        nodes[4][:] += nodes[7]
        if heated:
            for leg in range(legs[0].shape[0]):
                if not legs[2][leg]:
                    add_up(legs[0][leg], legs[1][leg], wall[0], wall[2], dt)
        if mode == 2:
            for leg in range(legs[0].shape[0]):
                counts[0] += faces_gain(
                    work[2], cells[9], cells[10], shape[0], dt, legs[0][leg], legs[1][leg]
                )
        take_record(t, dt, cells, record, False)
        rate, defect = accepted(legs, cells, work, shape, gases, mode, two_gases)
        counts[0] += defect
        take_record(t, dt, cells, record, True)
        t += dt
        steps += 1
        counts[2] += 1.0
        if not math.isfinite(rate):
            return t, VACUUM, rate
    return t, DONE, rate
