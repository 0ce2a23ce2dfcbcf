"""The interior of all pipes in one go: reconstruction, half step, HLLC flux, update; compiled.

Arrays run over the cells of all legs laid end to end, with two ghost cells at each end of a leg.
Face i lies between cells i and i + 1. Loops run over one leg; the faces at
its ends are overwritten by the ends' own laws.

Scheme: MUSCL-Hancock on rho, u, p and Y (van Leer; Toro 2009 ch. 14, from memory), HLLC with
pressure-based wave speeds (Toro 2009 ch. 10, from memory), area by face differences (the pressure
of the half step on the walls), so gas at rest stays at rest to round-off.

Energy. Each cell's gas is linearised as rho e = p G + rho e0 with G = 1/(gamma - 1), exact at the
cell's own state. The energy flux of a face is G (alpha p) + e0 (alpha rho) + rest, where alpha is
the upwind transport speed: a cell may read it with its own G and e0 (pressure equilibrium: no noise
at a front, a small defect in energy) or with the upwind cell's (conservative).
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.edges import slope_mc
from pulse1d.waves.loops import FAST, largest

TINY = 1e-100
LEAST = 1e-4
"""Least share of density or inner energy that a cell may keep in one step without a fall-back."""


@njit(cache=True, error_model="numpy", fastmath=FAST, inline="always")
def hllc(r1, u1, p1, g1, r2, u2, p2, g2, firmness):
    """HLLC flux of one face, without the energy that its gas holds at rest.

    K is the speed of the upwind side's outer wave, 0 where that side covers the whole face. S, K
    and 1/(K - S) share one division.

    Parameters
    ----------
    r1, u1, p1, g1, r2, u2, p2, g2 : float   rho, u, p, gamma left and right [SI]
    firmness : float   Mean of rho a about the face, for the guess of its pressure [kg/m2/s]
    Returns
    -------
    mass, momentum, alpha, q, rest : float   Fluxes; transport speed; upwind pressure; flux of
        kinetic energy and work [SI]
    Source      Toro 2009 ch. 10, from memory
    """
    guess = 0.5 * (p1 + p2) - 0.5 * (u2 - u1) * firmness
    m1 = -math.sqrt(r1 * (g1 * p1 + 0.5 * (g1 + 1.0) * max(guess - p1, 0.0)))
    m2 = math.sqrt(r2 * (g2 * p2 + 0.5 * (g2 + 1.0) * max(guess - p2, 0.0)))
    push, both = p1 - p2 - m1 * u1 + m2 * u2, m2 - m1
    ahead = push >= 0.0
    r = r1 if ahead else r2
    v = u1 if ahead else u2
    q = p1 if ahead else p2
    out = r * v + (m1 if ahead else m2)
    out = min(out, 0.0) if ahead else max(out, 0.0)
    lag = both * out - push * r + (-TINY if ahead else TINY)
    shared = 1.0 / (both * r * lag)
    S, K, per_lag = push * r * lag * shared, out * both * lag * shared, both * r * both * r * shared
    chi = (K - v) * per_lag
    alpha = chi * S
    rest = 0.5 * r * v * v * alpha + v * q + K * (S - v) * (r * S * chi + q * per_lag)
    return r * alpha, r * v * v + q + K * r * (alpha - v), alpha, q, rest


@njit(cache=True, error_model="numpy", fastmath=FAST)
def flux_hllc(left, right, gam, firm, flux, first, last):
    """HLLC flux of all faces, split so that energy can be read with any cell's gas.

    Parameters
    ----------
    left, right : (3, n) arrays   Edge values rho, u, p of the cells [SI]
    gam, firm : (n,) arrays   Ratio of specific heats; rho a [-, kg/m2/s]
    flux : (4, n) array   Filled at face i: mass, momentum, alpha p, rest of energy [SI]
    first, last : int   Faces first .. last - 1 [-]
    Source      Toro 2009 ch. 10, from memory
    """
    gam, firm = gam[first : last + 1], firm[first : last + 1]
    left_0 = left[0, first : last + 1]
    left_1 = left[1, first : last + 1]
    left_2 = left[2, first : last + 1]
    right_0 = right[0, first : last + 1]
    right_1 = right[1, first : last + 1]
    right_2 = right[2, first : last + 1]
    flux_0 = flux[0, first : last + 1]
    flux_1 = flux[1, first : last + 1]
    flux_2 = flux[2, first : last + 1]
    flux_3 = flux[3, first : last + 1]
    for i in range(last - first):
        r1, u1, p1, g1 = right_0[i], right_1[i], right_2[i], gam[i]
        r2, u2, p2, g2 = left_0[i + 1], left_1[i + 1], left_2[i + 1], gam[i + 1]
        mass, momentum, alpha, q, rest = hllc(
            r1, u1, p1, g1, r2, u2, p2, g2, 0.5 * (firm[i] + firm[i + 1])
        )
        flux_0[i], flux_1[i], flux_2[i], flux_3[i] = mass, momentum, alpha * q, rest


@njit(cache=True, error_model="numpy", fastmath=FAST)
def flux_species(Y, left_Y, right_Y, flux, flux_Y, inv_dx, u, keep, dt, first, last):
    """Burned-gas flux of all faces: mass flux times the upwind edge value.

    Parameters
    ----------
    Y : (n,) array   Mass fraction of burned gas [-]
    left_Y, right_Y : (n,) arrays   Edge values, filled [-]
    flux : (4, n) array   Mass flux in row 0 [SI]
    flux_Y : (n,) array   Filled [kg/m2/s]
    inv_dx, u, keep, dt, first, last : as in ``reconstruct_mc``
    """
    Y, u, keep = Y[first - 1 : last + 1], u[first - 1 : last + 1], keep[first - 1 : last + 1]
    inv_dx, flux_0 = inv_dx[first - 1 : last + 1], flux[0, first - 1 : last + 1]
    left_Y, right_Y = left_Y[first - 1 : last + 1], right_Y[first - 1 : last + 1]
    flux_Y = flux_Y[first - 1 : last + 1]
    for i in range(1, last - first + 1):
        d = keep[i] * slope_mc(Y[i] - Y[i - 1], Y[i + 1] - Y[i])
        y = Y[i] - 0.5 * dt * inv_dx[i] * u[i] * d
        left_Y[i] = min(max(y - 0.5 * d, 0.0), 1.0)
        right_Y[i] = min(max(y + 0.5 * d, 0.0), 1.0)
    for i in range(1, last - first):
        ahead = flux_0[i] >= 0.0
        flux_Y[i] = flux_0[i] * (right_Y[i] if ahead else left_Y[i + 1])


@njit(cache=True, error_model="numpy", fastmath=FAST)
def update_species(rho_Y, new_Y, flux_Y, A, inv_V, dt, first, last):
    """Burned gas per volume after the step.

    Parameters
    ----------
    rho_Y, new_Y : (n,) arrays   Before, and filled after [kg/m3]
    flux_Y, A, inv_V : (n,) arrays   Face fluxes, face areas, 1/volume [SI]
    dt : float   [s]
    first, last : int   Cells first .. last - 1 [-]
    """
    rho_Y, new_Y = rho_Y[first - 1 : last + 1], new_Y[first - 1 : last + 1]
    flux_Y, A = flux_Y[first - 1 : last + 1], A[first - 1 : last + 1]
    inv_V = inv_V[first - 1 : last + 1]
    for i in range(1, last - first + 1):
        new_Y[i] = rho_Y[i] - dt * inv_V[i] * (A[i] * flux_Y[i] - A[i - 1] * flux_Y[i - 1])


@njit(cache=True, error_model="numpy", fastmath=FAST)
def flux_upwind_energy(flux, G, e0, first, last):
    """Make the energy flux of every face one number, read with the upwind cell's gas.

    Parameters
    ----------
    flux : (4, n) array   From ``flux_hllc``; row 3 becomes the whole energy flux, row 2 zero [SI]
    G, e0 : (n,) arrays   Linearised gas of the cells [-, J/kg]
    first, last : int   Faces first .. last - 1 [-]
    """
    G = G[first : last + 1]
    e0 = e0[first : last + 1]
    flux_0 = flux[0, first : last + 1]
    flux_2 = flux[2, first : last + 1]
    flux_3 = flux[3, first : last + 1]
    for i in range(last - first):
        up = flux_0[i] >= 0.0
        g = G[i] if up else G[i + 1]
        e = e0[i] if up else e0[i + 1]
        flux_3[i] += g * flux_2[i] + e * flux_0[i]
        flux_2[i] = 0.0


@njit(cache=True, error_model="numpy", fastmath=FAST)
def update(
    rho, mom, E, p, new, left, right, flux, G, e0, A, inv_V, drag, heat, dt, own, first, last
):  # fmt: skip
    """Conserved values after the step.

    Parameters
    ----------
    rho, mom, E, p : (n,) arrays   Mass, momentum, energy per volume; pressure [SI]
    new : (3, n) array   Filled with the first three after the step [SI]
    left, right : (3, n) arrays   Edge values of the half step [SI]
    flux : (4, n) array   Fluxes of the faces [SI]
    G, e0 : (n,) arrays   Linearised gas [-, J/kg]
    A, inv_V : (n,) arrays   Face areas; 1/volume of the cells [m2, 1/m3]
    drag, heat : (n,) arrays   f/D + K/L [1/m]; heat into the gas [W/m3]
    dt : float   Time step [s]
    first, last : int   Cells first .. last - 1 [-]
    own : float   1: energy fluxes read with the cell's own gas; 0: row 3 is the whole flux [-]
    Returns
    -------
    thin : int   Cells that keep less than LEAST of their density or inner energy [-]
    """
    rho = rho[first - 1 : last + 1]
    mom = mom[first - 1 : last + 1]
    E = E[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    G = G[first - 1 : last + 1]
    e0 = e0[first - 1 : last + 1]
    A = A[first - 1 : last + 1]
    inv_V = inv_V[first - 1 : last + 1]
    drag = drag[first - 1 : last + 1]
    heat = heat[first - 1 : last + 1]
    left_0 = left[0, first - 1 : last + 1]
    left_1 = left[1, first - 1 : last + 1]
    left_2 = left[2, first - 1 : last + 1]
    right_0 = right[0, first - 1 : last + 1]
    right_1 = right[1, first - 1 : last + 1]
    right_2 = right[2, first - 1 : last + 1]
    flux_0 = flux[0, first - 1 : last + 1]
    flux_1 = flux[1, first - 1 : last + 1]
    flux_2 = flux[2, first - 1 : last + 1]
    flux_3 = flux[3, first - 1 : last + 1]
    new_0 = new[0, first - 1 : last + 1]
    new_1 = new[1, first - 1 : last + 1]
    new_2 = new[2, first - 1 : last + 1]
    thin = 0
    for i in range(1, last - first + 1):
        A_1, A_2 = A[i - 1], A[i]
        c = dt * inv_V[i]
        r_m = 0.5 * (left_0[i] + right_0[i])
        u_m = 0.5 * (left_1[i] + right_1[i])
        p_m = 0.5 * (left_2[i] + right_2[i])
        f0 = A_2 * flux_0[i] - A_1 * flux_0[i - 1]
        f1 = A_2 * (flux_1[i] - p_m) - A_1 * (flux_1[i - 1] - p_m)
        f2 = A_2 * flux_2[i] - A_1 * flux_2[i - 1]
        f3 = A_2 * flux_3[i] - A_1 * flux_3[i - 1]
        r = rho[i] - c * f0
        m = mom[i] - c * f1 - dt * 0.5 * drag[i] * r_m * u_m * abs(u_m)
        e = E[i] - c * (own * (G[i] * f2 + e0[i] * f0) + f3) + dt * heat[i]
        new_0[i], new_1[i], new_2[i] = r, m, e
        left = (e - r * e0[i] - LEAST * G[i] * p[i]) * r - 0.5 * m * m
        thin += 0 if min(r - LEAST * rho[i], left) > 0.0 else 1
    return thin


@njit(cache=True, error_model="numpy", fastmath=FAST)
def accept_constant(rho, mom, E, new, u, p, gam, firm, inv_dx, rates, first, last):
    """Take the new values over and find pressures of a gas of one constant gamma.

    Parameters
    ----------
    rho, mom, E, new, inv_dx, first, last : as in ``update``
    u, p, firm : (n,) arrays   Filled; the last is rho a [m/s, Pa, kg/m2/s]
    gam : (n,) array   Ratio of specific heats [-]
    rates : (n,) array   For passing use [1/s]
    Returns
    -------
    rate : float   Largest (|u| + a)/dx [1/s]
    """
    rho = rho[first - 1 : last + 1]
    mom = mom[first - 1 : last + 1]
    E = E[first - 1 : last + 1]
    u = u[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    gam, firm = gam[first - 1 : last + 1], firm[first - 1 : last + 1]
    inv_dx, rates = inv_dx[first - 1 : last + 1], rates[first - 1 : last + 1]
    new_0 = new[0, first - 1 : last + 1]
    new_1 = new[1, first - 1 : last + 1]
    new_2 = new[2, first - 1 : last + 1]
    for i in range(1, last - first + 1):
        r, m, e = new_0[i], new_1[i], new_2[i]
        inverse = 1.0 / r
        v = m * inverse
        q = (e - 0.5 * m * v) * (gam[i] - 1.0)
        z = math.sqrt(gam[i] * q * r)
        rho[i], mom[i], E[i], u[i], p[i], firm[i] = r, m, e, v, q, z
        rates[i] = inv_dx[i] * (abs(v) + z * inverse)
    return largest(rates[1:-1])
