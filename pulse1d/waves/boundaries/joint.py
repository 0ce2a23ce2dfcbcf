"""Several pipe ends at one joint: flows that balance, by one pressure or by the joint's losses.

Each pipe answers along its exact wave curve. Constant pressure: one static pressure at all ends.
With losses: each end's stagnation pressure lies above or below the joint's by the levels of
``pulse1d.losses.joint_levels``, the same coefficients as the steady network's. What leaves the
joint carries the mixed stagnation enthalpy and composition of what enters it.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.losses.joint_levels import joint_levels
from pulse1d.waves.boundaries.bracket import ROUNDS, between
from pulse1d.waves.boundaries.reservoir import ROOT, enter_by_mouth
from pulse1d.waves.wave_curve import curve_point, curve_pressure, curve_sonic

RHO, U, P, GAMMA, GAS_R = 0, 1, 2, 3, 4
"""Rows of the states handed to and from a joint."""
LEVEL_ROUNDS = 4
"""Times the levels are brought up to the flows within a step; they start from the last step's."""


@njit(cache=True, error_model="numpy")
def leave_at_total(rho, u, p, gamma, p0, p_wall):
    """State in the end of a pipe whose outflow has a given stagnation pressure.

    Parameters
    ----------
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    p0, p_wall : float   Stagnation pressure wanted; pressure of the end closed [Pa]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state, sonic when p0 cannot be reached [SI]
    """
    p_s, rho_s, u_s = curve_sonic(rho, u, p, gamma)
    lift = (0.5 * (gamma + 1.0)) ** (gamma / (gamma - 1.0))
    if p0 <= p_s * lift:
        return rho_s, u_s, p_s
    low, high = max(p_s, 0.2 * p0), p_wall
    f_low, f_high = -1.0, 1.0
    rho_b, u_b, p_b = rho, u, p
    x = min(max(p0 - 0.5 * rho * u * u, low), high)
    for turn in range(ROUNDS):
        p_b = x if turn == 0 and low < x < high else between(low, f_low, high, f_high, turn)
        u_b, rho_b, _, _ = curve_point(p_b, rho, u, p, gamma)
        M2 = u_b * u_b * rho_b / (gamma * p_b)
        f = p_b * (1.0 + 0.5 * (gamma - 1.0) * M2) ** (gamma / (gamma - 1.0)) / p0 - 1.0
        if f < 0.0:
            low, f_low, f_high = p_b, f, 0.5 * f_high if turn % 2 else f_high
        else:
            high, f_high, f_low = p_b, f, 0.5 * f_low if turn % 2 else f_low
        if abs(f) < ROOT or high - low < ROOT * p0:
            break
    return rho_b, u_b, p_b


@njit(cache=True, error_model="numpy")
def end_state(state, k, p_k, T0, gamma_j, R_j, by_total, p_wall):
    """Boundary state of one end at the joint's pressure.

    Parameters
    ----------
    state : (5, n) array   Pipe states: rho, u (out of the pipe), p, gamma, R [SI]
    k : int   End [-]
    p_k : float   Stagnation pressure (``by_total``) or static pressure at the end [Pa]
    T0, gamma_j, R_j : float   What leaves the joint [K, -, J/kg/K]
    by_total : bool   [-]
    p_wall : float   Pressure of the end closed [Pa]
    Returns
    -------
    rho_b, u_b, p_b : float   [SI]
    """
    rho, u, p, gamma = state[RHO, k], state[U, k], state[P, k], state[GAMMA, k]
    if p_k < p_wall:
        if by_total:
            return leave_at_total(rho, u, p, gamma, p_k, p_wall)
        p_s, rho_s, u_s = curve_sonic(rho, u, p, gamma)
        if p_k <= p_s:
            return rho_s, u_s, p_s
        u_b, rho_b, _, _ = curve_point(p_k, rho, u, p, gamma)
        return rho_b, u_b, p_k
    if by_total:
        return enter_by_mouth(rho, u, p, gamma, p_k, T0, gamma_j, R_j, 0.0)
    u_b = curve_point(p_k, rho, u, p, gamma)[0]
    cp = gamma_j * R_j / (gamma_j - 1.0)
    return p_k / (R_j * max(T0 - 0.5 * u_b * u_b / cp, 0.2 * T0)), u_b, p_k


