"""Slider-crank: volume, its rate and the walls that the gas sees, by crank angle; compiled.

Crank angles count from firing top dead centre, in degrees, and repeat after 720.
"""

from __future__ import annotations

import math

from numba import njit

CYCLE = 720.0
"""Length of a four-stroke cycle [deg]."""


@njit(cache=True, error_model="numpy")
def descent(theta, stroke, rod):
    """How far the piston stands below its top.

    s = a (1 - cos theta) + l - sqrt(l^2 - a^2 sin^2 theta),  a = stroke/2, l = rod

    Parameters
    ----------
    theta : float   Crank angle [deg]
    stroke, rod : float   [m]
    Returns
    -------
    s : float   [m]
    Source      heywood1988 section 2.2
    """
    a, angle = 0.5 * stroke, math.radians(theta)
    return a * (1.0 - math.cos(angle)) + rod - math.sqrt(rod * rod - (a * math.sin(angle)) ** 2)


@njit(cache=True, error_model="numpy")
def volume(theta, bore, stroke, rod, ratio):
    """Volume of the cylinder.

    Parameters
    ----------
    theta : float   Crank angle [deg]
    bore, stroke, rod : float   [m]
    ratio : float   Compression ratio, above 1 [-]
    Returns
    -------
    V : float   [m3]
    Source      heywood1988 section 2.2
    """
    area = 0.25 * math.pi * bore * bore
    return area * (stroke / (ratio - 1.0) + descent(theta, stroke, rod))


@njit(cache=True, error_model="numpy")
def wall_area(theta, bore, stroke, rod, ratio):
    """Walls around the gas: flat head and piston crown, and the liner between them.

    Parameters
    ----------
    theta, bore, stroke, rod, ratio : float   As in ``volume`` [SI, deg]
    Returns
    -------
    A : float   [m2]
    Limits      a chamber in the head or bowl in the piston has up to a third more (judgement)
    Source      heywood1988 section 2.2
    """
    gap = stroke / (ratio - 1.0) + descent(theta, stroke, rod)
    return 0.5 * math.pi * bore * bore + math.pi * bore * gap
