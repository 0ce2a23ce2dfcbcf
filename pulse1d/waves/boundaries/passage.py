"""Two pipe ends joined by steps without length: a change of area, a jet, a loss; compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas.relations import stagnation_ratio
from pulse1d.gas.state import h
from pulse1d.losses.laws import DUCT, LAW, TURBINE, through_duct, through_jet
from pulse1d.losses.turbine_law import through_turbine
from pulse1d.waves.boundaries.bracket import ROUNDS
from pulse1d.waves.boundaries.imposed import flow_end
from pulse1d.waves.boundaries.reservoir import entering_speed, leave_freely
from pulse1d.waves.wave_curve import curve_point, curve_pressure

NOTHING = 1e-16
"""Mismatch in which only round-off is left."""
MISMATCH = 1e-11
"""Difference of the two velocities at the far end, over the speed of sound, that counts as none;
mass agrees to rounding by construction."""


@njit(cache=True, error_model="numpy")
def through_rows(rows, reverse, mdot, p0, T0, gas):
    """Mach number and stagnation state behind consecutive steps.

    Parameters
    ----------
    rows : (n, k) array   Steps without length, in port-to-outlet order [SI]
    reverse : bool   Flow runs from the last to the first [-]
    mdot, p0, T0 : float   Flow and stagnation state in front [kg/s, Pa, K]
    gas : array   Table of the gas that flows [SI]
    Returns
    -------
    M, p0, T0 : float   M below 0 where they cannot pass the flow [-, Pa, K]
    """
    n = rows.shape[0]
    M = 0.0
    for k in range(n):
        row = rows[n - 1 - k] if reverse else rows[k]
        if row[LAW] == DUCT:
            M, p0, T0, _, _, _, _ = through_duct(row, reverse, mdot, p0, T0, -1.0, gas)
        elif row[LAW] == TURBINE and not reverse:
            M, p0, T0, _, _ = through_turbine(row, mdot, p0, T0, gas)
        else:
            M, p0, _, _ = through_jet(row, reverse, mdot, p0, T0, gas)
        if M < 0.0:
            return M, p0, T0
    return M, p0, T0


@njit(cache=True, error_model="numpy")
def first_guess(G, rho, u, p, gamma, p_wall):
    """Stagnation pressure of an outflow along the fan from its mass flux.

    Parameters
    ----------
    G : float   Mass flux out of the pipe [kg/m2/s]
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    p_wall : float   Pressure of the end closed [Pa]
    Returns
    -------
    p0 : float   [Pa]
    """
    h = 0.5 * (gamma - 1.0)
    g = G * (math.sqrt(gamma * p / rho) + h * u) / (gamma * p_wall)
    M = min(g, 0.9)
    for _ in range(3):
        lift = 1.0 + h * M
        M = min(
            M - (M - g * math.exp((1.0 + h) / h * math.log(lift))) * lift / (1.0 - M + 0.05), 1.0
        )
        M = max(M, 0.0)
    return p_wall * math.exp(gamma / (2.0 * h) * math.log((1.0 + h * M * M) / (1.0 + h * M) ** 2))


@njit(cache=True, error_model="numpy")
def passage_end(state, areas, rows, gases, guess, out):
    """Boundary states on both sides of steps without length.

    The unknown is the stagnation pressure in front. It fixes what leaves one pipe, the steps fix
    what that becomes, and the far pipe must answer with the same velocity. Where the end or a step
    chokes, the far pipe takes the flow that passes.

    Parameters
    ----------
    state : (5, 2) array   Pipe states rho, u (out of the pipe), p, gamma, R; end 0 lies towards the
        port [SI]
    areas : (2,) array   [m2]
    rows : (n, k) array   Steps [SI]
    gases : (2, 50) array   Tables of both pipes' gases [SI]
    guess : float   Mass flow of the last step, positive port to outlet [kg/s]
    out : (3, 2) array   Boundary states rho, u, p, filled [SI]
    Returns
    -------
    mdot, spent : float   Flow, positive port to outlet; work that a turbine took [kg/s, J/kg]
    Source      steady laws of ``pulse1d.losses.laws`` between exact wave curves
    """
    walls0 = curve_pressure(0.0, state[0, 0], state[1, 0], state[2, 0], state[3, 0])
    walls1 = curve_pressure(0.0, state[0, 1], state[1, 1], state[2, 1], state[3, 1])
    reverse = walls1 > walls0
    a, b = (1, 0) if reverse else (0, 1)
    wall_a, wall_b = (walls1, walls0) if reverse else (walls0, walls1)
    sign = -1.0 if reverse else 1.0
    rho, u, p, gamma, R = state[0, a], state[1, a], state[2, a], state[3, a], state[4, a]
    c_a = math.sqrt(gamma * p / rho)
    c_b = math.sqrt(state[3, b] * state[2, b] / state[0, b])
    area = areas[a] / areas[b]
    low, high = 0.0, wall_a
    if guess * sign > 0.0:
        x = first_guess(guess * sign / areas[a], rho, u, p, gamma, wall_a)
    else:
        x = (area / c_a * wall_a + wall_b / c_b) / (area / c_a + 1.0 / c_b)
    p0 = min(max(x, 0.5 * wall_a), wall_a)
    cp = gamma * R / (gamma - 1.0)
    rho_a, u_a, p_a, G, T0, fall = rho, 0.0, wall_a, 0.0, 0.0, 0.0
    p_b, v, f = wall_b, 0.0, 0.0
    old, f_old, known, close = 0.0, 0.0, False, False
    for turn in range(2 * ROUNDS):
        rho_a, u_a, p_a, slope = leave_freely(rho, u, p, gamma, p0)
        G = rho_a * u_a * area
        T0 = p_a / (rho_a * R) + 0.5 * u_a * u_a / cp
        M, behind, T0_b = 0.0, p0, T0
        if G > 0.0:
            M, behind, T0_b = through_rows(rows, reverse, G * areas[b], p0, T0, gases[a])
        if M < 0.0:
            f, known, close = 1.0, False, False
            low = p0
            new = 0.5 * (low + high)
        else:
            p_b = behind / stagnation_ratio(M, gamma)
            fall = T0 - T0_b
            v = entering_speed(G, p_b, T0_b, gamma, R)
            u_b, _, du, _ = curve_point(p_b, state[0, b], state[1, b], state[2, b], state[3, b])
            f = (v + u_b) / c_b
            if abs(f) < (MISMATCH if close else NOTHING):
                break
            close = abs(f) < MISMATCH  # one step more: near rest it is all there is
            if f > 0.0:
                low = p0
            else:
                high = p0
                if slope == 0.0:
                    break
            if known and f != f_old:
                new = p0 - f * (p0 - old) / (f - f_old)
            else:
                dv = area * slope * v / max(G, 1e-30)
                head = (
                    behind
                    / p0
                    * (1.0 - 2.0 * math.log(p0 / behind) * p0 * area * slope / max(G, 1e-30))
                )
                new = p0 - f * c_b / (dv + du * (head - G * dv))
            old, f_old, known = p0, f, True
        if high - low < 1e-14 * high:
            break
        if close and not low < new < high:
            break
        if not low < new < high or (turn % 6 == 5 and not close):
            new = 0.5 * (low + high) if low > 0.0 else 0.5 * (0.8 * high + high)
        p0 = new
    T0_b = T0 - fall
    out[0, a], out[1, a], out[2, a] = rho_a, u_a, p_a
    if abs(f) < 1e3 * MISMATCH:
        out[0, b], out[1, b], out[2, b] = G / v if v > 0.0 else p_b / (R * T0_b), -v, p_b
    else:
        out[0, b], out[1, b], out[2, b] = flow_end(
            state[0, b], state[1, b], state[2, b], state[3, b], G, T0_b, gamma, R
        )
    return sign * G * areas[b], h(T0, gases[a]) - h(T0_b, gases[a]) if fall > 0.0 else 0.0
