"""Wall friction and wall heat of the cells, brought up to date as the flow changes; compiled.

A front that runs into gas at rest meets walls whose friction was last worked out for gas at rest:
64/Re would then stop it dead. So a cell is worked out anew as soon as its velocity has moved, and
below RE_LEAST, where friction no longer matters to a pulse, the factor is held.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.table import R as R_AT
from pulse1d.heat.convection import nusselt_gnielinski
from pulse1d.losses.friction import f_churchill, f_excess_ratio, turbulent_share

EVERY = 64
"""Steps after which every cell is worked out anew, for the slow drift of temperature."""
MOVED, STILL = 0.15, 5.0
"""A cell is worked out anew when |u| has moved by more than MOVED (|u| + STILL m/s) since: at
speeds that matter f is within 3 % then, h within 12 %."""
RE_LEAST = 2000.0
"""Least Re of the friction factor."""

D_H, EPS, F_FACTOR, F_FIXED, K0_M, KF_M, MACH, X_IN, T_WALL, H_FIXED, U_THEN = range(11)
"""Rows of the wall table: hydraulic diameter, roughness, factor on f, fixed f, loss coefficients
per metre (constant; times f), Mach factor, distance from a radiused entry (-1: developed), wall
temperature (0: adiabatic), fixed heat transfer coefficient (0: computed), |u| when last worked
out."""
COLUMNS = 11


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
def work_out(i, cells, inv_dx, wall, drag, heat, mode, fresh, burned):
    """Friction and heat of one cell.

    Parameters
    ----------
    i : int   Cell [-]
    cells, inv_dx, wall, drag, heat, mode, fresh, burned : as in ``bring_up``
    """
    rho, u, p = cells[0][i], cells[4][i], cells[5][i]
    wall[U_THEN, i] = abs(u)
    table = burned if mode == 0 or cells[7][i] > 0.5 else fresh
    T = p / (rho * fresh[R_AT]) if mode == 0 else cells[6][i]
    D = wall[D_H, i]
    Re = rho * abs(u) * D / state.mu(T, table)
    dx = 1.0 / inv_dx[i]
    f, developed = friction_factor(
        max(Re, RE_LEAST), D, wall[EPS, i], wall[F_FIXED, i], wall[F_FACTOR, i], wall[X_IN, i], dx
    )
    M2 = u * u * rho / (cells[8][i] * p)
    K = (wall[K0_M, i] + wall[KF_M, i] * developed) * (1.0 + wall[MACH, i] * M2)
    drag[i] = f / D + K
    heat[i] = 0.0
    if wall[T_WALL, i] > 0.0:
        h = wall[H_FIXED, i]
        if h == 0.0:
            x = wall[X_IN, i]
            x_1 = x / D if x >= 0.0 else math.inf
            x_2 = (x + dx) / D if x >= 0.0 else math.inf
            Pr = state.prandtl(T, table)
            Nu = nusselt_gnielinski(Re, Pr, x_1, x_2, T / wall[T_WALL, i])
            h = Nu * state.k_th(T, table) / D
        heat[i] = 4.0 * h / D * (wall[T_WALL, i] - T)


@njit(cache=True, error_model="numpy")
def bring_up(first, last, cells, inv_dx, wall, drag, heat, mode, fresh, burned, every):
    """Friction and heat of the cells of one leg.

    Parameters
    ----------
    first, last : int   Cells first .. last - 1 [-]
    cells : tuple   See ``pulse1d.waves.advance``
    inv_dx : (n,) array   [1/m]
    wall : (11, n) array   Rows as above; the last is updated [SI]
    drag, heat : (n,) arrays   f/D + K/L; heat into the gas, filled [1/m, W/m3]
    mode : int   0 for a gas of constant gamma, whose transport is that of ``burned``'s table [-]
    fresh, burned : (50,) arrays   Tables [SI]
    every : bool   Every cell, not only those whose velocity has moved [-]
    """
    u, then = cells[4][first:last], wall[U_THEN, first:last]
    for k in range(last - first):
        if every or abs(abs(u[k]) - then[k]) > MOVED * (then[k] + STILL):
            work_out(first + k, cells, inv_dx, wall, drag, heat, mode, fresh, burned)
