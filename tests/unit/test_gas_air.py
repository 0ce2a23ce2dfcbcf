"""Moist air against steam tables and the rules of humidity."""

from __future__ import annotations

import pytest

from pulse1d.gas import dry_air, moist_air
from pulse1d.gas.air import p_saturation

STEAM = {
    273.16: 611.657,
    283.15: 1228.2,
    293.15: 2339.3,
    298.15: 3169.9,
    313.15: 7384.9,
    333.15: 19946,
}
"""Saturation pressure [Pa] by temperature. Source: IAPWS-95 steam tables, from memory."""


@pytest.mark.parametrize("T", STEAM)
def test_saturation_pressure_against_steam_tables(T: float) -> None:
    # 0.1 %: the claim of the docstring; the equation was made for 15-27 degC
    assert p_saturation(T) == pytest.approx(STEAM[T], rel=1e-3)


def test_supercooled_branch_against_another_equation() -> None:
    # Buck 1996: 611.21 Pa exp((18.678 - t/234.5) t/(257.14 + t)), from memory, at -20 degC;
    # the two equations part by 0.01 % there
    assert p_saturation(253.15) == pytest.approx(125.584, rel=1e-3)


def test_moist_air_holds_the_vapour_it_should() -> None:
    gas = moist_air(101325.0, 293.15, 0.5)
    # x = RH f p_s/p = 0.5 * 1.0040 * 2339.2/101325; f = 1.0040 (CIPM-2007), digits carried by hand
    assert gas.x["H2O"] == pytest.approx(0.0115895, rel=1e-4)
    # the dry part keeps its proportions to round-off
    assert gas.x["O2"] / gas.x["N2"] == pytest.approx(
        dry_air().x["O2"] / dry_air().x["N2"], rel=1e-14
    )
    assert gas.R > dry_air().R


def test_dry_limit() -> None:
    x = moist_air(101325.0, 293.15, 0.0).x
    assert x == pytest.approx(dry_air().x, rel=1e-14)  # scaled to 1 twice


def test_density_of_moist_air() -> None:
    """20 degC, 101325 Pa, 50 %: CIPM-2007 gives 1.19923 kg/m3 (from memory), Z = 0.99963."""
    gas = moist_air(101325.0, 293.15, 0.5)
    rho = 101325.0 / (gas.R * 293.15)
    # an ideal gas is 0.04 % light for want of Z; the rest is CO2 and rounding
    assert rho == pytest.approx(1.1992, rel=6e-4)


@pytest.mark.parametrize(
    ("p", "T", "RH", "text"),
    [
        (101325.0, 293.15, 1.01, "must lie in 0"),
        (101325.0, 293.15, -0.1, "must lie in 0"),
        (101325.0, 400.0, 0.5, "use dry air"),
        (101325.0, 200.0, 0.5, "use dry air"),
        (1000.0, 323.15, 1.0, "pressure is absolute"),
    ],
)
def test_refusals(p: float, T: float, RH: float, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        moist_air(p, T, RH)
