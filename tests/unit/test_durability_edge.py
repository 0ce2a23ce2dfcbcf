"""A round wall held at its cooler root: closed form against the shell equation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from pulse1d.durability.edge import SHELL, edge_share, fade

R, t = 19.8e-3, 1.65e-3


@pytest.mark.parametrize("length", [1e-3, 4e-3, 10e-3, 40e-3])
def test_edge_against_the_shell_equation(length: float) -> None:
    b = SHELL / math.sqrt(R * t)
    far = 12.0 / b + 12.0 * length  # exp(-12): 6e-6 of the mismatch is left out

    def slope(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        free = R * (1.0 - np.exp(-x / length))
        return np.vstack([y[1], y[2], y[3], 4.0 * b**4 * (free - y[0])])

    def ends(a: np.ndarray, z: np.ndarray) -> np.ndarray:
        return np.array([a[0], a[1], z[0] - R, z[1]])

    x = far * np.linspace(0.0, 1.0, 400) ** 2
    found = solve_bvp(slope, ends, x, np.zeros((4, x.size)), tol=1e-7, max_nodes=100_000)
    assert found.success
    # the solver's own tolerance and what is cut off far away
    assert edge_share(R, t, length) == pytest.approx(0.5 * t * found.sol(0.0)[2], rel=1e-4)


def test_a_step_of_temperature_and_a_slow_fade() -> None:
    # sqrt(3 (1 - 0.3^2)) = 1.652, the shell's edge; at b l = 1e-3 the rest is 2e-3 of it
    assert edge_share(R, t, 1e-3 / (SHELL / math.sqrt(R * t))) == pytest.approx(1.6523, rel=3e-3)
    # b t R/l less 1/(2 b l) of it, which is 0.5 % at 100/b
    slow = 100.0 / (SHELL / math.sqrt(R * t))
    assert edge_share(R, t, slow) == pytest.approx(SHELL * math.sqrt(R * t) / slow, rel=6e-3)


def test_fade_is_the_fin_length() -> None:
    # 1.65 mm, 20 W/m/K, 150 W/m2/K by hand: sqrt(2.2e-4)
    assert fade(1.65e-3, 20.0, 150.0) == pytest.approx(14.832e-3, rel=1e-4)  # printed digits
    for bad in ((0.0, 20.0, 150.0), (1e-3, 20.0, 0.0)):
        with pytest.raises(ValueError, match="above 0"):
            fade(*bad)
    with pytest.raises(ValueError, match="above 0"):
        edge_share(R, t, 0.0)
