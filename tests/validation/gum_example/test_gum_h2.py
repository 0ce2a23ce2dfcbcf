"""Propagation against example H.2 of JCGM 100:2008: resistance and reactance measured together.

Five readings of voltage, current and phase give R, X and Z with their correlations. Readings and
results from memory; that the readings give the printed means, deviations and correlations is tested
first.
"""

from __future__ import annotations

import numpy as np
import pytest

from pulse1d.measure.air import Array
from pulse1d.measure.propagate import Input, contributions, covariance, sample, sensitivities

V = [5.007, 4.994, 5.005, 4.990, 4.999]
CURRENT = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
PHASE = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
READ = np.array([V, CURRENT, PHASE])
MEAN = READ.mean(axis=1)
U = READ.std(axis=1, ddof=1) / np.sqrt(5.0)
CORRELATION = np.corrcoef(READ)


def impedance(x: Array) -> Array:
    volt, ampere, phi = x[..., 0], x[..., 1], x[..., 2]
    Z = volt / ampere
    return np.stack([Z * np.cos(phi), Z * np.sin(phi), Z], axis=-1)


def model(z: Array) -> Array:
    return impedance(MEAN + z * U)


def test_the_readings_are_the_example_s() -> None:
    assert pytest.approx([4.9990, 19.6610e-3, 1.04446], rel=1e-6) == MEAN  # printed digits
    assert pytest.approx([0.0032, 0.0095e-3, 0.00075], rel=0.02) == U  # two printed digits
    found = [CORRELATION[0, 1], CORRELATION[0, 2], CORRELATION[1, 2]]
    assert found == pytest.approx([-0.36, 0.86, -0.65], abs=5.1e-3)  # printed digits


def test_results_and_their_correlations() -> None:
    value = model(np.zeros((1, 3)))[0]
    assert value == pytest.approx([127.732, 219.847, 254.260], abs=6e-4)  # printed digits
    S = covariance(sensitivities(model, 3), CORRELATION)
    u = np.sqrt(np.diag(S))
    assert u == pytest.approx([0.071, 0.295, 0.236], abs=6e-4)  # printed digits
    r = S / np.outer(u, u)
    found = [r[0, 1], r[0, 2], r[1, 2]]
    assert found == pytest.approx([-0.588, -0.485, 0.993], abs=1.1e-3)  # printed digits, rounded u


def test_the_second_way_of_the_example() -> None:
    """H.2.4: R, X and Z of each set of readings, then their mean and its deviation."""
    each = impedance(READ.T)
    u = np.sqrt(np.diag(covariance(sensitivities(model, 3), CORRELATION)))
    # differs by terms of second order: relative deviations are 1e-3 here
    assert each.std(axis=0, ddof=1) / np.sqrt(5.0) == pytest.approx(u, rel=5e-3)


def test_shared_inputs_carry_the_correlation() -> None:
    """The same example with correlated inputs written as shared independent ones."""
    root = np.linalg.cholesky(CORRELATION)
    jacobian = sensitivities(lambda z: model(z @ root.T), 3)
    u = np.sqrt(np.diag(covariance(jacobian)))
    assert u == pytest.approx([0.071, 0.295, 0.236], abs=6e-4)  # printed digits
    inputs = [Input(name, 1.0, "A", "", "readings") for name in "abc"]
    lines, total = contributions(inputs, jacobian, np.array([1.0, 0.0, 0.0]))
    assert [name for name, _ in lines] == ["readings"]
    assert total == pytest.approx(0.071, abs=6e-4)  # printed digits


def test_monte_carlo_of_the_example() -> None:
    root = np.linalg.cholesky(CORRELATION)
    inputs = [Input(name, 1.0, "A", "") for name in "abc"]
    out = sample(lambda z: model(z @ root.T), inputs, 50_000, seed=1)
    # standard error of a deviation from 50 000 draws is 0.3 %: four of them
    assert out.std(axis=0) == pytest.approx([0.0711, 0.2956, 0.2363], rel=0.0125)
