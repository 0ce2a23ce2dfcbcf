"""Life from tensile data: three rules for a smooth bar under a strain range."""

from __future__ import annotations

import math

BRITTLE = 0.1
"""Ductility below which the four-point rule is left out (judgement) [-]."""


def ductility(RA: float) -> float:
    """True strain at fracture, D = ln(1/(1 - RA)).

    Parameters
    ----------
    RA : float   Reduction of area [-], above 0 and below 1
    Returns
    -------
    D : float   [-]
    Errors      ValueError when RA is outside.
    Source      definition
    """
    if not 0.0 < RA < 1.0:
        raise ValueError(f"a reduction of area of {RA:g} is not within 0 .. 1")
    return math.log(1.0 / (1.0 - RA))


def universal_slopes(N: float, su_E: float, D: float) -> float:
    """Strain range for a life: 3.5 (su/E) N^-0.12 + D^0.6 N^-0.6.

    Parameters
    ----------
    N : float   Life [cycles]
    su_E : float   Tensile strength over Young's modulus [-]
    D : float   Ductility [-]
    Returns
    -------
    strain_range : float   [-]
    Source      Manson, Fatigue: a complex subject, Exp. Mech. 5, 1965 (from memory)
    """
    return 3.5 * su_E * N**-0.12 + D**0.6 * N**-0.6


def modified_slopes(N: float, su_E: float, D: float) -> float:
    """Strain range: 1.17 (su/E)^0.832 N^-0.09 + 0.0266 D^0.155 (su/E)^-0.53 N^-0.56.

    Parameters
    ----------
    N, su_E, D : as in ``universal_slopes``
    Returns
    -------
    strain_range : float   [-]
    Source      Muralidharan & Manson, J. Eng. Mater. Technol. 110, 1988 (from memory)
    """
    return 1.17 * su_E**0.832 * N**-0.09 + 0.0266 * D**0.155 * su_E**-0.53 * N**-0.56


def four_point(N: float, su_E: float, D: float) -> float:
    """Strain range by two lines, each through two points on log scales.

    elastic (1/4, 2.5 sf/E) and (1e5, 0.9 su/E), sf = su (1 + D); plastic (10, D^0.75/4) and
    (1e4, (0.0132 - elastic(1e4))/1.91)

    Parameters
    ----------
    N, su_E, D : as in ``universal_slopes``
    Returns
    -------
    strain_range : float   [-]; nan where the plastic line has no second point (very strong) or
        the material is brittle, where that line turns level and promises life without end
    Source      Manson & Hirschberg, NASA TN D-1574, 1963, four-point correlation (from memory)
    """
    near = 2.5 * su_E * (1.0 + D)
    b = math.log(0.9 * su_E / near) / math.log(1e5 / 0.25)
    plastic = (0.0132 - near * (1e4 / 0.25) ** b) / 1.91
    first = 0.25 * D**0.75
    if plastic <= 0.0 or D < BRITTLE:
        return math.nan
    c = math.log(plastic / first) / math.log(1e3)
    return near * (N / 0.25) ** b + first * (N / 10.0) ** c
