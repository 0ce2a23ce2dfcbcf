"""Strains from heat: two parts that grow differently, and how much of it they must take."""

from __future__ import annotations

import math

from pulse1d.durability.metal import Material

REFERENCE = 293.15
"""Where mean expansions start, 20 degC [K]."""


def expansion(material: Material, T: float) -> float:
    """Free expansion from 20 degC.

    Parameters
    ----------
    material : Material   [-]
    T : float   [K]
    Returns
    -------
    strain : float   [-]
    Source      definition of the mean coefficient
    """
    return float(material.alpha_mean(T)) * (T - REFERENCE)


def mismatch(material_a: Material, T_a: float, material_b: Material, T_b: float) -> float:
    """How much more a has grown than b, per length, both stress-free at 20 degC.

    Parameters
    ----------
    material_a, material_b : Material   [-]
    T_a, T_b : float   Their temperatures at the same moment [K]
    Returns
    -------
    strain : float   Negative where b has grown more [-]
    Source      definition
    """
    return expansion(material_a, T_a) - expansion(material_b, T_b)


def restraint(k_surroundings: float, k_part: float) -> float:
    """Share of a mismatch that the part must take; the rest its surroundings give way.

    eta = k_s/(k_s + k_p)

    Parameters
    ----------
    k_surroundings, k_part : float   Stiffnesses in one unit [N/m]; infinite is rigid
    Returns
    -------
    eta : float   0 free .. 1 fully held [-]
    Errors      ValueError when a stiffness is negative or both are 0.
    Source      two springs in series
    """
    if k_surroundings < 0.0 or k_part < 0.0 or k_surroundings + k_part == 0.0:
        raise ValueError("stiffnesses of a restraint must be 0 or more, and not both 0")
    if math.isinf(k_surroundings):
        return 1.0
    return k_surroundings / (k_surroundings + k_part)


def mechanical(mismatch: float, eta: float, extra: float = 0.0) -> float:
    """Strain range of one start-up at a joint.

    Parameters
    ----------
    mismatch : float   Free mismatch at its peak [-]
    eta : float   Restraint [-], 0 .. 1
    extra : float   Stated extra: a leg's end, weight, vibration [-], added in full
    Returns
    -------
    strain_range : float   [-], 0 or more
    Errors      ValueError when eta is outside 0 .. 1.
    Source      constrained bar; the plain sum of extras is the safe side (judgement)
    """
    if not 0.0 <= eta <= 1.0:
        raise ValueError(f"a restraint of {eta:g} is not within 0 .. 1")
    return eta * abs(mismatch) + abs(extra)
