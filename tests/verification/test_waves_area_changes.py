"""Verification: sudden changes of area and junctions, called directly, against finite waves.

Sources. Simple waves, area changes and junctions: closed forms of Earnshaw and Riemann as used by
Benson 1982 and Blair 1999 ch. 2 (from memory), evaluated independently to six digits. Momentum at a
sudden expansion: Borda's balance solved by bracketing. Where a table gives n digits the tolerance
is half a unit of its last one.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from pulse1d.waves.boundaries.joint import joint_end
from pulse1d.waves.boundaries.passage import passage_end
from pulse1d.waves.node_arrays import sudden_change
from pulse1d.waves.wave_curve import curve_point
from tests.wave_ends import (
    A_0,
    BENSON,
    GAMMA,
    GAS,
    JUNCTION,
    P_0,
    RHO_0,
    ROUND,
    T_0,
    R,
    State,
    borda,
    gap,
    join,
    returned,
    simple,
)


@pytest.mark.parametrize("ratio", [1.0001, 1.05, 1.2, 1.5])
@pytest.mark.parametrize("diameters", [(0.025, 0.05), (0.025, 0.08), (0.04, 0.06)])
def test_sudden_expansion_by_momentum(ratio: float, diameters: tuple[float, float]) -> None:
    areas = 0.25 * math.pi * np.array(diameters) ** 2
    out = pass_through(simple(ratio), areas)
    p_a, p_b = borda(simple(ratio), areas[0] / areas[1])
    assert out[2, 0] / P_0 == pytest.approx(p_a / P_0, abs=1e-9)  # ends close to 1e-11 of a
    assert out[2, 1] / P_0 == pytest.approx(p_b / P_0, abs=1e-9)


def pass_through(state: State, areas: np.ndarray, rows: np.ndarray | None = None) -> np.ndarray:
    """Both end states of a passage that the wave reaches at end 0; end 1 at rest."""
    states = np.array([[*state, R], [RHO_0, 0.0, P_0, GAMMA, R]]).T.copy()
    out = np.zeros((3, 2))
    table = GAS.tables()[1]
    given = sudden_change(*areas) if rows is None else rows
    flow, spent = passage_end(states, np.asarray(areas), given, np.stack([table, table]), 0.0, out)
    assert spent == 0.0
    for k in range(2):
        sign = 1.0 if k == 0 else -1.0
        assert sign * areas[k] * out[0, k] * out[1, k] == pytest.approx(flow, rel=ROUND)
        u = curve_point(out[2, k], *states[:4, k])[0]
        assert u == pytest.approx(out[1, k], abs=1e-9 * A_0)  # on its pipe's wave curve
    h0 = 3.5 * out[2] / out[0] + 0.5 * out[1] ** 2
    assert h0[0] == pytest.approx(h0[1], rel=ROUND)
    return out


@pytest.mark.parametrize("ratio", [1.0001, 1.2, 1.5])
def test_sudden_contraction_keeps_stagnation_pressure(ratio: float) -> None:
    out = pass_through(simple(ratio), np.array([1.0, 0.25]))
    p0 = out[2] * (1.0 + 0.2 * out[1] ** 2 * out[0] / (GAMMA * out[2])) ** 3.5
    assert p0[0] == pytest.approx(p0[1], rel=1e-10)  # ends close to 1e-11 of a


@pytest.mark.parametrize(("d_1", "d_2", "ratio", "back", "on"), BENSON)
def test_area_change_at_constant_pressure(
    d_1: float, d_2: float, ratio: float, back: float, on: float
) -> None:
    """The table keeps every density at its isentrope; a joint of one pressure keeps the energy too.
    They differ by the heat of the lost head, (u_1^2 - u_2^2)/(2 cp T), in the density behind, and
    where a wave is a shock."""
    areas = np.array([d_1, d_2], dtype=float) ** 2
    out = join([simple(ratio), simple(1.0)], areas)
    heat = abs(out[1, 0] ** 2 - out[1, 1] ** 2) / (5.0 * A_0**2)
    close = 5e-6 + heat * abs(on - 1.0) + gap(out[2, 0] / (ratio * P_0)) + gap(out[2, 1] / P_0)
    assert out[2, 1] / P_0 == pytest.approx(on, abs=close)
    assert returned(out[2, 0], ratio) == pytest.approx(back, abs=close)


@pytest.mark.parametrize(("areas", "ratio", "back", "on"), JUNCTION)
def test_junction_at_constant_pressure(
    areas: tuple[float, ...], ratio: float, back: float, on: float
) -> None:
    """As for two pipes: the table is isentropic throughout, the joint keeps the energy."""
    out = join([simple(ratio), *[simple(1.0)] * (len(areas) - 1)], np.array(areas, dtype=float))
    heat = (out[1] ** 2).max() / (5.0 * A_0**2)
    close = 5e-6 + heat * abs(on - 1.0) + gap(out[2, 0] / (ratio * P_0)) + gap(out[2, 1] / P_0)
    assert out[2, 1] / P_0 == pytest.approx(on, abs=close)
    assert returned(out[2, 0], ratio) == pytest.approx(back, abs=close)


@pytest.mark.parametrize(
    "areas", [(1, 1, 1), (1, 1, 1, 1, 1), (1, 1, 1, 1, 2), (1, 1, 1.5), (1, 4)]
)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_acoustic_limit_of_joints(areas: tuple[float, ...], sign: float) -> None:
    """R = 2 A_1/sum A - 1 and T = 2 A_1/sum A (Kinsler & Frey, from memory); at 1e-6 of p0 the
    rest is of second order, a few 1e-6 of the wave."""
    eps = 1e-6
    packed = np.array([[*simple(1.0 + sign * eps), R], *[[*simple(1.0), R]] * (len(areas) - 1)])
    th = np.linspace(0.3, 2.8, len(areas))
    directions = np.stack([np.cos(th), np.sin(th), 0.0 * th], axis=1)
    T = 2.0 * areas[0] / sum(areas)
    for lossy in (False, True):
        memory, out = np.array([P_0, T_0, GAMMA, R]), np.zeros((3, len(areas)))
        joint_end(
            packed.T.copy(), np.array(areas, dtype=float), directions, False, lossy, memory,
            np.zeros(len(areas)), np.zeros(len(areas)),
            np.array([[0.0, GAMMA, R]] * len(areas)).T.copy(), out,
        )  # fmt: skip
        np.testing.assert_allclose((out[2] / P_0 - 1.0) / (sign * eps), T, rtol=1e-5)


@pytest.mark.parametrize("areas", [(1.0, 4.0), (4.0, 1.0), (1.0, 10.24)])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_acoustic_limit_of_passages(areas: tuple[float, float], sign: float) -> None:
    eps = 1e-6
    out = pass_through(simple(1.0 + sign * eps), np.array(areas))
    T = 2.0 * areas[0] / sum(areas)
    np.testing.assert_allclose((out[2] / P_0 - 1.0) / (sign * eps), T, rtol=1e-5)  # 1e-11 of p0
