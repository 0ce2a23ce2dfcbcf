"""Validation: gas properties against Cantera with gri30.yaml (GRI-Mech 3.0), frozen composition.

Gases of exhaust work, 250-2000 K. Targets: cp 0.5 %, gamma 0.002, a 0.3 %, mu 5 %. Most of the cp
error is meant: below 300 K the fit follows NASA-9 where the mechanism's N2 is an extrapolation.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from pulse1d.gas import Mixture, burned_gas, dry_air, products, state
from pulse1d.gas.burned import water_gas_constant
from pulse1d.gas.species import catalogue

ct = pytest.importorskip("cantera")

GASES = {
    "air": dry_air(),
    "gasoline lambda 1": burned_gas(1.87),
    "gasoline phi 1.15": products(1.87, 0.0, 1.0 / 1.15, 3.5),
    "gasoline lambda 1.2": burned_gas(1.87, lambda_=1.2),
    "diesel lambda 1.4": burned_gas(1.85, lambda_=1.4),
    "diesel lambda 2": burned_gas(1.85, lambda_=2.0),
    "diesel lambda 3": burned_gas(1.85, lambda_=3.0),
    "ethanol lambda 1": burned_gas(3.0, 0.5),
}
T = np.arange(250.0, 2001.0, 50.0)
P = 101325.0


@pytest.fixture(scope="module")
def gri30() -> Any:
    return ct.Solution("gri30.yaml")


@pytest.fixture(scope="module")
def seven() -> Any:
    wanted = [s for s in ct.Species.list_from_file("gri30.yaml") if s.name in catalogue()]
    return ct.Solution(thermo="ideal-gas", species=wanted)


def _rows(gas: Any, mixture: Mixture) -> np.ndarray:
    out = []
    for value in T:
        gas.TPX = value, P, mixture.x
        R = ct.gas_constant / gas.mean_molecular_weight
        gamma = gas.cp_mass / (gas.cp_mass - R)
        a = np.sqrt(gamma * R * value)
        out.append((gas.cp_mass, gamma, a, gas.viscosity, gas.thermal_conductivity))
    return np.array(out).T


@pytest.mark.parametrize("name", GASES)
def test_properties(gri30: Any, name: str) -> None:
    mixture = GASES[name]
    laws = (state.cp, state.gamma, state.sound_speed, state.mu, state.k_th)
    ours = np.array([[law(value, mixture.table) for value in T] for law in laws])
    cp, gamma, a, mu, k_th = np.abs(ours / _rows(gri30, mixture) - 1.0).max(axis=1)
    gamma_error = np.abs(ours[1] - _rows(gri30, mixture)[1]).max()
    # the targets stated above, tightened to what is reached so that a slip shows
    assert cp < 3.0e-3, "target 0.5 %"
    assert gamma_error < 1.7e-3, "target 0.002"
    assert a < 6e-4, "target 0.3 %"
    assert mu < 2e-4, "target 5 %; Cantera mixes by the same rule"
    assert k_th < 1.5e-3, "no target; steam's conductivity is the worst fit"
    assert gamma < 1.2e-3


@pytest.mark.parametrize("name", GASES)
def test_enthalpy_and_entropy(gri30: Any, name: str) -> None:
    mixture = GASES[name]
    gri30.TPX = 298.15, P, mixture.x
    h_0, s_0 = gri30.enthalpy_mass, gri30.entropy_mass
    for value in (250.0, 400.0, 1000.0, 1500.0, 2000.0):
        gri30.TP = value, P
        dh, ds = gri30.enthalpy_mass - h_0, gri30.entropy_mass - s_0
        # cp differs by 0.27 % at 250 K and by 0.09 % at most above 300 K; integrals average that
        assert state.h(value, mixture.table) == pytest.approx(dh, rel=2e-3)
        assert state.s0(value, mixture.table) == pytest.approx(ds, rel=2e-3)


def test_low_temperature_follows_nasa9() -> None:
    """Dry air at 200 K against the newer NASA-9 data, where GRI-Mech's N2 is 1.1 % low."""
    wanted = {"N2": "N2", "O2": "O2", "Ar": "AR", "CO2": "CO2"}
    nasa = [s for s in ct.Species.list_from_file("nasa_gas.yaml") if s.name in wanted]
    gas = ct.Solution(thermo="ideal-gas", species=nasa)
    air = dry_air()
    x = {name: air.x[ours] for name, ours in wanted.items()}
    for value in (200.0, 250.0, 300.0, 500.0, 1000.0, 1500.0, 2000.0):
        gas.TPX = value, P, x
        # 0.35 %: the two data sets differ by 0.2 % (N2) to 0.3 % (CO2), and the led-over stretch
        # between 200 and 300 K lies between them
        assert state.cp(value, air.table) == pytest.approx(gas.cp_mass, rel=3.5e-3)


@pytest.mark.parametrize("lambda_", [0.65, 0.8, 0.87, 0.95, 1.0, 1.2, 2.0])
@pytest.mark.parametrize(("T_freeze", "apart"), [(1500.0, 4e-4), (1700.0, 6e-4), (1900.0, 1.6e-3)])
def test_composition_against_equilibrium(
    seven: Any, lambda_: float, T_freeze: float, apart: float
) -> None:
    """Chemical equilibrium of the seven species at the freeze temperature, 3 bar."""
    ours = burned_gas(1.87, lambda_=lambda_, T_freeze=T_freeze)
    seven.TPX = T_freeze, 3e5, ours.x
    seven.equilibrate("TP")
    for name in catalogue():
        # mole fractions: a water-gas constant 2.5 % off moves CO by up to 5e-4; dissociation, left
        # out here, makes 4e-4 of CO at 1700 K and 1.4e-3 at 1900 K when stoichiometric
        assert ours.x.get(name, 0.0) == pytest.approx(seven[name].X[0], abs=apart)


def test_water_gas_constant(gri30: Any) -> None:
    for value in np.arange(1000.0, 2501.0, 100.0):
        g = {}
        for name in ("CO", "H2O", "CO2", "H2"):
            thermo = gri30.species(name).thermo
            g[name] = (thermo.h(value) / value - thermo.s(value)) / ct.gas_constant
        K_wg = np.exp(g["CO2"] + g["H2"] - g["CO"] - g["H2O"])
        # 3 %: two generations of tables (JANAF behind the formula), as the docstring says
        assert water_gas_constant(value) == pytest.approx(K_wg, rel=0.03)