@njit(cache=True, error_model="numpy")
def balance(state, areas, levels, T0, gamma_j, R_j, by_total, walls, p_guess, out):
    """Pressure of the joint at which what enters it leaves it, at given levels.

    Parameters
    ----------
    state, T0, gamma_j, R_j, by_total : as in ``end_state``
    areas, levels, walls : (n,) arrays   Areas; ln p0 over the joint's; closed-end pressures [SI]
    p_guess : float   Pressure of the last step [Pa]
    out : (3, n) array   Boundary states rho, u, p, filled [SI]
    Returns
    -------
    p : float   Stagnation or static pressure of the joint [Pa]
    """
    n = areas.shape[0]
    low, high, slope = math.inf, 0.0, 0.0
    for k in range(n):
        level = math.exp(-levels[k]) if by_total else 1.0
        low, high = min(low, walls[k] * level), max(high, walls[k] * level)
        slope += areas[k] * math.sqrt(state[RHO, k] / (state[GAMMA, k] * state[P, k]))
    low, high = 0.999 * low, 1.001 * high
    f_low, f_high = 1.0, -1.0
    known_low = known_high = False
    p = min(max(p_guess, low), high)
    scale = slope * p
    for turn in range(2 * ROUNDS):
        f = 0.0
        for k in range(n):
            p_k = p * math.exp(levels[k]) if by_total else p
            rho_b, u_b, p_b = end_state(state, k, p_k, T0, gamma_j, R_j, by_total, walls[k])
            out[0, k], out[1, k], out[2, k] = rho_b, u_b, p_b
            f += areas[k] * rho_b * u_b
        if abs(f) < ROOT * scale or high - low < 1e-15 * p:
            break
        if f > 0.0:
            low, f_low, known_low = p, f, True
            f_high *= 0.5 if known_low and turn % 2 else 1.0
        else:
            high, f_high, known_high = p, f, True
            f_low *= 0.5 if known_high and turn % 2 else 1.0
        if known_low and known_high:
            p = between(low, f_low, high, f_high, turn)
        else:
            step = p + 1.02 * f / slope
            p = step if low < step < high else 0.5 * (low + high)
    return p


@njit(cache=True, error_model="numpy")
def joint_end(state, areas, directions, has_run, by_total, memory, levels, mix, out):
    """Boundary states of all ends at a joint.

    Parameters
    ----------
    state : (5, n) array   As in ``end_state`` [SI]
    areas, directions : (n,), (n, 3) arrays   [m2, -]
    has_run, by_total : bool   Lateral on a through run; levels, or one static pressure [-]
    memory : (4,) array   Pressure, T0, gamma, R of the last step; updated [SI]
    levels : (n,) array   Of the last step; updated [-]
    mix : (3, n) array   Stagnation temperature, gamma, R of each pipe's own gas [SI]
    out : (3, n) array   Boundary states rho, u, p, filled [SI]
    Source      Benson 1982 and Corberan 1992 (common stagnation enthalpy), from memory;
        ``pulse1d.losses.junction`` for the levels
    """
    n = areas.shape[0]
    walls, flows, fresh = levels * 0.0, levels * 0.0, levels * 0.0
    offsets = levels * 0.0
    for k in range(n):
        walls[k] = curve_pressure(0.0, state[RHO, k], state[U, k], state[P, k], state[GAMMA, k])
    for _ in range(LEVEL_ROUNDS):
        memory[0] = balance(
            state, areas, levels, memory[1], memory[2], memory[3], by_total, walls, memory[0], out
        )
        mass, heat, gas_R, gas_cp = 0.0, 0.0, 0.0, 0.0
        for k in range(n):
            flows[k] = areas[k] * out[0, k] * out[1, k]
            if flows[k] > 0.0:
                cp = mix[1, k] * mix[2, k] / (mix[1, k] - 1.0)
                T0_k = out[2, k] / (out[0, k] * mix[2, k]) + 0.5 * out[1, k] ** 2 / cp
                mass += flows[k]
                heat += flows[k] * cp * T0_k
                gas_cp += flows[k] * cp
                gas_R += flows[k] * mix[2, k]
        if mass <= 0.0:
            return
        T0 = heat / gas_cp
        R_j, cp_j = gas_R / mass, gas_cp / mass
        change = abs(T0 / memory[1] - 1.0)
        memory[1], memory[2], memory[3] = T0, cp_j / (cp_j - R_j), R_j
        if by_total:
            joint_levels(
                flows, directions, areas, offsets, has_run, memory[0], T0, memory[2], R_j, fresh
            )
            for k in range(n):
                if math.isfinite(fresh[k]):
                    change = max(change, abs(fresh[k] - levels[k]))
                    levels[k] = fresh[k]
        if change < 1e-9:
            return
