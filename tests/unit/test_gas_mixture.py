"""Mixtures: composition, mixing rules and the error of the set-up fit."""

from __future__ import annotations

import pickle
import time

import numpy as np
import pytest

from pulse1d.gas import Mixture, blend, burned_gas, dry_air, moist_air, state
from pulse1d.gas.mixture import conductivity_mathur, viscosity_wilke
from pulse1d.gas.species import catalogue, read
from pulse1d.gas.table import T_TRANSPORT_HIGH, T_TRANSPORT_LOW, Array

GASES = {
    "dry air": dry_air(),
    "moist air": moist_air(101325.0, 308.15, 1.0),
    "stoichiometric": burned_gas(1.87),
    "rich": burned_gas(1.87, lambda_=0.7),
    "lean": burned_gas(1.85, lambda_=3.0),
    "ethanol": burned_gas(3.0, 0.5),
}


def test_molar_mass_of_dry_air() -> None:
    # 28.9644 g/mol in the US Standard Atmosphere 1976, from memory; CO2 has risen by 0.01 % since
    assert abs(dry_air().M / 28.9644e-3 - 1.0) < 1e-4


def test_fractions_are_normalised_and_sorted() -> None:
    gas = Mixture.of({"O2": 1.0, "N2": 3.0, "CO": 0.0})
    assert gas.fractions == (("N2", 0.75), ("O2", 0.25))
    assert gas == Mixture.of({"N2": 0.75, "O2": 0.25})
    assert hash(gas) == hash(Mixture.of({"N2": 6.0, "O2": 2.0}))
    assert sum(gas.Y.values()) == pytest.approx(1.0, rel=1e-15)  # one rounding


@pytest.mark.parametrize(
    ("amounts", "text"),
    [
        ({"n2": 1.0}, "did you mean N2"),
        ({"XE": 1.0}, "is not one of"),
        ({"N2": -1.0}, "must be 0 or more"),
        ({"N2": float("nan")}, "must be 0 or more"),
        ({"N2": 0.0}, "positive, finite sum"),
        ({}, "positive, finite sum"),
    ],
)
def test_refuses_impossible_amounts(amounts: dict[str, float], text: str) -> None:
    with pytest.raises(ValueError, match=text):
        Mixture.of(amounts)


def test_survives_a_process_boundary() -> None:
    gas = burned_gas(1.87)
    copy = pickle.loads(pickle.dumps(gas))
    assert copy == gas
    assert np.array_equal(copy.table, gas.table)


def test_table_is_what_compiled_code_expects() -> None:
    table = dry_air().table
    assert table.dtype == np.float64
    assert table.ndim == 1
    assert table.flags.c_contiguous
    assert table is dry_air().table


def _species_curves(gas: Mixture, T: Array) -> tuple[Array, Array, Array, Array]:
    powers = np.vander(np.sqrt(T / 1000.0), 6, increasing=True)
    known = catalogue().values()
    x = np.array([gas.x.get(item.name, 0.0) for item in known])
    M = np.array([item.M for item in known])
    mu = np.array([powers @ item.mu for item in known])
    return x, M, mu, np.array([powers @ item.k_th for item in known])


@pytest.mark.parametrize("name", GASES)
def test_transport_fit_keeps_the_mixing_rules(name: str) -> None:
    gas = GASES[name]
    T = np.geomspace(T_TRANSPORT_LOW, T_TRANSPORT_HIGH, 61)
    x, M, mu, k_th = _species_curves(gas, T)
    # the set-up fit is meant to keep within 0.2 % (set when the fit was designed; 0.04 % reached)
    found = np.array([state.mu(value, gas.table) for value in T])
    np.testing.assert_allclose(found, viscosity_wilke(x, mu, M), rtol=2e-3)
    found = np.array([state.k_th(value, gas.table) for value in T])
    np.testing.assert_allclose(found, conductivity_mathur(x, k_th), rtol=2e-3)


def test_mixing_rules_leave_a_pure_gas_and_equal_gases_alone() -> None:
    mu = np.array([[1e-5, 2e-5], [3e-5, 4e-5]])
    M = np.array([0.028, 0.044])
    one = np.array([0.0, 1.0])
    exact = {"rtol": 1e-14}  # a handful of operations
    np.testing.assert_allclose(viscosity_wilke(one, mu, M), mu[1], **exact)
    np.testing.assert_allclose(conductivity_mathur(one, mu), mu[1], **exact)
    half, same = np.array([0.5, 0.5]), np.array([[1e-5], [1e-5]])
    np.testing.assert_allclose(viscosity_wilke(half, same, np.full(2, 0.03)), same[0], **exact)
    np.testing.assert_allclose(conductivity_mathur(half, same), same[0], **exact)


def test_wilke_by_hand() -> None:
    """Two gases worked out on paper: mu 2 and 1, M 1 and 4, equal shares.

    phi_12 = (1 + 2^.5 4^.25)^2 / (8 (1 + 1/4))^.5 = 9 / 3.16228 = 2.84605
    phi_21 = (1 + .5^.5 .25^.25)^2 / (8 (1 + 4))^.5 = 2.25 / 6.32456 = 0.355756
    mu = 2/(1 + phi_12) + 1/(1 + phi_21) = 0.520014 + 0.737595
    """
    mu = viscosity_wilke(np.array([0.5, 0.5]), np.array([[2.0], [1.0]]), np.array([1.0, 4.0]))
    assert mu[0] == pytest.approx(1.257609, rel=1e-5)  # digits carried by hand


def test_blend_conserves_mass_fractions() -> None:
    air, gas = dry_air(), burned_gas(1.87)
    mixed = blend(air, gas, 0.3)
    for name in catalogue():
        wanted = 0.7 * air.Y.get(name, 0.0) + 0.3 * gas.Y.get(name, 0.0)
        assert mixed.Y.get(name, 0.0) == pytest.approx(wanted, rel=1e-13, abs=1e-16)  # round-off
    with pytest.raises(ValueError, match="must lie in 0"):
        blend(air, gas, 1.2)


def test_set_up_is_quick() -> None:
    burned_gas(1.87).table  # noqa: B018  loads the species
    start = time.perf_counter()
    for i in range(20):
        burned_gas(1.87, lambda_=1.0 + 0.01 * i).table  # noqa: B018
    # 0.1 ms measured; 3 ms is the budget, so a shared machine has room
    assert (time.perf_counter() - start) / 20 < 3e-3


def test_old_species_file_is_refused_with_the_remedy() -> None:
    with pytest.raises(ValueError, match=r"python -m pulse1d\.gas\.fit N2"):
        read('format = 0\nname = "N2"\n')
