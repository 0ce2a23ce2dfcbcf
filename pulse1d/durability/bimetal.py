"""Bending that goes with unlike growth: joined strips, and a wall hotter inside."""

from __future__ import annotations

from pulse1d.durability.metal import Material


def bimetal_curvature(mismatch: float, t_1: float, t_2: float, E_1: float, E_2: float) -> float:
    """Curvature of two strips joined face to face, strip 2 growing more by ``mismatch``.

    kappa = 6 eps (1 + m)^2/(h (3 (1 + m)^2 + (1 + m n)(m^2 + 1/(m n)))), m = t1/t2, n = E1/E2

    Parameters
    ----------
    mismatch : float   [-]
    t_1, t_2 : float   Thicknesses [m]
    E_1, E_2 : float   Young's moduli in one unit [Pa]
    Returns
    -------
    kappa : float   [1/m]
    Source      Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11, 1925 (from
                memory)
    """
    m, n = t_1 / t_2, E_1 / E_2
    bottom = 3.0 * (1.0 + m) ** 2 + (1.0 + m * n) * (m**2 + 1.0 / (m * n))
    return 6.0 * mismatch * (1.0 + m) ** 2 / ((t_1 + t_2) * bottom)


def through_wall(material: Material, T_inside: float, T_outside: float) -> float:
    """Strain that keeps a wall from bowing when its faces differ: a tube cannot bow.

    eps = alpha dT/(2 (1 - nu)), nu = 0.3

    Parameters
    ----------
    material : Material   [-]
    T_inside, T_outside : float   Of the faces [K]
    Returns
    -------
    strain : float   At either face, linear profile [-]
    Source      Timoshenko & Goodier, Theory of Elasticity, plate held flat (from memory)
    """
    middle = 0.5 * (T_inside + T_outside)
    return float(material.alpha_mean(middle)) * abs(T_inside - T_outside) / (2.0 * (1.0 - 0.3))
