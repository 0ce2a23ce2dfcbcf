"""The wave solver at its plainest: first order, numpy, one pipe. Read this first.

Gas in a pipe of area A(x) keeps three budgets per length, mass, momentum and energy::

    d/dt [rho A, rho u A, E A] + d/dx [rho u A, (rho u^2 + p) A, u (E + p) A]
        = [0, p dA/dx - f_D/(2D) rho u|u| A, 0],        E = p/(gamma-1) + rho u^2/2

The pipe is cut into cells that keep their mean state. At each face two neighbours meet as the two
gases of a Riemann problem, whose solution says what crosses the face during one step (Godunov);
``flux_hllc`` is a close and cheap stand-in for it. The wall of a taper pushes on the gas with the
cell's own pressure over the difference of its two face areas, so gas at rest stays at rest.

An *end* is a function from the state in the last cell to the state in the end section, always with
u > 0 out of the pipe. The left end is called through a mirror, so no end knows which side it is on.

The compiled kernel, with second order, variable gas, wall heat and joints, is tested against this
file. States W are rho, u, p in SI.
Sources: Godunov 1959; Toro, Spruce & Speares 1994; Toro 2009 ch. 10; all from memory.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
End = Callable[[Array, float], Array]
"""(W of the last cell, gamma) to W of the end section, (3,) arrays with u > 0 out of the pipe."""

MIRROR = np.array([1.0, -1.0, 1.0])
"""What a mirror does to rho, u, p."""


def conserved(W: Array, gamma: float) -> Array:
    """Mass, momentum and energy per volume.

    Parameters
    ----------
    W : (3, ...) array   rho, u, p [kg/m3, m/s, Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    U : same shape   rho, rho u, E [kg/m3, kg/m2/s, J/m3]
    """
    rho, u, p = W
    return np.array([rho, rho * u, p / (gamma - 1.0) + 0.5 * rho * u * u])


def _primitive(U: Array, gamma: float) -> Array:
    """The inverse of ``conserved``."""
    rho, momentum, E = U
    u = momentum / rho
    return np.array([rho, u, (gamma - 1.0) * (E - 0.5 * rho * u * u)])


def outer_waves(W_l: Array, W_r: Array, gamma: float) -> tuple[Array, Array]:
    """Speeds of the outermost waves: sound, or a shock where p* is estimated above the gas's own p.

    Parameters
    ----------
    W_l, W_r : (3, n) array   rho, u, p left and right of n faces [kg/m3, m/s, Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    S_l, S_r : (n,) arrays   Wave speeds along +x [m/s]
    Limits      enclose S_m for subsonic jumps up to 5 in density and 6 in pressure (tested)
    Source      Toro 2009 ch. 10.5.2 (linear estimate of p*), from memory
    """
    (rho_l, u_l, p_l), (rho_r, u_r, p_r) = W_l, W_r
    rho_a = 0.5 * (np.sqrt(gamma * p_l * rho_l) + np.sqrt(gamma * p_r * rho_r))
    p_star = 0.5 * (p_l + p_r) + 0.5 * (u_l - u_r) * rho_a

    def mass_flux(rho: Array, p: Array) -> Array:
        return np.sqrt(rho * (gamma * p + 0.5 * (gamma + 1.0) * np.maximum(p_star - p, 0.0)))

    return u_l - mass_flux(rho_l, p_l) / rho_l, u_r + mass_flux(rho_r, p_r) / rho_r


def flux_hllc(W_l: Array, W_r: Array, gamma: float) -> Array:
    """Flux through faces where W_l and W_r meet: two outer waves around a contact at S_m.

    Momentum across both outer waves gives S_m. The face lies in the gas on the contact's upwind
    side: behind that gas's own wave (marked _m), or still ahead of it when the flow is supersonic.

    Parameters
    ----------
    W_l, W_r : (3, n) array   rho, u, p left and right of n faces [kg/m3, m/s, Pa]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    F : (3, n) array   rho u, rho u^2 + p, u (E + p) [kg/m2/s, Pa, W/m2]
    Source      Toro, Spruce & Speares 1994; Toro 2009 ch. 10.4, from memory
    """
    (rho_l, u_l, p_l), (rho_r, u_r, p_r) = W_l, W_r
    S_l, S_r = outer_waves(W_l, W_r, gamma)
    m_l, m_r = rho_l * (u_l - S_l), rho_r * (S_r - u_r)
    S_m = ((p_l - p_r) + (m_l * u_l + m_r * u_r)) / (m_l + m_r)

    rho, u, p = np.where(S_m >= 0.0, W_l, W_r)
    S = np.where(S_m >= 0.0, S_l, S_r)
    E = p / (gamma - 1.0) + 0.5 * rho * u * u
    m = rho * (S - u)
    rho_m, p_m = m / (S - S_m), p + m * (S_m - u)
    E_m = rho_m * (E / rho + (S_m - u) * (S_m + p / m))
    behind = np.array([rho_m * S_m, rho_m * S_m * S_m + p_m, S_m * (E_m + p_m)])
    ahead = np.array([rho * u, rho * u * u + p, u * (E + p)])
    return np.where(S * S_m > 0.0, ahead, behind)


def closed(W: Array, gamma: float) -> Array:
    """End: a wall. Parameters W, gamma as in ``End``; Returns the mirror image of W."""
    return MIRROR * W


def non_reflecting(W: Array, gamma: float) -> Array:
    """End: the pipe goes on unchanged. Parameters W, gamma as in ``End``; Returns W."""
    return W


def open_to(p_room: float, rho_room: float) -> End:
    """End: a large room. Gas leaves at its pressure, or choked; gas enters from rest there.

    Parameters
    ----------
    p_room, rho_room : float   Pressure and density of the room [Pa, kg/m3]
    Returns
    -------
    end : End   An isentropic wave joins the last cell to the end section [kg/m3, m/s, Pa]
    """

    def end(W: Array, gamma: float) -> Array:
        rho, u, p = W
        h = 0.5 * (gamma - 1.0)
        a = np.sqrt(gamma * p / rho)
        if u >= a:
            return W
        # Along the wave z = a_e/a = b - h u_e/a, and p_e = p z^(gamma/h).
        b, c = 1.0 + h * u / a, (p / p_room) ** (h / gamma)
        if c * b >= 1.0:
            z = max(1.0 / c, b / (1.0 + h))  # p_e = p_room, or sonic: u_e = a_e
            return np.array([rho * z ** (1.0 / h), (b - z) * a / h, p * z ** (gamma / h)])
        # From rest (p_e/p_room)^(2h/gamma) = 1 - s m^2 with m = h u_e/a; at most sonic.
        s = rho_room * a * a / (gamma * p_room * h)
        m = (c * c * b - np.sqrt(c * c + s * (1.0 - (c * b) ** 2))) / (c * c + s)
        m = max(m, -np.sqrt(h / (s * (1.0 + h))))
        z = np.sqrt(1.0 - s * m * m)
        return np.array([rho_room * z ** (1.0 / h), m * a / h, p_room * z ** (gamma / h)])

    return end


def solve(
    W: Array,
    A: Array,
    dx: float,
    t_end: float,
    ends: tuple[End, End] | None = (closed, closed),
    *,
    gamma: float = 1.4,
    f_D: float = 0.0,
    cfl: float = 0.9,
) -> Array:
    """March a pipe from its state now to its state at t_end.

    Parameters
    ----------
    W : (3, n) array   rho, u, p of the cells now [kg/m3, m/s, Pa]
    A : (n + 1,) array   Area at the faces [m2]
    dx : float   Cell length [m]
    t_end : float   Time to march [s]
    ends : pair of End, or None   Left and right end; None joins them into a ring [-]
    gamma : float   Ratio of specific heats [-]
    f_D : float   Darcy friction factor of the round pipe [-]
    cfl : float   Share of a cell that the fastest wave may cross in a step, at most 1 [-]
    Returns
    -------
    W : (3, n) array   rho, u, p at t_end [kg/m3, m/s, Pa]
    """
    A_l, A_r, A_c, t = A[:-1], A[1:], 0.5 * (A[:-1] + A[1:]), 0.0
    D = np.sqrt(4.0 * A_c / np.pi)
    while t < t_end:
        if ends is None:
            first, last = W[:, -1], W[:, 0]
        else:
            first, last = MIRROR * ends[0](MIRROR * W[:, 0], gamma), ends[1](W[:, -1], gamma)
        meeting = np.column_stack([first, W]), np.column_stack([W, last])
        F = flux_hllc(*meeting, gamma)
        dt = min(cfl * dx / np.max(np.abs(outer_waves(*meeting, gamma))), t_end - t)

        rho, u, p = W
        wall = np.array([0.0 * p, p, 0.0 * p])  # only what exceeds the cell's own p moves it
        U = conserved(W, gamma)
        U += dt / dx * ((F[:, :-1] - wall) * A_l - (F[:, 1:] - wall) * A_r) / A_c
        U[1] -= dt * f_D / (2.0 * D) * rho * u * np.abs(u)
        W = _primitive(U, gamma)
        t += dt
    return W
