"""A pipe end at a reservoir: the open air, a chamber, or a vessel behind a throat; compiled.

Gas that enters comes from rest at the reservoir's stagnation state, through the mouth (loss K) or
a throat of area share phi whose static pressure is not recovered; gas that leaves discharges
against the reservoir's pressure. The pipe answers along its exact wave curve.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas.relations import mass_number, stagnation_ratio
from pulse1d.losses.joint_levels import ln_loss
from pulse1d.waves.boundaries.bracket import ROUNDS, between
from pulse1d.waves.wave_curve import curve_end, curve_entering, curve_point, curve_pressure

ROOT = 1e-13
"""Relative width of a bracket that counts as closed; relative residual that counts as none."""
SMALL = 1e-7
"""Step of Newton's method behind which the error, about its square, lies below ROOT."""


@njit(cache=True, error_model="numpy")
def throat_flux(p0, T0, p_down, gamma, R):
    """Mass flux of an ideal throat, choked where it must be.

    Parameters
    ----------
    p0, T0, p_down, gamma, R : float   Upstream stagnation state, pressure behind, gas [SI]
    Returns
    -------
    G : float   [kg/m2/s]
    Source      NACA Report 1135, from memory
    """
    ratio = max(p0 / p_down, 1.0)
    M = math.sqrt(2.0 / (gamma - 1.0) * (ratio ** ((gamma - 1.0) / gamma) - 1.0))
    return p0 / math.sqrt(R * T0) * mass_number(min(M, 1.0), gamma)


@njit(cache=True, error_model="numpy")
def enter_freely(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, M):
    """State in a mouth without loss, by Newton's method in the Mach number of what enters.

    v(M) + u_b(p_b(M)) = 0, v the speed from rest and u_b the pipe's answer; both rise with M.

    Parameters
    ----------
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    p_r, T_r, gamma_r, R_r : float   Reservoir [SI]
    M : float   Guess; below 0 for none [-]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state, at most sonic, u_b <= 0 [SI]
    M : float   [-]
    slope : float   d(rho_b u_b)/dp_r at constant T_r [kg/m2/s/Pa]
    """
    a0 = math.sqrt(gamma_r * R_r * T_r)
    half = 0.5 * (gamma_r - 1.0)
    power = gamma_r / (gamma_r - 1.0)
    if not 0.0 <= M <= 1.0:
        still, _, slope, _ = curve_point(p_r, rho, u, p, gamma)
        bend = a0 * a0 + 2.0 * gamma_r * p_r * slope * still  # p_b = p_r (1 - gamma M^2/2)
        M = min(max(-2.0 * still / (a0 + math.sqrt(bend)), 0.0), 1.0) if bend > 0.0 else 1.0
    low, high = 0.0, 1.0
    q, p_b, dv, du, u_slope = 1.0, p_r, a0, 0.0, 0.0
    for turn in range(ROUNDS):
        lift = half * M * M
        q = 1.0 + lift
        root = math.sqrt(q)
        p_b = p_r * math.exp(-power * math.log1p(lift))
        u_b, _, u_slope, _ = curve_point(p_b, rho, u, p, gamma)
        f = M * a0 / root + u_b
        dv = a0 / (q * root)
        du = -u_slope * p_b * gamma_r * M / q
        new = M - f / (dv + du)
        if abs(new - M) < SMALL:  # the step is taken however small: near rest it is all there is
            new = min(max(new, 0.0), 1.0)
            p_b *= 1.0 - gamma_r * M / q * (new - M)
            M = new
            q = 1.0 + half * M * M
            break
        if f > 0.0:
            high = M
        else:
            low = M
        if not low < new < high or turn % 8 == 7:
            new = 1.0 if new >= 1.0 and high == 1.0 else 0.5 * (low + high)
        M = new
    v = M * a0 / math.sqrt(q)
    rho_b = p_b * q / (R_r * T_r)
    slope = -rho_b * v / p_r
    if M < 1.0:
        rise = rho_b * a0 * (1.0 - M * M) / (q * math.sqrt(q))
        slope += rise * u_slope * p_b / (p_r * (dv + du))
    return rho_b, -v, p_b, M, slope


