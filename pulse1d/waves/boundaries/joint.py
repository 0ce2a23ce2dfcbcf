"""Several pipe ends at one joint: flows that balance, by one pressure or by the joint's losses.

Each pipe answers along its exact wave curve. Constant pressure: one static pressure at all ends.
With losses: each end's stagnation pressure lies above or below the joint's by the levels of
``pulse1d.losses.joint_levels``, the same coefficients as the steady network's. What leaves the
joint carries the mixed stagnation enthalpy and composition of what enters it.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pulse1d.losses.joint_levels import joint_levels
from pulse1d.waves.boundaries.bracket import ROUNDS
from pulse1d.waves.boundaries.reservoir import ROOT, enter_freely, leave_freely
from pulse1d.waves.wave_curve import curve_end, curve_point, curve_pressure

RHO, U, P, GAMMA, GAS_R = 0, 1, 2, 3, 4
"""Rows of the states handed to and from a joint."""
LEVEL_ROUNDS = 4
"""Times the levels are brought up to the flows within a step; they start from the last step's."""
NOTHING = 1e-16
"""Imbalance of the flows, over that of sound, in which only round-off is left."""
STILL = 1e-8
"""Flow, over that of sound, below which losses, its square times K, drown in round-off: left out,
for they are differences of logarithms and would be noise."""
LEVEL_SAME = 1e-9
LEVEL_NEAR = 2e-3
"""Change of the levels (ln p0) behind which they stand; behind which one Newton step, taken before
the last balance, leaves less than a tenth of it and the next step the rest."""


@njit(cache=True, error_model="numpy")
def end_state(state, k, p_k, T0, gamma_j, R_j, by_total, p_wall, M):
    """Boundary state of one end at the joint's pressure.

    Parameters
    ----------
    state : (5, n) array   Pipe states: rho, u (out of the pipe), p, gamma, R [SI]
    k : int   End [-]
    p_k : float   Stagnation pressure (``by_total``) or static pressure at the end [Pa]
    T0, gamma_j, R_j : float   What leaves the joint [K, -, J/kg/K]
    by_total : bool   [-]
    p_wall : float   Pressure of the end closed [Pa]
    M : float   Guess of the Mach number of what enters the pipe; below 0 for none [-]
    Returns
    -------
    rho_b, u_b, p_b : float   [SI]
    M : float   The guess for next time [-]
    slope : float   d(rho_b u_b)/dp_k [kg/m2/s/Pa]
    """
    rho, u, p, gamma = state[RHO, k], state[U, k], state[P, k], state[GAMMA, k]
    if by_total:
        if p_k >= p_wall:
            return enter_freely(rho, u, p, gamma, p_k, T0, gamma_j, R_j, M)
        rho_b, u_b, p_b, slope = leave_freely(rho, u, p, gamma, p_k)
        return rho_b, u_b, p_b, -1.0, slope
    u_b, rho_b, du, drho = curve_point(p_k, rho, u, p, gamma)
    if u_b >= 0.0:
        if not (u_b * u_b * rho_b < gamma * p_k and u * u * rho < gamma * p):
            p_e, rho_e, u_e = curve_end(p_k, rho, u, p, gamma)
            if p_e != p_k:
                return rho_e, u_e, p_e, -1.0, 0.0
        return rho_b, u_b, p_k, -1.0, drho * u_b + rho_b * du
    cp = gamma_j * R_j / (gamma_j - 1.0)
    T = T0 - 0.5 * u_b * u_b / cp
    if u_b * u_b < gamma_j * R_j * T:
        rho_b = p_k / (R_j * T)
        return rho_b, u_b, p_k, -1.0, rho_b * (u_b / p_k + u_b * u_b * du / (cp * T) + du)
    T = 2.0 * T0 / (gamma_j + 1.0)  # it enters at the speed of sound and expands in the pipe
    rho_b, u_b = p_k / (R_j * T), -math.sqrt(gamma_j * R_j * T)
    return rho_b, u_b, p_k, -1.0, rho_b * u_b / p_k


