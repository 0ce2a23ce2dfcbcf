"""The exact wave curve of one pipe state: what a pipe end can make of the gas that arrives at it.

A pipe end changes its boundary pressure from p to p_b and so sends one wave into the pipe: a shock
where p_b > p, a centred fan where p_b < p. Behind that wave, up to the contact with whatever comes
in from outside, pressure and velocity are those of the boundary. Here are the velocity and density
behind the wave as functions of p_b, their slopes, and the limits of the curve.

Every state is seen from inside the pipe: **u > 0 means out of the pipe**, at either end, so each
formula exists once. The end whose outward normal points to -x calls with -u.

Source of all: Toro 2009 ch. 4 (from memory); each is derived from the Rankine-Hugoniot conditions
or from constant entropy and Riemann invariant u + 2a/(gamma-1), without a coefficient.
"""

from __future__ import annotations

import math

from numba import njit


@njit(cache=True, error_model="numpy")
def curve_point(
    p_b: float, rho: float, u: float, p: float, gamma: float
) -> tuple[float, float, float, float]:
    """Velocity and density behind the wave into the pipe, and their slopes along the curve.

    Shock: u_b = u - (p_b-p) sqrt(A/(p_b+B)), A = 2/((gamma+1) rho), B = (gamma-1)/(gamma+1) p.
    Fan: u_b = u - 2a/(gamma-1) (z - 1), z = (p_b/p)^((gamma-1)/(2 gamma)), rho_b = rho p_b/(p z^2).

    Parameters
    ----------
    p_b : float   Boundary pressure; 0 or less gives the vacuum limit [Pa]
    rho : float   Density in the pipe, > 0 [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe, > 0 [Pa]
    gamma : float   Ratio of specific heats, > 1 [-]
    Returns
    -------
    u_b : float   Velocity behind the wave, > 0 out of the pipe; falls as p_b rises [m/s]
    rho_b : float   Density behind the wave [kg/m3]
    du_dp : float   Slope of u_b, negative; continuous through p_b = p; -inf in vacuum [m/s/Pa]
    drho_dp : float   Slope of rho_b, 1/a^2 in the fan; +inf in vacuum [kg/m3/Pa]
    Source      Toro 2009 ch. 4, from memory
    """
    rise = p_b - p
    if rise > 0.0:
        up = gamma + 1.0
        down = gamma - 1.0
        total = up * p_b + down * p
        speed = math.sqrt(2.0 / (rho * total))
        crossed = up * p + down * p_b
        return (
            u - rise * speed,
            rho * total / crossed,
            -speed * (1.0 - 0.5 * up * rise / total),
            4.0 * rho * gamma * p / (crossed * crossed),
        )
    a = math.sqrt(gamma * p / rho)
    half = 0.5 * (gamma - 1.0)
    if p_b <= 0.0:
        return u + a / half, 0.0, -math.inf, math.inf
    k = half / gamma
    if p_b > 0.5 * p:
        z_1 = math.expm1(k * math.log1p(rise / p))  # weak waves exact
        z = 1.0 + z_1
    else:
        z = math.exp(k * math.log(p_b / p))  # neighbourhood of vacuum exact
        z_1 = z - 1.0
    a_b = a * z
    rho_b = rho * p_b / (p * z * z)
    return u - a / half * z_1, rho_b, -1.0 / (rho_b * a_b), 1.0 / (a_b * a_b)


@njit(cache=True, error_model="numpy")
def curve_velocity(p_b: float, rho: float, u: float, p: float, gamma: float) -> float:
    """Velocity behind the wave into the pipe; ``curve_point`` without the rest.

    Parameters
    ----------
    p_b : float   Boundary pressure [Pa]
    rho : float   Density in the pipe [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    u_b : float   Velocity behind the wave, > 0 out of the pipe [m/s]
    Source      Toro 2009 ch. 4, from memory
    """
    return curve_point(p_b, rho, u, p, gamma)[0]


@njit(cache=True, error_model="numpy")
def curve_density(p_b: float, rho: float, p: float, gamma: float) -> float:
    """Density behind the wave into the pipe; ``curve_point`` without the rest.

    Parameters
    ----------
    p_b : float   Boundary pressure [Pa]
    rho : float   Density in the pipe [kg/m3]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    rho_b : float   Density behind the wave: Hugoniot for a shock, isentrope for a fan [kg/m3]
    Source      Toro 2009 ch. 4, from memory
    """
    return curve_point(p_b, rho, 0.0, p, gamma)[1]


