"""Dry air, and moist air at a pressure, temperature and relative humidity."""

from __future__ import annotations

from functools import lru_cache
from math import exp

from pulse1d.gas.mixture import Mixture

DRY_AIR = {"N2": 78.084, "O2": 20.946, "AR": 0.934, "CO2": 0.04}
"""Parts by volume, scaled to add up to 1. Source: US Standard Atmosphere 1976, from memory, with
CO2 of the 2010s."""
T_HUMID = (233.15, 353.15)
"""Range in which moisture is accepted [K]: -40 to 80 degC, where the vapour pressure equation below
keeps to the steam tables within 0.1 % (above 0 degC)."""


@lru_cache(maxsize=1)
def dry_air() -> Mixture:
    """Dry air.

    Returns
    -------
    air : Mixture   N2, O2, AR and CO2 [-]
    Source      ``DRY_AIR``
    """
    return Mixture.of(DRY_AIR)


def p_saturation(T: float) -> float:
    """Saturation pressure of water vapour over liquid water (supercooled below 0 degC).

    p = exp(A T^2 + B T + C + D/T)

    Parameters
    ----------
    T : float   Temperature, 233.15 .. 353.15 [K]
    Returns
    -------
    p_sat : float   Saturation pressure [Pa]
    Errors      ValueError outside the range.
    Source      CIPM-2007 equation for the density of moist air, Picard et al., Metrologia 45, 2008,
                from memory (made for 15-27 degC; within 0.1 % of steam tables over 0-80 degC)
    """
    if not T_HUMID[0] <= T <= T_HUMID[1]:
        raise ValueError(
            f"moist air at {T - 273.15:.1f} degC: humidity is taken between "
            f"{T_HUMID[0] - 273.15:.0f} and {T_HUMID[1] - 273.15:.0f} degC; use dry air"
        )
    return exp(1.2378847e-5 * T**2 - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T)


def moist_air(p: float, T: float, RH: float) -> Mixture:
    """Moist air of a relative humidity over liquid water.

    x_H2O = RH f p_sat/p,  f = 1.00062 + 3.14e-8 p + 5.6e-7 t^2 (p in Pa, t in degC)

    Parameters
    ----------
    p : float   Absolute pressure [Pa]
    T : float   Temperature, 233.15 .. 353.15; any for dry air [K]
    RH : float   Relative humidity, 0 .. 1 [-]
    Returns
    -------
    air : Mixture   Dry air with its water vapour [-]
    Errors      ValueError when RH is outside 0 .. 1, T out of range or the vapour alone exceeds p.
    Source      CIPM-2007, as ``p_saturation``
    """
    if not 0.0 <= RH <= 1.0:
        raise ValueError(f"relative humidity is {RH:g}, must lie in 0 .. 1 (0 .. 100 %)")
    enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * (T - 273.15) ** 2
    x_water = RH * enhancement * p_saturation(T) / p if RH > 0.0 else 0.0
    if x_water >= 1.0:
        raise ValueError(
            f"water vapour at {T - 273.15:.1f} degC and {100.0 * RH:g} % humidity exceeds the "
            f"pressure of {p:g} Pa; check that the pressure is absolute"
        )
    amounts = {name: x * (1.0 - x_water) for name, x in dry_air().fractions}
    return Mixture.of({**amounts, "H2O": x_water})
