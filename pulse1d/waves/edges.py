"""Edge values of cells half a step on: limited slopes of rho, u, p and a half step; compiled.

Scheme: MUSCL-Hancock (van Leer; Toro 2009 ch. 14, from memory).
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.loops import FAST

MC, VAN_LEER, VAN_ALBADA, MINMOD, UNLIMITED, FIRST = 0, 1, 2, 3, 4, 5
"""Limiters: monotonised central, van Leer, van Albada, minmod, none, first order."""
LIMITERS = ("mc", "van leer", "van albada", "minmod", "none", "first order")


@njit(cache=True, error_model="numpy", inline="always")
def slope_mc(a, b):
    """Monotonised central slope of two differences.

    Parameters
    ----------
    a, b : float   Backward and forward difference [any]
    Returns
    -------
    slope : float   min(2|a|, 2|b|, |a+b|/2) with their common sign, else 0 [any]
    Source      van Leer 1977, from memory
    """
    size = min(2.0 * min(abs(a), abs(b)), 0.5 * abs(a + b))
    return math.copysign(size, a) if a * b > 0.0 else 0.0


@njit(cache=True, error_model="numpy", fastmath=FAST)
def slope_of(a, b, limiter):
    """Slope of two differences by any limiter.

    Parameters
    ----------
    a, b : float   Backward and forward difference [any]
    limiter : int   One of the constants above [-]
    Returns
    -------
    slope : float   [any]
    Source      Toro 2009 ch. 13, from memory
    """
    if limiter == MC:
        return slope_mc(a, b)
    if limiter == UNLIMITED:
        return 0.5 * (a + b)
    if limiter == FIRST or a * b <= 0.0:
        return 0.0
    if limiter == VAN_LEER:
        return 2.0 * a * b / (a + b)
    if limiter == VAN_ALBADA:
        return a * b * (a + b) / (a * a + b * b)
    return a if abs(a) < abs(b) else b


@njit(cache=True, error_model="numpy", fastmath=FAST, inline="always")
def half_step(r, v, q, gamma, dr, du, dp, c, h, dlnA, drag, heat):
    """Edge values of one cell after half a step.

    Parameters
    ----------
    r, v, q, gamma, dr, du, dp : float   rho, u, p, gamma and slopes over the cell [SI]
    c, h : float   dt/(2 dx), dt/2; 0 for edges as they are [s/m, s]
    dlnA, drag, heat : float   As in ``reconstruct_mc`` [SI]
    Returns
    -------
    r_1, r_2, u_1, u_2, p_1, p_2 : float   rho, u, p at its first and second edge [SI]
    """
    stretch = c * du + h * dlnA * v
    rub = 0.5 * drag * v * abs(v)
    r0 = max(r - c * v * dr - r * stretch, 0.1 * r)
    u0 = v - c * (v * du + dp / r) - h * rub
    warm = h * (gamma - 1.0) * (heat + r * rub * v)
    p0 = max(q - c * v * dp - gamma * q * stretch + warm, 0.1 * q)
    r_least, p_least = 0.1 * r0, 0.1 * p0
    return (
        max(r0 - 0.5 * dr, r_least), max(r0 + 0.5 * dr, r_least), u0 - 0.5 * du, u0 + 0.5 * du,
        max(p0 - 0.5 * dp, p_least), max(p0 + 0.5 * dp, p_least),
    )  # fmt: skip


@njit(cache=True, error_model="numpy", fastmath=FAST)
def reconstruct_mc(rho, u, p, gam, left, right, inv_dx, dlnA, drag, heat, keep, dt, first, last):
    """Edge values after half a step, monotonised central slopes.

    Parameters
    ----------
    rho, u, p, gam : (n,) arrays   Cells [SI]
    left, right : (3, n) arrays   rho, u, p at the cells' edges, filled [SI]
    inv_dx, dlnA, drag : (n,) arrays   1/dx; area change over volume; friction f/D + K/L [1/m]
    heat : (n,) array   Into the gas [W/m3]
    keep : (n,) array   1, or 0 where a cell falls back to first order [-]
    dt : float   Time step [s]
    first, last : int   Cells first .. last - 1 [-]
    """
    rho = rho[first - 1 : last + 1]
    u = u[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    gam = gam[first - 1 : last + 1]
    inv_dx = inv_dx[first - 1 : last + 1]
    dlnA = dlnA[first - 1 : last + 1]
    drag = drag[first - 1 : last + 1]
    heat = heat[first - 1 : last + 1]
    keep = keep[first - 1 : last + 1]
    left_0 = left[0, first - 1 : last + 1]
    left_1 = left[1, first - 1 : last + 1]
    left_2 = left[2, first - 1 : last + 1]
    right_0 = right[0, first - 1 : last + 1]
    right_1 = right[1, first - 1 : last + 1]
    right_2 = right[2, first - 1 : last + 1]
    h = 0.5 * dt
    for i in range(1, last - first + 1):
        r, v, q = rho[i], u[i], p[i]
        dr = keep[i] * slope_mc(r - rho[i - 1], rho[i + 1] - r)
        du = keep[i] * slope_mc(v - u[i - 1], u[i + 1] - v)
        dp = keep[i] * slope_mc(q - p[i - 1], p[i + 1] - q)
        c = h * inv_dx[i]
        left_0[i], right_0[i], left_1[i], right_1[i], left_2[i], right_2[i] = half_step(
            r, v, q, gam[i], dr, du, dp, c, h, dlnA[i], drag[i], heat[i]
        )


@njit(cache=True, error_model="numpy", fastmath=FAST)
def reconstruct_by(
    limiter, rho, u, p, gam, left, right, inv_dx, dlnA, drag, heat, keep, dt, first, last
):
    """Edge values after half a step, by any limiter; otherwise as ``reconstruct_mc``.

    Parameters
    ----------
    limiter : int   [-]
    rho, u, p, gam, left, right, inv_dx, dlnA, drag, heat, keep, dt, first, last : as in
        ``reconstruct_mc``
    """
    rho = rho[first - 1 : last + 1]
    u = u[first - 1 : last + 1]
    p = p[first - 1 : last + 1]
    gam = gam[first - 1 : last + 1]
    inv_dx = inv_dx[first - 1 : last + 1]
    dlnA = dlnA[first - 1 : last + 1]
    drag = drag[first - 1 : last + 1]
    heat = heat[first - 1 : last + 1]
    keep = keep[first - 1 : last + 1]
    left_0 = left[0, first - 1 : last + 1]
    left_1 = left[1, first - 1 : last + 1]
    left_2 = left[2, first - 1 : last + 1]
    right_0 = right[0, first - 1 : last + 1]
    right_1 = right[1, first - 1 : last + 1]
    right_2 = right[2, first - 1 : last + 1]
    h = 0.5 * dt if limiter != FIRST else 0.0
    for i in range(1, last - first + 1):
        r, v, q = rho[i], u[i], p[i]
        dr = keep[i] * slope_of(r - rho[i - 1], rho[i + 1] - r, limiter)
        du = keep[i] * slope_of(v - u[i - 1], u[i + 1] - v, limiter)
        dp = keep[i] * slope_of(q - p[i - 1], p[i + 1] - q, limiter)
        c = h * inv_dx[i]
        left_0[i], right_0[i], left_1[i], right_1[i], left_2[i], right_2[i] = half_step(
            r, v, q, gam[i], dr, du, dp, c, h, dlnA[i], drag[i], heat[i]
        )
