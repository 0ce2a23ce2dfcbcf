"""The interior of a plain pipe: uniform bore, no friction, one gas of constant gamma; compiled.

The same scheme as ``pulse1d.waves.cells`` with everything left out that such a pipe does not have;
the tests hold the two against each other to round-off.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.cells import FAST, LEAST, TINY, largest, slope_mc


@njit(cache=True, error_model="numpy", fastmath=FAST)
def reconstruct_plain(rho, u, p, gamma, left, right, keep, c, first, last):
    """Edge values after half a step, monotonised central slopes.

    Parameters
    ----------
    rho, u, p : (n,) arrays   Cells [SI]
    gamma : float   Ratio of specific heats [-]
    left, right : (3, n) arrays   Filled [SI]
    keep : (n,) array   1, or 0 where a cell falls back to first order [-]
    c : float   dt/(2 dx) [s/m]
    first, last : int   Cells first .. last - 1 [-]
    """
    rho = rho[first - 1 : last + 1]
    u = u[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    keep = keep[first - 1 : last + 1]
    left_0 = left[0, first - 1 : last + 1]
    left_1 = left[1, first - 1 : last + 1]
    left_2 = left[2, first - 1 : last + 1]
    right_0 = right[0, first - 1 : last + 1]
    right_1 = right[1, first - 1 : last + 1]
    right_2 = right[2, first - 1 : last + 1]
    for i in range(1, last - first + 1):
        r, v, q = rho[i], u[i], p[i]
        dr = keep[i] * slope_mc(r - rho[i - 1], rho[i + 1] - r)
        du = keep[i] * slope_mc(v - u[i - 1], u[i + 1] - v)
        dp = keep[i] * slope_mc(q - p[i - 1], p[i + 1] - q)
        r0 = max(r - c * (v * dr + r * du), 0.1 * r)
        u0 = v - c * (v * du + dp / r)
        p0 = max(q - c * (v * dp + gamma * q * du), 0.1 * q)
        er = min(max(0.5 * dr, -0.9 * r0), 0.9 * r0)
        ep = min(max(0.5 * dp, -0.9 * p0), 0.9 * p0)
        left_0[i], right_0[i] = r0 - er, r0 + er
        left_1[i], right_1[i] = u0 - 0.5 * du, u0 + 0.5 * du
        left_2[i], right_2[i] = p0 - ep, p0 + ep


@njit(cache=True, error_model="numpy", fastmath=FAST)
def flux_plain(left, right, gamma, flux, first, last):
    """HLLC flux of faces, energy in row 3, row 2 zero.

    Parameters
    ----------
    left, right : (3, n) arrays   Edge values rho, u, p [SI]
    gamma : float   Ratio of specific heats [-]
    flux : (4, n) array   Filled [SI]
    first, last : int   Faces first .. last - 1 [-]
    Source      Toro 2009 ch. 10, from memory
    """
    left_0 = left[0, first : last + 1]
    left_1 = left[1, first : last + 1]
    left_2 = left[2, first : last + 1]
    right_0 = right[0, first : last + 1]
    right_1 = right[1, first : last + 1]
    right_2 = right[2, first : last + 1]
    flux_0 = flux[0, first : last + 1]
    flux_1 = flux[1, first : last + 1]
    flux_3 = flux[3, first : last + 1]
    G, lift = 1.0 / (gamma - 1.0), 0.5 * (gamma + 1.0)
    for i in range(last - first):
        r1, u1, p1 = right_0[i], right_1[i], right_2[i]
        r2, u2, p2 = left_0[i + 1], left_1[i + 1], left_2[i + 1]
        middle = 0.5 * (p1 + p2)
        guess = middle - 0.5 * (u2 - u1) * math.sqrt(gamma * middle * 0.5 * (r1 + r2))
        m1 = -math.sqrt(r1 * (gamma * p1 + lift * max(guess - p1, 0.0)))
        m2 = math.sqrt(r2 * (gamma * p2 + lift * max(guess - p2, 0.0)))
        push, both = p1 - p2 - m1 * u1 + m2 * u2, m2 - m1
        ahead = push >= 0.0
        r = r1 if ahead else r2
        v = u1 if ahead else u2
        q = p1 if ahead else p2
        shared = 1.0 / (both * r)
        S = push * r * shared
        wave = v + (m1 if ahead else m2) * both * shared
        K = min(wave, 0.0) if ahead else max(wave, 0.0)
        gap = K - v + (-TINY if ahead else TINY)
        lag = K - S + (-TINY if ahead else TINY)
        inverse = 1.0 / (gap * lag)
        chi = gap * gap * inverse
        alpha = chi * S
        flux_0[i] = r * alpha
        flux_1[i] = r * v * v + q + K * r * (alpha - v)
        inner = q * G + 0.5 * r * v * v
        flux_3[i] = inner * alpha + v * q + K * chi * (S - v) * (r * S + q * lag * inverse)


@njit(cache=True, error_model="numpy", fastmath=FAST)
def update_plain(rho, mom, E, p, new, flux, ratio, gamma, first, last):
    """Conserved values after the step.

    Parameters
    ----------
    rho, mom, E, p : (n,) arrays   Mass, momentum, energy per volume; pressure [SI]
    new : (3, n) array   Filled [SI]
    flux : (4, n) array   Fluxes of the faces [SI]
    ratio, gamma : float   dt/dx; ratio of specific heats [s/m, -]
    first, last : int   Cells first .. last - 1 [-]
    Returns
    -------
    thin : int   Cells that keep less than LEAST of their density or inner energy [-]
    """
    rho = rho[first - 1 : last + 1]
    mom = mom[first - 1 : last + 1]
    E = E[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    new_0 = new[0, first - 1 : last + 1]
    new_1 = new[1, first - 1 : last + 1]
    new_2 = new[2, first - 1 : last + 1]
    flux_0 = flux[0, first - 1 : last + 1]
    flux_1 = flux[1, first - 1 : last + 1]
    flux_3 = flux[3, first - 1 : last + 1]
    thin, floor = 0, LEAST / (gamma - 1.0)
    for i in range(1, last - first + 1):
        r = rho[i] - ratio * (flux_0[i] - flux_0[i - 1])
        m = mom[i] - ratio * (flux_1[i] - flux_1[i - 1])
        e = E[i] - ratio * (flux_3[i] - flux_3[i - 1])
        new_0[i], new_1[i], new_2[i] = r, m, e
        left = min(r - LEAST * rho[i], (e - floor * p[i]) * r - 0.5 * m * m)
        thin += 0 if left > 0.0 else 1
    return thin


@njit(cache=True, error_model="numpy", fastmath=FAST)
def accept_plain(rho, mom, E, new, u, p, gamma, speeds, first, last):
    """Take the new values over.

    Parameters
    ----------
    rho, mom, E, new : as in ``update_plain``
    u, p : (n,) arrays   Filled [m/s, Pa]
    gamma : float   Ratio of specific heats [-]
    speeds : (n,) array   For passing use [m/s]
    first, last : int   Cells first .. last - 1 [-]
    Returns
    -------
    speed : float   Largest |u| + a [m/s]
    """
    rho = rho[first - 1 : last + 1]
    mom = mom[first - 1 : last + 1]
    E = E[first - 1 : last + 1]
    u = u[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    new_0 = new[0, first - 1 : last + 1]
    new_1 = new[1, first - 1 : last + 1]
    new_2 = new[2, first - 1 : last + 1]
    speeds = speeds[first - 1 : last + 1]
    for i in range(1, last - first + 1):
        r, m, e = new_0[i], new_1[i], new_2[i]
        inverse = 1.0 / r
        v = m * inverse
        q = (gamma - 1.0) * (e - 0.5 * m * v)
        rho[i], mom[i], E[i], u[i], p[i] = r, m, e, v, q
        speeds[i] = abs(v) + math.sqrt(gamma * q * inverse)
    return largest(speeds[1:-1])
