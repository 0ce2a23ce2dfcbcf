"""Wall friction: limits, smoothness, the developing layer."""

from __future__ import annotations

from itertools import pairwise

import fluids
import numpy as np
import pytest

from pulse1d.losses import (
    development,
    f_churchill,
    f_developing,
    f_excess_ratio,
    layer_thickness,
    turbulent_share,
)
from pulse1d.losses.friction import BLASIUS, RATIO_MAX, X_END


@pytest.mark.parametrize("eps_over_D", [0.0, 1e-3, 0.03])
@pytest.mark.parametrize("Re", [10.0, 1e3, 3e3, 1e4, 1e6, 1e8])
def test_churchill_is_the_library_formula(Re: float, eps_over_D: float) -> None:
    # Round-off of powers of 16.
    expected = fluids.friction.Churchill_1977(Re, eps_over_D)
    assert f_churchill(Re, eps_over_D) == pytest.approx(expected, rel=1e-12)


def test_churchill_limits() -> None:
    assert f_churchill(100.0, 0.0) == pytest.approx(0.64, rel=1e-9)  # 64/Re; the rest is 1e-12
    assert f_churchill(0.0, 0.01) == pytest.approx(64.0, rel=1e-9)  # finite in gas at rest
    rough = 1.0 / (2.0 * np.log10(3.7 / 0.01)) ** 2
    assert f_churchill(1e12, 0.01) == pytest.approx(rough, rel=2e-3)  # 0.27 stands for 1/3.7
    assert f_churchill(1e5, 1e-3) > f_churchill(1e5, 1e-4) > f_churchill(1e5, 0.0)


def test_layer_solves_its_polynomial() -> None:
    for X in np.geomspace(1e-8, 0.999 * X_END, 60):
        xi = layer_thickness(X)
        p = 1 + 0.1577 * xi - 0.1793 * xi**2 - 0.0168 * xi**3 + 0.0064 * xi**4
        assert 1.4039 * xi**1.25 * p == pytest.approx(X, rel=1e-12)  # Newton to round-off


def test_development_starts_at_zero_and_ends_constant() -> None:
    assert development(0.0) == 0.0
    assert development(-1.0) == 0.0
    assert development(X_END) == development(10.0 * X_END)
    X = np.linspace(0.0, 2.0, 401)
    E = np.array([development(x) for x in X])
    assert E.min() >= 0.0
    assert np.abs(np.diff(E)).max() < 0.02  # no jump: the steepest piece is the first


def test_excess_of_a_length_is_the_sum_of_its_parts() -> None:
    cuts = [0.0, 0.01, 0.2, 0.9, 1.7]
    parts = sum(f_excess_ratio(a, b) * BLASIUS * (b - a) for a, b in pairwise(cuts))
    # Exact but for round-off: the mean of a length is a difference of E.
    assert parts == pytest.approx(development(1.7), abs=1e-14)


def test_excess_is_finite_everywhere() -> None:
    for X in (0.0, 1e-12, 1e-6, 0.3, X_END, 5.0):
        for width in (0.0, 1e-15, 1e-9, 1e-3, 1.0):
            ratio = f_excess_ratio(X, X + width)
            assert -1.0 <= ratio <= RATIO_MAX
            assert ratio == f_excess_ratio(X + width, X)  # order does not matter
    assert f_excess_ratio(0.0, 0.0) == RATIO_MAX
    assert f_excess_ratio(2.0, 3.0) == 0.0


def test_short_intervals_meet_the_slope() -> None:
    slope = (development(0.3 + 1e-3) - development(0.3 - 1e-3)) / (2e-3 * BLASIUS)
    # Differencing over 1e-5 loses 11 digits of 16; curvature over 1e-3 counts 1e-6.
    assert f_excess_ratio(0.3, 0.3) == pytest.approx(slope, abs=1e-5)


def test_laminar_flow_has_no_turbulent_excess() -> None:
    assert turbulent_share(1500.0) == 0.0
    assert turbulent_share(3000.0) == pytest.approx(0.5, abs=1e-15)
    assert turbulent_share(1e5) == 1.0
    assert f_developing(1500.0, 0.0, 0.0, 10.0) == f_churchill(1500.0, 0.0)
    assert f_developing(1e5, 0.0, 0.0, 10.0) > 1.2 * f_churchill(1e5, 0.0)
    assert f_developing(1e5, 0.0, 500.0, 600.0) == f_churchill(1e5, 0.0)
