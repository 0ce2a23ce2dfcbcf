"""Stiffness of a round tube, straight and bent."""

from __future__ import annotations

import math

POISSON = 0.3


def tube_stiffness(outside: float, wall: float, E: float) -> tuple[float, float, float]:
    """Bending, twisting and stretching stiffness of a round tube.

    Parameters
    ----------
    outside, wall : float   Diameter and wall [m]
    E : float   Young's modulus [Pa]
    Returns
    -------
    EI, GJ, EA : float   [N m2], [N m2], [N]; G = E/(2 (1 + 0.3))
    Errors      ValueError when the wall is not above 0 or wider than the radius.
    Source      strength of materials
    """
    if not 0.0 < wall <= 0.5 * outside:
        raise ValueError(
            f"a wall of {1e3 * wall:g} mm does not make a tube of {1e3 * outside:g} mm"
        )
    inside = outside - 2.0 * wall
    EI = E * math.pi / 64.0 * (outside**4 - inside**4)
    return EI, EI / (1.0 + POISSON), E * math.pi / 4.0 * (outside**2 - inside**2)


def bend_flexibility(R: float, outside: float, wall: float) -> float:
    """How many times softer a thin bent tube is than its beam: its section turns oval.

    k = 1.65/h, h = t R/r^2, r the mean radius; 1 at least

    Parameters
    ----------
    R : float   Bend radius of the axis [m]
    outside, wall : float   [m]
    Returns
    -------
    k : float   [-]
    Source      von Karman 1911; piping code ASME B31.3 appendix D (from memory)
    """
    r = 0.5 * (outside - wall)
    return max(1.0, 1.65 * r**2 / (wall * R))


def bend_peak(R: float, outside: float, wall: float) -> float:
    """Strain at the flanks of a thin bent tube over that of its beam, bent in its plane.

    i = 1.8/h^(2/3), h = t R/r^2, r the mean radius; 1 at least

    Parameters
    ----------
    R, outside, wall : as in ``bend_flexibility`` [m]
    Returns
    -------
    i : float   [-]
    Limits      ends of the bend are free to turn oval; a flange close by makes it milder
    Source      Rodabaugh & George, Trans. ASME 79, 1957; twice the 0.9 of ASME B31, which is
                told against a butt weld (from memory)
    """
    r = 0.5 * (outside - wall)
    return max(1.0, 1.8 * (r**2 / (wall * R)) ** (2.0 / 3.0))