@njit(cache=True, error_model="numpy")
def enter_by_mouth(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, K):
    """State in the mouth when gas enters freely, with a loss K on the head behind it.

    Parameters
    ----------
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    p_r, T_r, gamma_r, R_r : float   Reservoir [SI]
    K : float   Entry loss [-]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state, u_b <= 0 [SI]
    """
    rho_b, u_b, p_b, M, _ = enter_freely(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, -1.0)
    if K <= 0.0 or M <= 0.0:
        return rho_b, u_b, p_b
    a0 = math.sqrt(gamma_r * R_r * T_r)
    low, high, u_in = 0.0, 1.0, 0.0
    old, f_old = 0.0, curve_point(p_r, rho, u, p, gamma)[0] / a0
    M /= math.sqrt(1.0 + 0.5 * K * M)
    for turn in range(ROUNDS):
        p_b = p_r / stagnation_ratio(M, gamma_r) * math.exp(-ln_loss(M, K, gamma_r))
        u_in = M * a0 / math.sqrt(1.0 + 0.5 * (gamma_r - 1.0) * M * M)
        f = (u_in + curve_point(p_b, rho, u, p, gamma)[0]) / a0
        if f > 0.0:
            high = M
        else:
            low = M
        if abs(f) < ROOT or high - low < ROOT or low >= 1.0:
            break
        new = M - f * (M - old) / (f - f_old) if f != f_old else -1.0
        old, f_old = M, f
        if turn % 4 == 3 or not low < new < high:
            new = 1.0 if new >= 1.0 and high == 1.0 else 0.5 * (low + high)
        M = new
    T_b = T_r / (1.0 + 0.5 * (gamma_r - 1.0) * M * M)
    return p_b / (R_r * T_b), -u_in, p_b


@njit(cache=True, error_model="numpy")
def leave_freely(rho, u, p, gamma, p0):
    """State in the end of a pipe whose outflow has a given stagnation pressure.

    Fan: with y = (p0/p)^((gamma-1)/gamma) (a/A)^2, A = a + (gamma-1)/2 u and h = (gamma-1)/2 the
    Mach number is the smaller root of M^2 (1 - y h) - 2 y M + (1 - y)/h = 0. Shock: Newton.

    Parameters
    ----------
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    p0 : float   Stagnation pressure wanted, at most the pressure of the end closed [Pa]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state, sonic (or the pipe's own, if supersonic) where p0
        cannot be reached [SI]
    slope : float   d(rho_b u_b)/dp0 [kg/m2/s/Pa]
    """
    a = math.sqrt(gamma * p / rho)
    h = 0.5 * (gamma - 1.0)
    power = 0.5 * gamma / h
    if u > a:
        least = curve_entering(rho, u, p, gamma)
        u_b, rho_b, _, _ = curve_point(least, rho, u, p, gamma)
        if p0 <= least * math.exp(power * math.log1p(h * u_b * u_b * rho_b / (gamma * least))):
            return rho, u, p, 0.0
    still = math.log1p(h * u / a)
    ln_y = 2.0 * (h / gamma * math.log(p0 / p) - still)
    y, fall = math.exp(ln_y), -math.expm1(ln_y)
    disc = (y * (1.0 + h) - 1.0) / h
    M = fall / (h * (y + math.sqrt(disc))) if disc > 0.0 else 1.0
    M = min(max(M, 0.0), 1.0)
    z = math.exp(still - math.log1p(h * M))
    a_b = a * z
    p_b = p * math.exp(2.0 * power * math.log(z))
    if p_b <= p:
        slope = -p_b / p0 * (1.0 + h * M * M) / a_b if M < 1.0 else 0.0
        return gamma * p_b / (a_b * a_b), M * a_b, p_b, slope
    low, high = p, p0
    p_b = min(max(p_b, low), high)
    u_b, rho_b, flux_slope, dp = 0.0, rho, 0.0, 1.0
    for _ in range(ROUNDS):
        u_b, rho_b, du, drho = curve_point(p_b, rho, u, p, gamma)
        M2 = u_b * u_b * rho_b / (gamma * p_b)
        f = math.log(p_b / p0) + power * math.log1p(h * M2)
        dM2 = (2.0 * rho_b * du + u_b * drho) * u_b / (gamma * p_b) - M2 / p_b
        dp = 1.0 / p_b + 0.5 * gamma * dM2 / (1.0 + h * M2)
        flux_slope = drho * u_b + rho_b * du
        if f > 0.0:
            high = p_b
        else:
            low = p_b
        new = p_b - f / dp
        if not low <= new <= high:
            new = 0.5 * (low + high)
        step = new - p_b
        p_b = new
        if abs(step) < SMALL * p_b:
            u_b, rho_b = u_b + du * step, rho_b + drho * step
            break
    return rho_b, u_b, p_b, flux_slope / (p0 * dp)


@njit(cache=True, error_model="numpy")
def entering_speed(g, p_b, T_r, gamma_r, R_r):
    """Speed in the pipe of a mass flux that comes from rest at T_r and is at pressure p_b.

    Parameters
    ----------
    g, p_b, T_r, gamma_r, R_r : float   Mass flux, pressure, stagnation temperature, gas [SI]
    Returns
    -------
    u : float   Root of u = g R (T_r - u^2/(2 cp))/p_b [m/s]
    """
    cp = gamma_r * R_r / (gamma_r - 1.0)
    x = g * R_r / p_b
    return 2.0 * x * T_r / (1.0 + math.sqrt(1.0 + 2.0 * x * x * T_r / cp))


