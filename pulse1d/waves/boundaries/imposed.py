"""A pipe end with an imposed pressure or an imposed mass flow; compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.boundaries.bracket import ROUNDS, between
from pulse1d.waves.boundaries.reservoir import ROOT
from pulse1d.waves.wave_curve import curve_end, curve_point, curve_pressure, curve_sonic


@njit(cache=True, error_model="numpy")
def pressure_end(rho, u, p, gamma, p_b):
    """Boundary state at an imposed pressure; inflow is the pipe's own gas, as behind a piston.

    Parameters
    ----------
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    p_b : float   Imposed static pressure [Pa]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state; a sonic outflow keeps its own pressure [SI]
    """
    p_e, rho_e, u_e = curve_end(p_b, rho, u, p, gamma)
    return rho_e, u_e, p_e


@njit(cache=True, error_model="numpy")
def flow_end(rho, u, p, gamma, g, T0, gamma_r, R_r):
    """Boundary state at an imposed mass flux.

    Parameters
    ----------
    rho, u, p, gamma : float   Pipe state, u > 0 out of the pipe [SI]
    g : float   Mass flux into the pipe, negative out of it [kg/m2/s]
    T0, gamma_r, R_r : float   Stagnation temperature and gas of what enters [SI]
    Returns
    -------
    rho_b, u_b, p_b : float   Boundary state; outflow and inflow are at most sonic [SI]
    """
    p_wall = curve_pressure(0.0, rho, u, p, gamma)
    cp = gamma_r * R_r / (gamma_r - 1.0)
    scale = rho * math.sqrt(gamma * p / rho)
    low, high = p_wall, 2.0 * p_wall
    if g > 0.0:
        T = 2.0 * T0 / (gamma_r + 1.0)
        sonic = math.sqrt(gamma_r * R_r * T)
        p_s = g / sonic * R_r * T
        if curve_point(p_s, rho, u, p, gamma)[0] < -sonic:  # the pipe would draw faster
            return g / sonic, -sonic, p_s
    else:
        low, high = curve_sonic(rho, u, p, gamma)[0], p_wall
    rho_b, u_b, p_b = rho, 0.0, p_wall
    f_low, f_high = 1.0, -1.0
    bracketed = g <= 0.0
    for turn in range(2 * ROUNDS):
        p_b = between(low, f_low, high, f_high, turn) if bracketed else high
        u_b, rho_b, _, _ = curve_point(p_b, rho, u, p, gamma)
        if g > 0.0:
            rho_b = p_b / (R_r * max(T0 - 0.5 * u_b * u_b / cp, 0.1 * T0))
        f = (rho_b * u_b + g) / scale
        if f > 0.0:
            low, f_low, f_high = p_b, f, 0.5 * f_high if turn % 2 else f_high
            high = high if bracketed else 2.0 * high
        else:
            high, f_high, f_low = p_b, f, 0.5 * f_low if turn % 2 else f_low
            bracketed = True
        if abs(f) < ROOT or high - low < ROOT * p_wall:
            break
    return rho_b, u_b, p_b
