"""Two pipe ends joined by steps without length: a change of area, a jet, a loss; compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.losses.laws import DUCT, LAW, through_duct, through_jet
from pulse1d.waves.boundaries.bracket import ROUNDS, between
from pulse1d.waves.boundaries.joint import leave_at_total
from pulse1d.waves.boundaries.reservoir import ROOT, enter_by_mouth
from pulse1d.waves.wave_curve import curve_pressure, curve_sonic


@njit(cache=True, error_model="numpy")
def through_rows(rows, reverse, mdot, p0, T0, gas):
    """Stagnation pressure behind consecutive steps; 0 where they cannot pass the flow.

    Parameters
    ----------
    rows : (n, k) array   Steps without length, in port-to-outlet order [SI]
    reverse : bool   Flow runs from the last to the first [-]
    mdot, p0, T0 : float   Flow and stagnation state in front [kg/s, Pa, K]
    gas : array   Table of the gas that flows [SI]
    Returns
    -------
    p0 : float   [Pa]
    """
    n = rows.shape[0]
    for k in range(n):
        row = rows[n - 1 - k] if reverse else rows[k]
        if row[LAW] == DUCT:
            M, p0, T0, _, _, _, _ = through_duct(row, reverse, mdot, p0, T0, -1.0, gas)
        else:
            M, p0, _, _ = through_jet(row, reverse, mdot, p0, T0, gas)
        if M < 0.0:
            return 0.0
    return p0


@njit(cache=True, error_model="numpy")
def passage_end(state, areas, rows, gases, guess, out):
    """Boundary states on both sides of steps without length.

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
    mdot : float   [kg/s]
    Source      steady laws of ``pulse1d.losses.laws`` between exact wave curves
    """
    walls0 = curve_pressure(0.0, state[0, 0], state[1, 0], state[2, 0], state[3, 0])
    walls1 = curve_pressure(0.0, state[0, 1], state[1, 1], state[2, 1], state[3, 1])
    reverse = walls1 > walls0
    a, b = (1, 0) if reverse else (0, 1)
    wall_a, wall_b = (walls1, walls0) if reverse else (walls0, walls1)
    rho, u, p, gamma, R = state[0, a], state[1, a], state[2, a], state[3, a], state[4, a]
    p_s = curve_sonic(rho, u, p, gamma)[0]
    lift = (0.5 * (gamma + 1.0)) ** (gamma / (gamma - 1.0))
    low, high = min(max(p_s * lift, 0.5 * wall_b), wall_a), wall_a
    f_low, f_high = 1.0, -1.0
    scale = rho * math.sqrt(gamma * p / rho) * areas[a]
    sign = -1.0 if reverse else 1.0
    mdot = 0.0
    x = wall_a if guess * sign <= 0.0 else 0.0
    for turn in range(ROUNDS):
        p0 = between(low, f_low, high, f_high, turn) if x == 0.0 or turn else x
        rho_a, u_a, p_a = leave_at_total(rho, u, p, gamma, p0, wall_a)
        mdot = rho_a * u_a * areas[a]
        T_a = p_a / (rho_a * R)
        T0 = T_a * (1.0 + 0.5 * (gamma - 1.0) * u_a * u_a / (gamma * R * T_a))
        behind = through_rows(rows, reverse, mdot, p0, T0, gases[a]) if mdot > 0.0 else p0
        passed = 0.0
        rho_b, u_b, p_b = state[0, b], 0.0, wall_b
        if behind > wall_b:
            rho_b, u_b, p_b = enter_by_mouth(
                state[0, b], state[1, b], state[2, b], state[3, b], behind, T0, gamma, R, 0.0
            )
            passed = -rho_b * u_b * areas[b]
        out[0, a], out[1, a], out[2, a] = rho_a, u_a, p_a
        out[0, b], out[1, b], out[2, b] = rho_b, u_b, p_b
        f = (mdot - passed) / scale
        if f > 0.0:
            low, f_low, f_high = p0, f, 0.5 * f_high if turn % 2 else f_high
        else:
            high, f_high, f_low = p0, f, 0.5 * f_low if turn % 2 else f_low
        if abs(f) < ROOT or high - low < 1e-15 * wall_a:
            break
    return sign * mdot