@njit(cache=True, error_model="numpy")
def enter_by_throat(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, phi, p_wall):
    """State in the pipe when gas enters through a throat.

    Parameters
    ----------
    rho, u, p, gamma, p_r, T_r, gamma_r, R_r : as in ``enter_by_mouth``
    phi : float   Effective throat area over pipe area, at most 1 [-]
    p_wall : float   Pressure of the end closed [Pa]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state, at most sonic: faster gas expands in the pipe [SI]
    """
    a0 = math.sqrt(gamma_r * R_r * T_r)
    low, high = p_wall, p_r
    f_low, f_high = 1.0, -1.0
    p_b, u_in = p_wall, 0.0
    for turn in range(ROUNDS):
        p_b = between(low, f_low, high, f_high, turn)
        g = phi * throat_flux(p_r, T_r, p_b, gamma_r, R_r)
        u_in = entering_speed(g, p_b, T_r, gamma_r, R_r)
        f = (u_in + curve_point(p_b, rho, u, p, gamma)[0]) / a0
        if f > 0.0:
            low, f_low, f_high = p_b, f, 0.5 * f_high if turn % 2 else f_high
        else:
            high, f_high, f_low = p_b, f, 0.5 * f_low if turn % 2 else f_low
        if abs(f) < ROOT or high - low < ROOT * p_r:
            break
    cp = gamma_r * R_r / (gamma_r - 1.0)
    T_b = T_r - 0.5 * u_in * u_in / cp
    if u_in * u_in > gamma_r * R_r * T_b:  # the pipe would draw faster than it can fill: sonic
        T_b = 2.0 * T_r / (gamma_r + 1.0)
        u_in = math.sqrt(gamma_r * R_r * T_b)
        p_b = phi * throat_flux(p_r, T_r, p_b, gamma_r, R_r) / u_in * R_r * T_b
    return p_b / (R_r * T_b), -u_in, p_b


@njit(cache=True, error_model="numpy")
def leave_by_throat(rho, u, p, gamma, R, p_r, phi, p_wall):
    """State in the pipe when its gas leaves through a throat.

    Parameters
    ----------
    rho, u, p, gamma, R : float   Pipe state and gas, u > 0 out of the pipe [SI]
    p_r, phi, p_wall : as in ``enter_by_throat``
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state, u_b >= 0 [SI]
    """
    low, high = p_r, p_wall
    f_low, f_high = 1.0, -1.0
    scale = rho * math.sqrt(gamma * p / rho)
    rho_b, u_b, p_b = rho, 0.0, p_wall
    for turn in range(ROUNDS):
        p_b = between(low, f_low, high, f_high, turn)
        u_b, rho_b, _, _ = curve_point(p_b, rho, u, p, gamma)
        T_b = p_b / (rho_b * R)
        lift = 1.0 + 0.5 * (gamma - 1.0) * u_b * u_b / (gamma * R * T_b)
        p0 = p_b * lift ** (gamma / (gamma - 1.0))
        f = (rho_b * u_b - phi * throat_flux(p0, T_b * lift, p_r, gamma, R)) / scale
        if f > 0.0:
            low, f_low, f_high = p_b, f, 0.5 * f_high if turn % 2 else f_high
        else:
            high, f_high, f_low = p_b, f, 0.5 * f_low if turn % 2 else f_low
        if abs(f) < ROOT or high - low < ROOT * p_wall:
            break
    return rho_b, u_b, p_b


@njit(cache=True, error_model="numpy")
def reservoir_end(rho, u, p, gamma, R, p_r, T_r, gamma_r, R_r, phi_in, phi_out, K):
    """Boundary state of a pipe at a reservoir.

    Parameters
    ----------
    rho, u, p, gamma, R : float   Pipe state and gas, u > 0 out of the pipe [SI]
    p_r, T_r, gamma_r, R_r : float   Reservoir [SI]
    phi_in, phi_out : float   Effective throat over pipe area, into and out of the pipe; 1 or more:
        no throat; 0: shut [-]
    K : float   Loss of the mouth on entering, without a throat [-]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state; u_b < 0: reservoir gas enters [SI]
    Source      Benson 1982 (quasi-steady ends), from memory; wave curve exact
    """
    u_b, rho_b, _, _ = curve_point(p_r, rho, u, p, gamma)
    if u_b >= 0.0:
        if phi_out >= 1.0:
            if u_b * u_b * rho_b < gamma * p_r and u * u * rho < gamma * p:
                return rho_b, u_b, p_r
            p_b, rho_b, u_b = curve_end(p_r, rho, u, p, gamma)
            return rho_b, u_b, p_b
        if phi_out > 0.0:
            p_wall = curve_pressure(0.0, rho, u, p, gamma)
            return leave_by_throat(rho, u, p, gamma, R, p_r, phi_out, p_wall)
    else:
        if phi_in >= 1.0:
            return enter_by_mouth(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, K)
        if phi_in > 0.0:
            p_wall = curve_pressure(0.0, rho, u, p, gamma)
            return enter_by_throat(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, phi_in, p_wall)
    p_wall = curve_pressure(0.0, rho, u, p, gamma)
    return curve_point(p_wall, rho, u, p, gamma)[1], 0.0, p_wall
