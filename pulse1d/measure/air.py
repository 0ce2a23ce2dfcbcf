"""Air of a room, and its density over arrays of states."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pulse1d.gas.air import dry_air, moist_air, p_saturation
from pulse1d.gas.species import catalogue
from pulse1d.gas.table import R_UNIVERSAL
from pulse1d.spec import AbsolutePressure, Fraction, Spec, Temperature

Array = NDArray[np.float64]
Number = Any
"""A float or an array of floats."""


class RoomAir(Spec):
    """A state of air: of the room, or the reference that volume flow is stated at."""

    pressure: AbsolutePressure = 101325.0
    temperature: Temperature = 293.15
    humidity: Fraction = 0.0
    """Relative humidity."""


class Stream(NamedTuple):
    """Air in front of a meter or a part; floats or arrays that fit each other."""

    p: Number
    """Absolute pressure [Pa]."""
    T: Number
    """Temperature [K]."""
    R: Number
    """Gas constant [J/kg/K]."""
    gamma: Number
    """Ratio of specific heats [-]."""

    @property
    def rho(self) -> Number:
        """Density [kg/m^3]."""
        return self.p / (self.R * self.T)


def gas_constant(p: Number, T: float, RH: Number) -> Number:
    """Gas constant of moist air; the vectorised twin of ``pulse1d.gas.moist_air``.

    Parameters
    ----------
    p : float or array   Pressure at which the humidity holds [Pa]
    T : float   Temperature at which the humidity holds [K]
    RH : float or array   Relative humidity, held to 0 .. 1 [-]
    Returns
    -------
    R : float or array   [J/kg/K]
    Errors      ValueError when T is outside the range of ``p_saturation``.
    Source      as ``pulse1d.gas.air.moist_air``
    """
    enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * (T - 273.15) ** 2
    x = np.clip(RH, 0.0, 1.0) * enhancement * p_saturation(T) / p
    return R_UNIVERSAL / ((1.0 - x) * dry_air().M + x * catalogue()["H2O"].M)


@lru_cache(maxsize=4096)
def ratio_of_heats(p: float, T_room: float, RH: float, T: float) -> float:
    """gamma of a room's air at another temperature.

    Parameters
    ----------
    p, T_room, RH : float   State at which the humidity holds [Pa, K, -]
    T : float   Temperature of the air now [K]
    Returns
    -------
    gamma : float   [-]
    Source      as ``pulse1d.gas``
    """
    known, at = catalogue(), np.array([T])
    fractions = moist_air(p, T_room, RH).fractions
    cp = sum(x * float(known[name].cp_over_R(at)[0]) for name, x in fractions)
    return cp / (cp - 1.0)


def density(air: RoomAir) -> float:
    """Density of a stated air.

    Parameters
    ----------
    air : RoomAir   [SI]
    Returns
    -------
    rho : float   [kg/m^3]
    Source      as ``pulse1d.gas.air.moist_air``
    """
    return float(
        air.pressure / (gas_constant(air.pressure, air.temperature, air.humidity) * air.temperature)
    )


def isentropic_flux(up: Stream, p_down: Number) -> Number:
    """Mass flow per area of isentropic flow to a lower pressure; choked, it stays at its largest.

    G = p0/(R T0)^(1/2) [2 gamma/(gamma-1) (r^(2/gamma) - r^((gamma+1)/gamma))]^(1/2), r = p_down/p0

    Parameters
    ----------
    up : Stream   Total state of the air [SI]
    p_down : float or array   Static pressure behind, not above up.p [Pa]
    Returns
    -------
    G : float or array   [kg/s/m^2]
    Source      NACA Report 1135, from memory
    """
    g = up.gamma
    critical = (2.0 / (g + 1.0)) ** (g / (g - 1.0))
    r = np.maximum(p_down / up.p, critical)
    head = 2.0 * g / (g - 1.0) * (r ** (2.0 / g) - r ** ((g + 1.0) / g))
    return up.p / np.sqrt(up.R * up.T) * np.sqrt(head)
