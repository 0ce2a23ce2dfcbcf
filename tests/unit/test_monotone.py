"""The monotone cubic and the normal quantile against scipy's, which they stand in for."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.special import ndtri

from pulse1d.losses.monotone import Monotone
from pulse1d.uncertainty.normal import quantile


@pytest.mark.parametrize("seed", range(20))
def test_as_scipy_between_the_points(seed: int) -> None:
    rng = np.random.default_rng(seed)
    x = np.cumsum(0.01 + rng.random(2 + seed % 6))
    # rising with level parts, as tables are, and any values
    y = np.cumsum(rng.random(len(x)).round(0)) if seed % 2 else rng.normal(size=len(x))
    at = np.linspace(x[0], x[-1], 101)
    # round-off of one cubic written in two ways
    assert Monotone(x, y)(at) == pytest.approx(PchipInterpolator(x, y)(at), abs=1e-13)


def test_it_does_not_overshoot() -> None:
    curve = Monotone([0.0, 1.0, 2.0, 3.0], [0.0, 0.0, 1.0, 1.0])
    values = curve(np.linspace(0.0, 3.0, 301))
    assert values.min() == 0.0
    assert values.max() == 1.0
    assert np.all(np.diff(values) >= 0.0)


def test_the_quantile_is_scipy_s() -> None:
    p = np.concatenate([10.0 ** -np.arange(1.0, 300.0, 7.0), np.linspace(0.001, 0.999, 2001)])
    # 16 digits each; the smallest quantile is -37
    assert quantile(p) == pytest.approx(ndtri(p), rel=1e-14, abs=1e-15)


def test_the_quantile_is_odd() -> None:
    p = np.linspace(0.0005, 0.5, 1000)
    # 1 - p rounds in its last digit, which far out is worth 1e-13
    assert quantile(1.0 - p) == pytest.approx(-quantile(p), abs=1e-12)
