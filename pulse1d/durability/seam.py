"""How stiff a tube's end and the flange ring around it are along their seam."""

from __future__ import annotations

import math

POISSON = 0.3


def tube_end_stiffness(E: float, outside: float, wall: float) -> float:
    """Radial force per length of seam for a radial step of a tube's end, its slope held.

    k = 4 beta^3 D, beta^4 = 3 (1 - nu^2)/(R t)^2, D = E t^3/(12 (1 - nu^2))

    Parameters
    ----------
    E : float   Young's modulus [Pa]
    outside, wall : float   Diameter and wall [m]
    Returns
    -------
    k : float   [N/m2]
    Errors      ValueError when the wall does not make a tube.
    Limits      thin and longer than 3/beta, about 2.3 sqrt(R t)
    Source      Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells (from memory)
    """
    if not 0.0 < wall < 0.5 * outside:
        raise ValueError(f"a wall of {1e3 * wall:g} mm makes no tube of {1e3 * outside:g} mm")
    R, rest = 0.5 * (outside - wall), 1.0 - POISSON**2
    beta = (3.0 * rest) ** 0.25 / math.sqrt(R * wall)
    return 4.0 * beta**3 * E * wall**3 / (12.0 * rest)


def ring_stiffness(E: float, thickness: float, width: float, inside: float) -> float:
    """Radial force per length of seam for a radial step of a flange ring.

    k = E t w/R^2, R at the seam: the ring as thin hoop

    Parameters
    ----------
    E : float   Young's modulus [Pa]
    thickness, width : float   Of the bar around the port [m]
    inside : float   Diameter of the seam [m]
    Returns
    -------
    k : float   [N/m2]
    Errors      ValueError when the diameter is not above 0.
    Source      hoop stress
    """
    if not inside > 0.0:
        raise ValueError("a ring needs a diameter above 0")
    return E * thickness * width / (0.5 * inside) ** 2
