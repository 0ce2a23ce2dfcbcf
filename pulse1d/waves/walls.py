"""Wall friction and wall heat of the cells, followed as the flow changes; compiled.

A front that runs into gas at rest meets walls whose friction was last worked out for gas at rest:
64/Re would then stop it dead. So f and h follow the mass flux in every step: along a power law
through their values at the flux g when last worked out and at WINDOW g (or g/WINDOW, the way the
flux was going). A cell that leaves that window, or whose temperature drifts, is worked out anew.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.table import R as R_AT
from pulse1d.heat.convection import SQUARE, nusselt_gnielinski
from pulse1d.losses.friction import f_churchill, f_excess_ratio, turbulent_share
from pulse1d.waves.loops import FAST

EVERY = 512
"""Steps within which every cell is worked out anew, some in each step: what settles is exact."""
WINDOW = 3.0
"""Change of mass flux behind which a cell is worked out anew: the law between is within 1 % of f
and h there, within 4 % against the way the flux was going."""
DRIFT = 0.1
"""Change of temperature behind which a cell is worked out anew; f moves 1.5 % then, h 3 %."""
RE_LEAST, RE_LEAST_CHANNEL = 2000.0, 20.0
"""Least Re of the friction factor; in the channels of a brick, laminar indeed, gas that starts
meets 57/20 for a step or two."""

D_H, EPS, F_FACTOR, F_FIXED, K0_M, KF_M, MACH, X_IN, T_WALL, H_FIXED, H_FACTOR = range(11)
"""Rows of the wall table that describe the wall: hydraulic diameter, roughness, factor on f, fixed
f, loss coefficients per metre (constant; times f), Mach factor, distance from a radiused entry (-1:
developed), wall temperature (0: adiabatic), fixed heat transfer coefficient (0: computed), factor
on the computed one for pulsation (0: none)."""
G_LEAST, G_THEN, T_THEN, F_THEN, F_BEND, KF_THEN, H_THEN, H_BEND = range(11, 19)
"""Rows that hold what was last worked out: mass flux at RE_LEAST; mass flux and temperature then;
f/D, its power law; KF_M times f; 4h/D, its power law."""
H_NOW, H_SUM, Q_SUM = range(19, 22)
"""Rows of heat: 4h/D now; its integral over time and that of the heat into the gas since reset."""
OUTER = 22
"""Row of the outside: 0 a round wall; above 0 a body of channels, its outside perimeter over their
wetted one; below 0 a wall whose temperature is stated and stays."""
COLUMNS = 23


@njit(cache=True, error_model="numpy")
def friction_factor(Re, D, eps, f_fixed, f_factor, x_in, dx):
    """Darcy factor of a cell, the developing layer behind an entry included.

    Parameters
    ----------
    Re, D, eps, f_fixed, f_factor, x_in, dx : float   As in the wall table; cell length [SI]
    Returns
    -------
    f, f_developed : float   With and without the developing layer's excess [-]
    Source      churchill1977, zhiqing1982
    """
    f = f_fixed if f_fixed > 0.0 else f_churchill(Re, eps / D)
    f *= f_factor
    if x_in < 0.0 or f_fixed > 0.0:
        return f, f
    reach = D * math.sqrt(math.sqrt(max(Re, 1.0)))
    excess = f_excess_ratio(x_in / reach, (x_in + dx) / reach) * turbulent_share(Re)
    return f * (1.0 + excess), f


@njit(cache=True, error_model="numpy")
def power(here, there, share):
    """Bend n of the law here (1 + n s)/(1 - n s), s = (g - g0)/(g + g0), through a second value.

    Parameters
    ----------
    here, there : float   Values at g0 and at the other flux [any]
    share : float   s of the other flux [-]
    Returns
    -------
    n : float   Close to the exponent of a power law; 0 where there is nothing [-]
    Source      Pade form of (g/g0)^n
    """
    return (there - here) / ((there + here) * share) if there + here > 0.0 else 0.0


@njit(cache=True, error_model="numpy")
def work_out(i, cells, inv_dx, wall, mode, fresh, burned):
    """Friction and heat transfer of one cell, here and across the window.

    Parameters
    ----------
    i : int   Cell [-]
    cells, inv_dx, wall, mode, fresh, burned : as in ``bring_up``
    """
    table = burned if mode == 0 or cells[7][i] > 0.5 else fresh
    T, D, x_in, T_w = cells[6][i], wall[D_H, i], wall[X_IN, i], wall[T_WALL, i]
    mu = state.mu(T, table)
    channel = wall[OUTER, i] > 0.0
    least = (RE_LEAST_CHANNEL if channel else RE_LEAST) * mu / D
    g = max(abs(cells[1][i]), least)
    ahead = WINDOW if g >= wall[G_THEN, i] or g < WINDOW * least else 1.0 / WINDOW
    share = (ahead - 1.0) / (ahead + 1.0)
    Re, dx = g * D / mu, 1.0 / inv_dx[i]
    f, developed = friction_factor(
        Re, D, wall[EPS, i], wall[F_FIXED, i], wall[F_FACTOR, i], x_in, dx
    )
    there, _ = friction_factor(
        ahead * Re, D, wall[EPS, i], wall[F_FIXED, i], wall[F_FACTOR, i], x_in, dx
    )
    wall[G_LEAST, i], wall[G_THEN, i], wall[T_THEN, i] = least, g, T
    wall[F_THEN, i], wall[KF_THEN, i] = f / D, wall[KF_M, i] * developed
    wall[F_BEND, i] = power(f, there, share)
    if T_w <= 0.0:
        return
    wall[H_THEN, i], wall[H_BEND, i] = 4.0 * wall[H_FIXED, i] / D, 0.0
    if wall[H_FIXED, i] == 0.0:
        x_1 = x_in / D if x_in >= 0.0 else math.inf
        x_2 = (x_in + dx) / D if x_in >= 0.0 else math.inf
        Pr = state.prandtl(T, table)
        Nu = nusselt_gnielinski(Re, Pr, x_1, x_2, T / T_w)
        Nu_there = nusselt_gnielinski(ahead * Re, Pr, x_1, x_2, T / T_w)
        pulsing = wall[H_FACTOR, i] if wall[H_FACTOR, i] > 0.0 else 1.0
        pulsing = SQUARE if channel else pulsing
        wall[H_THEN, i] = 4.0 * pulsing * Nu * state.k_th(T, table) / (D * D)
        wall[H_BEND, i] = power(Nu, Nu_there, share)


@njit(cache=True, error_model="numpy", fastmath=FAST)
def follow(first, last, cells, wall, drag, heat):
    """Drag and heat of the cells of one leg from what was worked out and the flow now.

    Parameters
    ----------
    first, last, cells, wall, drag, heat : as in ``bring_up``
    """
    rho, mom, u = cells[0][first:last], cells[1][first:last], cells[4][first:last]
    p, T, gam = cells[5][first:last], cells[6][first:last], cells[8][first:last]
    least, g_then = wall[G_LEAST, first:last], wall[G_THEN, first:last]
    f_then, f_bend = wall[F_THEN, first:last], wall[F_BEND, first:last]
    h_then, h_bend = wall[H_THEN, first:last], wall[H_BEND, first:last]
    K0, KF, mach = wall[K0_M, first:last], wall[KF_THEN, first:last], wall[MACH, first:last]
    T_w, drag, heat = wall[T_WALL, first:last], drag[first:last], heat[first:last]
    h_now = wall[H_NOW, first:last]
    for i in range(last - first):
        g = max(abs(mom[i]), least[i])
        both, more = g + g_then[i], g - g_then[i]
        f = (both + f_bend[i] * more) / (both - f_bend[i] * more)
        h = (both + h_bend[i] * more) / (both - h_bend[i] * more)
        M2 = u[i] * u[i] * rho[i] / (gam[i] * p[i])
        drag[i] = f_then[i] * f + (K0[i] + KF[i] * f) * (1.0 + mach[i] * M2)
        h_now[i] = h_then[i] * h
        heat[i] = h_now[i] * (T_w[i] - T[i])


@njit(cache=True, error_model="numpy", fastmath=FAST)
def add_up(first, last, wall, heat, dt):
    """Add a step to the integrals of heat of one leg.

    Parameters
    ----------
    first, last : int   Cells first .. last - 1 [-]
    wall, heat : as in ``bring_up``
    dt : float   The step, taken [s]
    """
    h_now, h_sum = wall[H_NOW, first:last], wall[H_SUM, first:last]
    q_sum, heat = wall[Q_SUM, first:last], heat[first:last]
    for i in range(last - first):
        h_sum[i] += dt * h_now[i]
        q_sum[i] += dt * heat[i]


@njit(cache=True, error_model="numpy")
def bring_up(first, last, cells, inv_dx, wall, drag, heat, mode, fresh, burned, turn):
    """Friction and heat of the cells of one leg.

    Parameters
    ----------
    first, last : int   Cells first .. last - 1 [-]
    cells : tuple   See ``pulse1d.waves.advance``; T is filled here for a gas of constant gamma
    inv_dx : (n,) array   [1/m]
    wall : (23, n) array   Rows as above [SI]
    drag, heat : (n,) arrays   f/D + K/L; heat into the gas, filled [1/m, W/m3]
    mode : int   0 for a gas of constant gamma, whose transport is that of ``burned``'s table [-]
    fresh, burned : (50,) arrays   Tables [SI]
    turn : int   Steps done [-]
    """
    if mode == 0:
        for i in range(first, last):
            cells[6][i] = cells[5][i] / (cells[0][i] * fresh[R_AT])
    least, g_then, T_then = wall[G_LEAST], wall[G_THEN], wall[T_THEN]
    span = (WINDOW - 1.0) / (WINDOW + 1.0)
    for i in range(first, last):
        g = max(abs(cells[1][i]), least[i])
        if (
            abs(g - g_then[i]) > span * (g + g_then[i])
            or abs(cells[6][i] - T_then[i]) > DRIFT * T_then[i]
        ):
            work_out(i, cells, inv_dx, wall, mode, fresh, burned)
    for k in range(turn % EVERY, last - first, EVERY):  # from both ends: a mirrored leg is the same
        work_out(first + k, cells, inv_dx, wall, mode, fresh, burned)
        work_out(last - 1 - k, cells, inv_dx, wall, mode, fresh, burned)
    follow(first, last, cells, wall, drag, heat)
