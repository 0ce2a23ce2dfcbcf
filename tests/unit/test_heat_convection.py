"""Nusselt numbers: reference values, limits, smoothness."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pulse1d.heat.convection import entrance_factor, nusselt_gnielinski, nusselt_turbulent

REFERENCE = ((5e3, 16.72, 20.32), (1e4, 30.03, 36.50), (3e4, 70.82, 86.08), (1e5, 180.2, 219.1))
"""Re, Nu developed, Nu over the first ten bores, at Pr = 0.71: the formula worked out apart."""


@pytest.mark.parametrize(("Re", "developed", "entry"), REFERENCE)
def test_reference_values(Re: float, developed: float, entry: float) -> None:
    four_digits = {"rel": 3e-4}
    assert nusselt_gnielinski(Re, 0.71) == pytest.approx(developed, **four_digits)
    assert nusselt_gnielinski(Re, 0.71, 0.0, 10.0) == pytest.approx(entry, **four_digits)


def test_against_dittus_boelter() -> None:
    """Nu = 0.023 Re^0.8 Pr^0.4 (McAdams 1942, from memory)."""
    for Re in (2e4, 5e4, 1e5):
        # Dittus-Boelter is known to be 10-15 % above Gnielinski for gases
        assert 1.0 < 0.023 * Re**0.8 * 0.71**0.4 / nusselt_turbulent(Re, 0.71) < 1.2


def test_laminar_limit() -> None:
    for Re in (0.0, 100.0, 2300.0):
        assert nusselt_gnielinski(Re, 0.7) == 3.66


def test_transition_is_smooth_and_rises() -> None:
    Re = np.linspace(2000.0, 4500.0, 2501)
    Nu = np.array([nusselt_gnielinski(value, 0.7) for value in Re])
    slope = np.diff(Nu)
    assert np.all(slope >= 0.0)
    # a kink would show as a jump of slope of the size of the slope itself, 1e-2 a unit of Re
    assert np.abs(np.diff(slope)).max() < 1e-4


def test_heating_lowers_and_cooling_leaves() -> None:
    base = nusselt_gnielinski(3e4, 0.7)
    assert nusselt_gnielinski(3e4, 0.7, inf, inf, 2.0) == base
    hot_wall = nusselt_gnielinski(3e4, 0.7, inf, inf, 0.8)
    assert hot_wall == pytest.approx(base * 0.8**0.45, rel=1e-14)  # one power


@given(st.floats(0.01, 100.0))
def test_entrance_from_the_entry_on(L: float) -> None:
    # round-off; the formula of the source is (D/L)^(2/3)
    assert entrance_factor(0.0, L) == pytest.approx(1.0 + L ** (-2.0 / 3.0), rel=1e-13)


@given(st.floats(0.1, 50.0), st.floats(0.1, 50.0))
def test_entrance_of_parts_adds_up(a: float, b: float) -> None:
    """Cells from 0 to a and from a to a + b carry together what the whole length carries."""
    whole = (a + b) * entrance_factor(0.0, a + b)
    parts = a * entrance_factor(0.0, a) + b * entrance_factor(a, a + b)
    assert parts == pytest.approx(whole, rel=1e-12)  # cube roots cancel to round-off


def test_entrance_far_away_and_local() -> None:
    assert entrance_factor(inf, inf) == 1.0
    assert entrance_factor(8.0, 8.0) == pytest.approx(1.0 + 1.0 / 12.0, rel=1e-14)  # by hand
