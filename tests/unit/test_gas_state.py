"""Thermodynamic identities of the compiled property functions, for any mixture and temperature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numba import njit

from pulse1d.gas import Mixture, blend, burned_gas, dry_air, state
from pulse1d.gas.species import catalogue
from pulse1d.gas.table import (
    CP_A,
    MU,
    SIZE,
    T_DATUM,
    T_HIGH,
    T_LOW,
    T_TRANSPORT_HIGH,
    T_TRANSPORT_LOW,
    R,
)

ROUND_OFF = 1e-12
"""Relative: a few hundred units in the last place, for sums of some ten terms of mixed sign."""

shares = st.lists(st.floats(0.0, 1.0), min_size=7, max_size=7).filter(lambda x: sum(x) > 0.01)
mixtures = shares.map(lambda x: Mixture.of(dict(zip(catalogue(), x, strict=True))))
temperatures = st.floats(T_LOW, T_HIGH)
wide = st.floats(20.0, 6000.0)
few = settings(max_examples=60, deadline=None)


@few
@given(mixtures, wide)
def test_dh_dT_is_cp(gas: Mixture, T: float) -> None:
    d = 1e-3 * T
    slope = (state.h(T + d, gas.table) - state.h(T - d, gas.table)) / (2.0 * d)
    # a step of 0.1 % of T sees the slope of cp jump where the fit ends: cp'/2 d, cp' T/cp <= 0.6
    assert slope == pytest.approx(state.cp(T, gas.table), rel=1e-3)


@few
@given(mixtures, wide)
def test_ds0_dT_is_cp_over_T(gas: Mixture, T: float) -> None:
    d = 1e-3 * T
    slope = (state.s0(T + d, gas.table) - state.s0(T - d, gas.table)) / (2.0 * d)
    assert slope * T == pytest.approx(state.cp(T, gas.table), rel=1e-3)  # as for h


@few
@given(mixtures, temperatures, temperatures)
def test_h_and_s0_are_the_integrals_of_cp(gas: Mixture, T_1: float, T_2: float) -> None:
    """Gauss quadrature of cp and cp/T, split at the joint, against the closed forms."""
    x, weight = np.polynomial.legendre.leggauss(40)
    h_sum = s_sum = 0.0
    joint = min(max(1000.0, min(T_1, T_2)), max(T_1, T_2))
    for a, b in ((T_1, joint), (joint, T_2)):
        T = 0.5 * (a + b) + 0.5 * (b - a) * x
        heat = np.array([state.cp(value, gas.table) for value in T])
        h_sum += 0.5 * (b - a) * float(weight @ heat)
        s_sum += 0.5 * (b - a) * float(weight @ (heat / T))
    # 40 nodes integrate the polynomials exactly and 1/T over a ratio of 7 to 1e-15: what remains is
    # round-off of the whole integrals
    scale = state.h(T_HIGH, gas.table)
    assert state.h(T_2, gas.table) - state.h(T_1, gas.table) == pytest.approx(
        h_sum, abs=ROUND_OFF * scale
    )
    assert state.s0(T_2, gas.table) - state.s0(T_1, gas.table) == pytest.approx(
        s_sum, abs=ROUND_OFF * state.s0(T_HIGH, gas.table) * 10.0
    )


@few
@given(mixtures, st.floats(-500.0, 9000.0), st.floats(1.0, 9000.0))
def test_temperature_of_enthalpy_and_energy(gas: Mixture, T: float, T_guess: float) -> None:
    table = gas.table
    near = pytest.approx(T, rel=ROUND_OFF, abs=1e-9)  # h near its zero carries 1e-16 of h's terms
    assert state.T_from_h(state.h(T, table), table, T_guess) == near
    assert state.T_from_e(state.e(T, table), table, T_guess) == near


@few
@given(mixtures, wide, wide)
def test_temperature_of_entropy(gas: Mixture, T: float, T_guess: float) -> None:
    # s0 / cp is ln T to about 1e-15 of its terms (up to 10): relative error of T about 1e-14
    found = state.T_from_s0(state.s0(T, gas.table), gas.table, T_guess)
    assert found == pytest.approx(T, rel=ROUND_OFF)


@few
@given(mixtures, wide)
def test_ideal_gas_relations(gas: Mixture, T: float) -> None:
    table = gas.table
    exact = {"rel": 1e-14}  # one or two operations
    heat = state.cp(T, table)
    assert table[R] == pytest.approx(gas.R, **exact)
    assert state.cv(T, table) == pytest.approx(heat - gas.R, **exact)
    assert state.gamma(T, table) == pytest.approx(heat / (heat - gas.R), **exact)
    assert 1.0 < state.gamma(T, table) < 5.0 / 3.0 + 1e-9  # monatomic argon is the largest
    assert state.sound_speed(T, table) ** 2 == pytest.approx(
        state.gamma(T, table) * gas.R * T, **exact
    )
    assert state.e(T, table) + gas.R * T == pytest.approx(
        state.h(T, table), rel=1e-13, abs=1e-9 * gas.R
    )
    assert state.prandtl(T, table) == pytest.approx(
        state.mu(T, table) * heat / state.k_th(T, table), **exact
    )


@few
@given(mixtures)
def test_datum_and_joint(gas: Mixture) -> None:
    table = gas.table
    assert state.h(T_DATUM, table) == pytest.approx(0.0, abs=ROUND_OFF * gas.R * T_DATUM)
    assert state.s0(T_DATUM, table) == pytest.approx(0.0, abs=ROUND_OFF * 10.0 * gas.R)
    below, at, above = (state.cp(T, table) for T in (999.0, 1000.0, 1001.0))
    assert at == pytest.approx(table[CP_A], rel=1e-15)
    # a kink of slope would show as a second difference of first order in the step: 1e-3 of cp here
    assert abs(below - 2.0 * at + above) < 1e-5 * at


@few
@given(mixtures, st.floats(20.0, 5900.0))
def test_transport_is_positive_and_rises(gas: Mixture, T: float) -> None:
    for law in (state.mu, state.k_th):
        assert 0.0 < law(T, gas.table) < law(T * 1.01, gas.table)


@pytest.mark.parametrize("end", [T_TRANSPORT_LOW, T_TRANSPORT_HIGH])
def test_transport_leaves_its_range_smoothly(end: float) -> None:
    table = dry_air().table
    for law in (state.mu, state.k_th):
        d = 1e-3 * end
        before, at, after = law(end - d, table), law(end, table), law(end + d, table)
        # equal slopes leave the second difference: curvature of order value/T^2 times d^2
        assert abs(before - 2.0 * at + after) < 3e-6 * at


def test_no_temperature_raises() -> None:
    table = burned_gas(1.87).table
    for T in (-100.0, 0.0, 1e-6, 149.9, 3000.1, 1e5):
        for law in (state.cp, state.cv, state.gamma, state.h, state.e, state.mu, state.k_th):
            assert np.isfinite(law(T, table))


def test_callable_from_compiled_code() -> None:
    @njit
    def total(T: np.ndarray, table: np.ndarray) -> float:
        out = 0.0
        for value in T:
            out += state.T_from_h(state.h(value, table), table)
        return out

    T = np.linspace(200.0, 2500.0, 50)
    assert total(T, dry_air().table) == pytest.approx(T.sum(), rel=ROUND_OFF)


@few
@given(mixtures, mixtures, st.floats(0.0, 1.0), temperatures)
def test_caloric_entries_mix_by_mass(a: Mixture, b: Mixture, Y: float, T: float) -> None:
    """What the two-gas solver relies on: R and every entry of cp, h, s0 are linear in Y."""
    mixed = (1.0 - Y) * a.table + Y * b.table
    real = blend(a, b, Y).table
    scale = np.abs(a.table[:MU]) + np.abs(b.table[:MU])
    assert np.all(np.abs(mixed[:MU] - real[:MU]) <= ROUND_OFF * scale.max())
    assert state.cp(T, mixed) == pytest.approx(state.cp(T, real), rel=ROUND_OFF)
    assert real.shape == (SIZE,)