@njit(cache=True, error_model="numpy")
def curve_pressure(u_b: float, rho: float, u: float, p: float, gamma: float) -> float:
    """Boundary pressure that makes the gas behind the wave move at u_b: the inverse, closed form.

    Shock, with d = u - u_b > 0 the speed taken from the gas:
    p_b = p + (gamma+1)/4 rho d (d + sqrt(d^2 + (4a/(gamma+1))^2)).
    Fan: p_b = p (1 + (gamma-1)/2 d/a)^(2 gamma/(gamma-1)), and 0 once vacuum opens.

    Parameters
    ----------
    u_b : float   Velocity wanted behind the wave, > 0 out of the pipe; 0 is a closed end [m/s]
    rho : float   Density in the pipe [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    p_b : float   Boundary pressure; 0 where u_b lies at or beyond the vacuum limit [Pa]
    Source      Toro 2009 ch. 4, from memory
    """
    a = math.sqrt(gamma * p / rho)
    d = u - u_b
    if d > 0.0:
        quarter = 0.25 * (gamma + 1.0)
        return p + quarter * rho * d * (d + math.hypot(d, a / quarter))
    half = 0.5 * (gamma - 1.0)
    y = half * d / a
    if y <= -1.0:
        return 0.0
    return p * math.exp(gamma / half * math.log1p(y))


@njit(cache=True, error_model="numpy")
def curve_vacuum(rho: float, u: float, p: float, gamma: float) -> float:
    """Velocity at which the gas runs into vacuum: the end of the curve, at p_b = 0.

    Parameters
    ----------
    rho : float   Density in the pipe [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    u_vacuum : float   u + 2a/(gamma-1) [m/s]
    Source      Toro 2009 ch. 4.6, from memory
    """
    return u + 2.0 * math.sqrt(gamma * p / rho) / (gamma - 1.0)


@njit(cache=True, error_model="numpy")
def curve_sonic(rho: float, u: float, p: float, gamma: float) -> tuple[float, float, float]:
    """State of the largest outflow that suction can draw from the pipe.

    A subsonic state expands to a_s = u_s = (2a + (gamma-1) u)/(gamma+1); lower pressures outside
    no longer reach into the pipe. A sonic or supersonic outflow leaves as it is: the state itself.

    Parameters
    ----------
    rho : float   Density in the pipe [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    p_s : float   Pressure; 0 when the gas recedes faster than it can expand [Pa]
    rho_s : float   Density; 0 as above [kg/m3]
    u_s : float   Velocity, equal to the sound speed unless u was larger; 0 as above [m/s]
    Source      Toro 2009 ch. 4.5 (fan at x/t = 0), from memory
    """
    a = math.sqrt(gamma * p / rho)
    if u >= a:
        return p, rho, u
    down = gamma - 1.0
    a_s = (2.0 * a + down * u) / (gamma + 1.0)
    if a_s <= 0.0:
        return 0.0, 0.0, 0.0
    compression = math.exp(2.0 / down * math.log(a_s / a))
    return p * compression * (a_s / a) ** 2, rho * compression, a_s


@njit(cache=True, error_model="numpy")
def curve_entering(rho: float, u: float, p: float, gamma: float) -> float:
    """Least outside pressure that can still send a wave up the pipe.

    The sonic pressure for a subsonic outflow; for a supersonic one the pressure behind a shock
    that stands in the end: p (2 gamma M^2 - (gamma-1))/(gamma+1).

    Parameters
    ----------
    rho : float   Density in the pipe [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    p_least : float   At or below it the end shows ``curve_sonic`` [Pa]
    Source      NACA Report 1135 (normal shock), from memory
    """
    M2 = rho * u * u / (gamma * p)
    if u > 0.0 and M2 > 1.0:
        return p * (2.0 * gamma * M2 - (gamma - 1.0)) / (gamma + 1.0)
    return curve_sonic(rho, u, p, gamma)[0]


@njit(cache=True, error_model="numpy")
def curve_end(
    p_b: float, rho: float, u: float, p: float, gamma: float
) -> tuple[float, float, float]:
    """State in the end section of a pipe that discharges against a pressure: wave or choked.

    Parameters
    ----------
    p_b : float   Pressure outside [Pa]
    rho : float   Density in the pipe [kg/m3]
    u : float   Velocity in the pipe, > 0 out of it [m/s]
    p : float   Pressure in the pipe [Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    p_e : float   Pressure: p_b, or above it when the end is choked [Pa]
    rho_e : float   Density of the pipe's gas [kg/m3]
    u_e : float   Velocity, at most sonic unless u was larger; < 0 says that gas comes in, and
        then an inflow law is needed in place of this one [m/s]
    Source      Toro 2009 ch. 4.5 (sampling at x/t = 0), from memory
    """
    if p_b <= curve_entering(rho, u, p, gamma):
        return curve_sonic(rho, u, p, gamma)
    u_b, rho_b, _, _ = curve_point(p_b, rho, u, p, gamma)
    return p_b, rho_b, u_b