@njit(cache=True, error_model="numpy")
def balance(
    state, areas, levels, T0, gamma_j, R_j, by_total, walls, p_guess, mach, slopes, out
):  # fmt: skip
    """Pressure of the joint at which what enters it leaves it, at given levels: Newton's method.

    Parameters
    ----------
    state, T0, gamma_j, R_j, by_total : as in ``end_state``
    areas, levels, walls : (n,) arrays   Areas; ln p0 over the joint's; closed-end pressures [SI]
    p_guess : float   Pressure of the last step [Pa]
    mach, slopes : (n,) arrays   Guesses of ``end_state``, updated; slopes of the flows, filled [SI]
    out : (3, n) array   Boundary states, filled [SI]
    Returns
    -------
    p : float   Stagnation or static pressure of the joint [Pa]
    """
    n = areas.shape[0]
    low, high, scale = math.inf, 0.0, 0.0
    factor = slopes * 0.0 + 1.0
    for k in range(n):
        if by_total and levels[k] != 0.0:
            factor[k] = math.exp(levels[k])
        low, high = min(low, walls[k] / factor[k]), max(high, walls[k] / factor[k])
        scale += areas[k] * math.sqrt(state[RHO, k] * state[P, k])
    low, high = 0.999 * low, 1.001 * high
    p = p_guess if low < p_guess < high else 0.5 * (low + high)
    close = False
    for turn in range(2 * ROUNDS):
        f, slope = 0.0, 0.0
        for k in range(n):
            out[0, k], out[1, k], out[2, k], mach[k], s = end_state(
                state, k, p * factor[k], T0, gamma_j, R_j, by_total, walls[k], mach[k]
            )
            f += areas[k] * out[0, k] * out[1, k]
            slopes[k] = areas[k] * factor[k] * s
            slope += slopes[k]
        if abs(f) < (ROOT if close else NOTHING) * scale or high - low < 1e-15 * p:
            break
        close = abs(f) < ROOT * scale  # one step more: near rest it is all there is
        if f > 0.0:
            low = p
        else:
            high = p
        new = p - f / slope if slope < 0.0 else 0.0
        if not low < new < high or turn % 8 == 7:
            new = 0.5 * (low + high)
        if new == p:
            break
        p = new
    return p


@njit(cache=True, error_model="numpy")
def joint_end(state, areas, directions, has_run, by_total, memory, levels, offsets, mix, out):
    """Boundary states of all ends at a joint.

    Levels follow the flows by a Newton step that takes each leg by itself: an end answers a rise of
    its level with less outflow, which lowers the level that the losses ask for.

    Parameters
    ----------
    state : (5, n) array   As in ``end_state`` [SI]
    areas, directions : (n,), (n, 3) arrays   [m2, -]
    has_run, by_total : bool   Lateral on a through run [-]; levels, or one static pressure [-]
    memory : (4,) array   Pressure, T0, gamma, R of the last step; updated [SI]
    levels : (n,) array   Of the last step; updated [-]
    offsets : (n,) array   Added to the coefficients [-]
    mix : (3, n) array   Burned fraction, gamma, R of each pipe's own gas [SI]
    out : (3, n) array   Boundary states rho, u, p, filled [SI]
    Source      Benson 1982 and Corberan 1992 (common stagnation enthalpy), from memory;
        ``pulse1d.losses.junction`` for the levels
    """
    n = areas.shape[0]
    rows = np.zeros((5, n))
    walls, flows, fresh, slopes, mach = rows[0], rows[1], rows[2], rows[3], rows[4]
    sound = 0.0
    for k in range(n):
        walls[k] = curve_pressure(0.0, state[RHO, k], state[U, k], state[P, k], state[GAMMA, k])
        mach[k] = -1.0
        sound += areas[k] * math.sqrt(state[RHO, k] * state[P, k])
    for turn in range(LEVEL_ROUNDS + 1):
        memory[0] = balance(
            state, areas, levels, memory[1], memory[2], memory[3], by_total, walls, memory[0],
            mach, slopes, out,
        )  # fmt: skip
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
        if turn == LEVEL_ROUNDS:
            return
        if by_total:
            if mass < STILL * sound:
                fresh[:] = 0.0
            else:
                joint_levels(
                    flows, directions, areas, offsets, has_run, memory[0], T0, memory[2], R_j,
                    fresh,
                )  # fmt: skip
            for k in range(n):
                if math.isfinite(fresh[k]):
                    step = fresh[k] - levels[k]
                    change = max(change, abs(step))
                    give = 2.0 * abs(fresh[k] * slopes[k] * flows[k]) * memory[0]
                    levels[k] += step / (1.0 + give / (flows[k] ** 2 + (0.1 * mass) ** 2))
        if change < LEVEL_SAME:
            return
        if change < LEVEL_NEAR:
            memory[0] = balance(
                state, areas, levels, memory[1], memory[2], memory[3], by_total, walls, memory[0],
                mach, slopes, out,
            )  # fmt: skip
            return
