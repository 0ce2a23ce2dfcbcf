"""Burned gas: atom balances, the published rows of stoichiometric gasoline, named fuels."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.gas import (
    Mixture,
    burned_gas,
    dry_air,
    fuel,
    moist_air,
    products,
    state,
    stoichiometric_afr,
)
from pulse1d.gas.burned import LAMBDA_MIN, M_ATOM, T_WATER_GAS, oxygen_needed, water_gas_constant

ATOMS = {
    "N2": (0, 0, 0, 2, 0),
    "O2": (0, 0, 2, 0, 0),
    "AR": (0, 0, 0, 0, 1),
    "CO2": (1, 0, 2, 0, 0),
    "H2O": (0, 2, 1, 0, 0),
    "CO": (1, 0, 1, 0, 0),
    "H2": (0, 2, 0, 0, 0),
}
"""C, H, O, N and Ar atoms of each species."""


def _atoms(gas: Mixture, per: int | None = None) -> list[float]:
    return [sum(x * ATOMS[name][k] for name, x in gas.fractions) for k in range(5)]


@settings(max_examples=100, deadline=None)
@given(
    st.floats(0.0, 4.0),
    st.floats(0.0, 1.0),
    st.floats(LAMBDA_MIN, 5.0),
    st.floats(*T_WATER_GAS),
    st.booleans(),
)
def test_atoms_are_conserved(y: float, z: float, lambda_: float, T: float, moist: bool) -> None:
    air = moist_air(101325.0, 313.15, 1.0) if moist else dry_air()
    gas = burned_gas(y, z, lambda_, T, air)
    got, from_air = _atoms(gas), _atoms(air)
    n_air = lambda_ * oxygen_needed(y, z) / air.x["O2"]
    fed = [a * n_air + b for a, b in zip(from_air, (1.0, y, z, 0.0, 0.0), strict=True)]
    scale = got[3] / fed[3]  # nitrogen is inert: it tells moles of products per mole of fuel
    for atom, wanted in zip(got, fed, strict=True):
        assert atom == pytest.approx(wanted * scale, rel=1e-12, abs=1e-14)  # round-off
    assert min(x for _, x in gas.fractions) > 0.0


@settings(max_examples=100, deadline=None)
@given(st.floats(0.5, 4.0), st.floats(0.0, 1.0), st.floats(LAMBDA_MIN, 0.999), st.floats(0.3, 8.0))
def test_rich_gas_is_in_water_gas_equilibrium(y: float, z: float, lam: float, K_wg: float) -> None:
    x = products(y, z, lam, K_wg).x
    assert "O2" not in x
    # round-off, amplified where CO2 or H2 is a small difference of large numbers
    assert x["CO"] * x["H2O"] / (x["CO2"] * x["H2"]) == pytest.approx(K_wg, rel=1e-9)


def test_composition_is_continuous_at_stoichiometry() -> None:
    rich, exact, lean = (burned_gas(1.87, lambda_=1.0 + d).x for d in (-1e-9, 0.0, 1e-9))
    for name in exact:
        assert rich[name] == pytest.approx(exact[name], abs=1e-8)  # ten times the step in lambda
        assert lean[name] == pytest.approx(exact[name], abs=1e-8)
    assert set(exact) == {"AR", "CO2", "H2O", "N2"}


def test_very_lean_gas_is_air() -> None:
    gas = burned_gas(1.87, lambda_=1e6)
    for name, x in dry_air().fractions:
        assert gas.x[name] == pytest.approx(x, abs=1e-6)  # 1/lambda


@pytest.mark.parametrize(("y", "afr"), [(1.87, 14.605), (2.25, 15.133), (1.85, 14.576)])
def test_stoichiometric_air_fuel_ratio(y: float, afr: float) -> None:
    """Reference values worked out apart with Cantera 3.2.0 atomic weights, three decimals."""
    assert stoichiometric_afr(y) == pytest.approx(afr, abs=6e-4)


@pytest.mark.parametrize(
    ("y", "z", "lambda_", "R"),
    [
        (1.87, 0.0, 1.0, 286.57),
        (1.87, 0.0, 1.2, 286.64),
        (1.85, 0.0, 1.4, 286.58),
        (1.85, 0.0, 2.0, 286.71),
        (1.85, 0.0, 3.0, 286.82),
        (2.25, 0.0, 1.0, 289.55),
        (3.00, 0.5, 1.0, 294.43),
    ],
)
def test_gas_constants(y: float, z: float, lambda_: float, R: float) -> None:
    """Reference values made apart with Cantera 3.2.0 from the same composition, two decimals."""
    assert abs(burned_gas(y, z, lambda_).R - R) < 6e-3


def test_rich_gas_constant() -> None:
    """The reference (phi 1.15, K 3.5: 294.92) left out the CO2 of the air: 0.02 % of R."""
    gas = products(1.87, 0.0, 1.0 / 1.15, 3.5)
    assert abs(gas.R / 294.92 - 1.0) < 2.5e-4
    without = {name: x for name, x in dry_air().fractions if name != "CO2"}
    gas = products(1.87, 0.0, 1.0 / 1.15, 3.5, Mixture.of(without))
    assert abs(gas.R - 294.92) < 6e-3  # two decimals
    # cp of the reference at three temperatures; 0.3 % is what the fit is allowed below
    for T, cp in ((300.0, 1079.3), (800.0, 1217.7), (1500.0, 1373.2)):
        assert state.cp(T, gas.table) == pytest.approx(cp, rel=3e-3)


def test_stoichiometric_gasoline() -> None:
    """Reference made with Cantera 3.2.0, gri30.yaml: T, a, mu e6, k, Pr, (h - h300)/1e3."""
    gas = burned_gas(1.87)
    for name, x in {"CO2": 0.13417, "H2O": 0.12510, "N2": 0.73197, "AR": 0.00876}.items():
        assert gas.x[name] == pytest.approx(x, abs=6e-6)  # five decimals
    rows = (
        (300.0, 343.5, 16.68, 0.02489, 0.708, 0.0),
        (600.0, 479.2, 28.60, 0.04608, 0.708, 329.5),
        (800.0, 548.6, 35.22, 0.05985, 0.708, 563.9),
        (1000.0, 608.9, 41.21, 0.07324, 0.710, 810.6),
        (1200.0, 663.7, 46.74, 0.08616, 0.709, 1067.6),
        (1500.0, 738.1, 54.41, 0.10463, 0.706, 1467.7),
    )
    h_300 = state.h(300.0, gas.table)
    for T, a, mu, k_th, Pr, h in rows:
        # printed digits (5e-4 relative), and 0.1 % for what the fits round off
        assert state.sound_speed(T, gas.table) == pytest.approx(a, rel=1e-3)
        assert state.mu(T, gas.table) * 1e6 == pytest.approx(mu, rel=1e-3)
        assert state.k_th(T, gas.table) == pytest.approx(k_th, rel=1.5e-3)
        assert state.prandtl(T, gas.table) == pytest.approx(Pr, rel=3e-3)  # cp has 0.2 %
        assert (state.h(T, gas.table) - h_300) / 1e3 == pytest.approx(h, rel=5e-4, abs=1e-9)


def test_water_gas_constant_near_the_usual_value() -> None:
    # 3.5 is the value in common use for rich exhaust gas; the freeze temperature must sit near it
    assert water_gas_constant(1700.0) == pytest.approx(3.5, rel=0.06)
    assert water_gas_constant(1740.0) == pytest.approx(3.5, rel=1e-3)


def test_named_fuels_follow_from_their_notes() -> None:
    """Formulas give y and z; E10 and E85 follow from densities and volume shares."""
    raw = tomllib.loads(files("pulse1d.gas").joinpath("fuels.toml").read_text(encoding="utf-8"))
    for name, row in raw["fuel"].items():
        if "formula" in row:
            count = {a: int(n or 1) for a, n in re.findall(r"([CHO])(\d*)", row["formula"])}
            y, z = count["H"] / count["C"], count.get("O", 0) / count["C"]
            assert (row["y"], row["z"]) == pytest.approx((y, z), rel=1e-15), name  # one division
        if "ethanol_by_volume" in row:
            y, z = _ethanol_blend(row["ethanol_by_volume"])
            assert (row["y"], row["z"]) == pytest.approx((y, z), abs=6e-4), name  # three decimals


def _ethanol_blend(volume: float) -> tuple[float, float]:
    """y and z of gasoline (745 kg/m3) with a volume share of ethanol (789 kg/m3)."""
    pair = ((fuel("gasoline"), 745.0 * (1.0 - volume)), (fuel("ethanol"), 789.0 * volume))
    carbon = [m / (M_ATOM["C"] + f.y * M_ATOM["H"] + f.z * M_ATOM["O"]) for f, m in pair]
    return (
        sum(n * f.y for n, (f, _) in zip(carbon, pair, strict=True)) / sum(carbon),
        sum(n * f.z for n, (f, _) in zip(carbon, pair, strict=True)) / sum(carbon),
    )


def test_unknown_fuel_names_the_nearest() -> None:
    with pytest.raises(ValueError, match=r"'gasolin' is not known; did you mean 'gasoline'\?"):
        fuel("gasolin")
    with pytest.raises(ValueError, match="did you mean 'diesel'"):
        fuel("Deisel")
    with pytest.raises(ValueError, match="known: gasoline, diesel"):
        fuel("zzzz")


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: burned_gas(1.87, lambda_=0.5), "must be 0.6 or more"),
        (lambda: burned_gas(1.87, lambda_=float("nan")), "must be 0.6 or more"),
        (lambda: burned_gas(0.0, 2.0), "is not a fuel"),
        (lambda: burned_gas(-1.0), "is not a fuel"),
        (lambda: burned_gas(1.87, T_freeze=500.0), "freeze temperature is 500 K"),
    ],
)
def test_refusals(call: object, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()  # type: ignore[operator]
