"""Density of moist air against the CIPM-2007 equation and figures of bench practice.

Sources. Picard, Davis, Glaeser, Fujii, Revised formula for the density of moist air (CIPM-2007),
Metrologia 45, 2008, constants from memory. Bench figures: worked out on paper with
rho = (p - e)/(287.05 T) + e/(461.5 T), four printed digits.
"""

from __future__ import annotations

import math

import pytest

from pulse1d.gas import moist_air
from pulse1d.measure.air import RoomAir, density, gas_constant


def cipm(p: float, t: float, h: float) -> tuple[float, float]:
    """Density [kg/m^3] by the whole formula, 400 ppm of CO2, and its compressibility factor Z."""
    T = t + 273.15
    p_sv = math.exp(1.2378847e-5 * T**2 - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T)
    x = h * (1.00062 + 3.14e-8 * p + 5.6e-7 * t**2) * p_sv / p
    a = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2
    b, c = 5.707e-6 - 2.051e-8 * t, 1.9898e-4 - 2.376e-6 * t
    Z = 1.0 - p / T * (a + b * x + c * x**2) + (p / T) ** 2 * (1.83e-11 - 0.765e-8 * x**2)
    M_a, M_v = 28.96546e-3, 18.01528e-3
    return p * M_a / (Z * 8.314472 * T) * (1.0 - x * (1.0 - M_v / M_a)), Z


@pytest.mark.parametrize("p", [95e3, 101325.0, 105e3])
@pytest.mark.parametrize("t", [15.0, 20.0, 27.0])
@pytest.mark.parametrize("h", [0.0, 0.5, 1.0])
def test_against_cipm_2007(p: float, t: float, h: float) -> None:
    found, (rho, Z) = (
        density(RoomAir(pressure=p, temperature=t + 273.15, humidity=h)),
        cipm(p, t, h),
    )
    # we take the air as ideal, and Z is 0.9994 to 0.9998 here
    assert found == pytest.approx(rho, rel=7e-4)
    # that is all: with Z, only the molar masses of dry air and R remain, 2e-5 each
    assert found / Z == pytest.approx(rho, rel=4e-5)


@pytest.mark.parametrize(
    ("t", "kPa", "h", "rho"),
    [(20.0, 101.325, 0.0, 1.204), (35.0, 98.0, 0.6, 1.093), (15.0, 102.0, 0.3, 1.231)],
)
def test_bench_figures(t: float, kPa: float, h: float, rho: float) -> None:
    found = density(RoomAir(pressure=1e3 * kPa, temperature=t + 273.15, humidity=h))
    # printed digits, and the enhancement factor (0.4 % of the vapour) that the paper sum lacks
    assert found == pytest.approx(rho, abs=8e-4)


def test_humidity_alone() -> None:
    dry, moist = (
        density(RoomAir(temperature=303.15, humidity=humidity)) for humidity in (0.0, 0.5)
    )
    assert moist / dry - 1.0 == pytest.approx(-0.008, abs=5e-4)  # printed as -0.8 %


@pytest.mark.parametrize("RH", [0.0, 0.4, 1.0])
def test_the_array_form_is_the_mixture_s(RH: float) -> None:
    # the same equation twice: round-off, and fractions rounded in the shipped species
    assert gas_constant(98e3, 300.0, RH) == pytest.approx(moist_air(98e3, 300.0, RH).R, rel=1e-12)
