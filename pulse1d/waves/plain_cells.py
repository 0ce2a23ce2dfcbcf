"""The interior of a plain pipe: uniform bore, no friction, one gas of constant gamma; compiled.

The same scheme as ``pulse1d.waves.cells`` with everything left out that such a pipe does not have;
the tests hold the two against each other to round-off.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.cells import LEAST, hllc
from pulse1d.waves.edges import slope_mc
from pulse1d.waves.loops import FAST, largest


@njit(cache=True, error_model="numpy", fastmath=FAST)
def reconstruct_plain(rho, u, p, volume, gamma, left, right, keep, c, first, last):
    """Edge values after half a step, monotonised central slopes.

    Parameters
    ----------
    rho, u, p, volume : (n,) arrays   Cells; the last is 1/rho, a division saved [SI]
    gamma : float   Ratio of specific heats [-]
    left, right : (3, n) arrays   Filled [SI]
    keep : (n,) array   1, or 0 where a cell falls back to first order [-]
    c : float   dt/(2 dx) [s/m]
    first, last : int   Cells first .. last - 1 [-]
    """
    rho, volume = rho[first - 1 : last + 1], volume[first - 1 : last + 1]
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
        u0 = v - c * (v * du + dp * volume[i])
        p0 = max(q - c * (v * dp + gamma * q * du), 0.1 * q)
        r_least, p_least = 0.1 * r0, 0.1 * p0
        left_0[i], right_0[i] = max(r0 - 0.5 * dr, r_least), max(r0 + 0.5 * dr, r_least)
        left_1[i], right_1[i] = u0 - 0.5 * du, u0 + 0.5 * du
        left_2[i], right_2[i] = max(p0 - 0.5 * dp, p_least), max(p0 + 0.5 * dp, p_least)


@njit(cache=True, error_model="numpy", fastmath=FAST)
def flux_plain(left, right, gamma, firm, flux, first, last):
    """HLLC flux of faces, energy in row 3, row 2 zero.

    Parameters
    ----------
    left, right : (3, n) arrays   Edge values rho, u, p [SI]
    gamma : float   Ratio of specific heats [-]
    firm : (n,) array   rho a of the cells [kg/m2/s]
    flux : (4, n) array   Filled [SI]
    first, last : int   Faces first .. last - 1 [-]
    Source      ``hllc``
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
    firm, G = firm[first : last + 1], 1.0 / (gamma - 1.0)
    for i in range(last - first):
        r1, u1, p1 = right_0[i], right_1[i], right_2[i]
        r2, u2, p2 = left_0[i + 1], left_1[i + 1], left_2[i + 1]
        mass, momentum, alpha, q, rest = hllc(
            r1, u1, p1, gamma, r2, u2, p2, gamma, 0.5 * (firm[i] + firm[i + 1])
        )
        flux_0[i], flux_1[i], flux_3[i] = mass, momentum, G * alpha * q + rest


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
def accept_plain(rho, mom, E, new, u, p, volume, gamma, firm, speeds, first, last):
    """Take the new values over.

    Parameters
    ----------
    rho, mom, E, new : as in ``update_plain``
    u, p, volume, firm : (n,) arrays   Filled; 1/rho and rho a [SI]
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
    volume = volume[first - 1 : last + 1]
    firm, speeds = firm[first - 1 : last + 1], speeds[first - 1 : last + 1]
    for i in range(1, last - first + 1):
        r, m, e = new_0[i], new_1[i], new_2[i]
        inverse = 1.0 / r
        v = m * inverse
        q = (gamma - 1.0) * (e - 0.5 * m * v)
        z = math.sqrt(gamma * q * r)
        rho[i], mom[i], E[i], u[i], p[i], firm[i], volume[i] = r, m, e, v, q, z, inverse
        speeds[i] = abs(v) + z * inverse
    return largest(speeds[1:-1])
