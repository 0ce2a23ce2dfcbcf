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
from pulse1d.waves.wave_curve import curve_end, curve_point, curve_pressure

ROOT = 1e-13
"""Relative width of a bracket that counts as closed."""


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
    a0 = math.sqrt(gamma_r * R_r * T_r)
    low, high, f_low, f_high = 0.0, 1.0, 0.0, 0.0
    M, p_b, u_in = 0.0, p_r, 0.0
    for turn in range(ROUNDS):
        M = high if turn == 1 else (low if turn == 0 else between(low, f_low, high, f_high, turn))
        fall = ln_loss(M, K, gamma_r) if K > 0.0 else 0.0
        p_b = p_r / stagnation_ratio(M, gamma_r) * math.exp(-fall)
        u_in = M * a0 / math.sqrt(1.0 + 0.5 * (gamma_r - 1.0) * M * M)
        f = (u_in + curve_point(p_b, rho, u, p, gamma)[0]) / a0
        if turn == 0:
            f_low = f
        elif turn == 1:
            f_high = f
            if f <= 0.0:
                break
        elif f > 0.0:
            high, f_high, f_low = M, f, 0.5 * f_low if turn % 2 else f_low
        else:
            low, f_low, f_high = M, f, 0.5 * f_high if turn % 2 else f_high
        if turn > 1 and (abs(f) < ROOT or high - low < ROOT):
            break
    T_b = T_r / (1.0 + 0.5 * (gamma_r - 1.0) * M * M)
    return p_b / (R_r * T_b), -u_in, p_b


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
    rho_b, u_b, p_b : float   Boundary state, u_b <= 0 [SI]
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
    return p_b / (R_r * (T_r - 0.5 * u_in * u_in / cp)), -u_in, p_b


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
    p_wall = curve_pressure(0.0, rho, u, p, gamma)
    if p_wall >= p_r:
        if phi_out <= 0.0:
            return curve_point(p_wall, rho, u, p, gamma)[1], 0.0, p_wall
        if phi_out < 1.0:
            return leave_by_throat(rho, u, p, gamma, R, p_r, phi_out, p_wall)
        p_b, rho_b, u_b = curve_end(p_r, rho, u, p, gamma)
        return rho_b, u_b, p_b
    if phi_in <= 0.0:
        return curve_point(p_wall, rho, u, p, gamma)[1], 0.0, p_wall
    if phi_in < 1.0:
        return enter_by_throat(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, phi_in, p_wall)
    return enter_by_mouth(rho, u, p, gamma, p_r, T_r, gamma_r, R_r, K)
