"""Verification: what stands at a pipe's end, called directly, against finite waves.

Sources. Simple waves, closed and open ends: closed forms of Earnshaw and Riemann as used by Benson
1982 and Blair 1999 ch. 2 (from memory), evaluated independently to six digits. Instantly opened
valve: isentropic to the throat, its static pressure not recovered, exact shock in the pipe;
evaluated independently. Where a table gives n digits the tolerance is half a unit of its last one.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from pulse1d.waves.boundaries.imposed import flow_end, pressure_end
from pulse1d.waves.boundaries.joint import joint_end
from pulse1d.waves.boundaries.passage import passage_end
from pulse1d.waves.boundaries.reservoir import reservoir_end
from pulse1d.waves.node_arrays import sudden_change
from pulse1d.waves.wave_curve import curve_point, curve_pressure
from tests.wave_ends import A_0, GAMMA, GAS, P_0, RHO_0, ROUND, T_0, R, State, gap, returned, simple


@pytest.mark.parametrize(("ratio", "closed"), [(0.6, 0.34580), (0.8, 0.63531), (0.9, 0.80870)])
def test_closed_end(ratio: float, closed: float) -> None:
    p = curve_pressure(0.0, *simple(ratio))
    assert p / P_0 == pytest.approx((2.0 * ratio ** (1.0 / 7.0) - 1.0) ** 7, rel=ROUND)
    assert p / P_0 == pytest.approx(closed, abs=5e-6)


@pytest.mark.parametrize(
    ("ratio", "back", "u"),
    [
        (1.1, 0.90790, 47.04),
        (1.2, 0.82928, 90.54),
        (1.3, 0.76141, 131.04),
        (1.5, 0.65025, 204.61),
        (1.6, 0.60420, 238.29),
    ],
)
def test_open_end_outflow(ratio: float, back: float, u: float) -> None:
    _, u_b, p_b = reservoir_end(*simple(ratio), R, P_0, T_0, GAMMA, R, 1.0, 1.0, 0.0)
    assert p_b == P_0
    assert u_b == pytest.approx(u, abs=5e-3)
    assert returned(p_b, ratio) == pytest.approx(back, abs=5e-6)
    assert returned(p_b, ratio) == pytest.approx((2 - ratio ** (1 / 7)) ** 7, rel=ROUND)


@pytest.mark.parametrize(
    ("ratio", "back", "level", "u"),
    [
        (0.6, 1.31277, 0.80372, 188.75),
        (0.7, 1.25182, 0.88645, 141.16),
        (0.8, 1.17857, 0.94783, 94.57),
        (0.9, 1.09453, 0.98642, 47.91),
    ],
)
def test_open_end_inflow(ratio: float, back: float, level: float, u: float) -> None:
    rho, u_b, p_b = reservoir_end(*simple(ratio), R, P_0, T_0, GAMMA, R, 1.0, 1.0, 0.0)
    miss = gap(p_b / (ratio * P_0))
    assert p_b / P_0 == pytest.approx(level, abs=5e-6 + miss)
    assert u_b == pytest.approx(-u, abs=5e-3 + miss * A_0)
    assert returned(p_b, ratio) == pytest.approx(back, abs=5e-6 + miss)
    assert curve_point(p_b, *simple(ratio))[0] == pytest.approx(u_b, abs=ROUND * A_0)
    a2 = GAMMA * p_b / rho
    assert a2 + 0.2 * u_b**2 == pytest.approx(A_0**2, rel=ROUND)  # energy from rest
    assert rho / RHO_0 == pytest.approx((p_b / P_0) ** (1 / 1.4), rel=ROUND)  # isentropic


@pytest.mark.parametrize("K", [0.1, 0.5, 1.0, 3.0])
@pytest.mark.parametrize("ratio", [0.5, 0.8, 0.99])
def test_open_end_inflow_with_loss(ratio: float, K: float) -> None:
    """The loss is the constant-section integral of d ln p0 = -(gamma M^2/2) dK, done here by
    quadrature of the Fanno slope (Shapiro 1953 ch. 6, from memory); 1e-6: 4000 midpoints."""
    rho, u_b, p_b = reservoir_end(*simple(ratio), R, P_0, T_0, GAMMA, R, 1.0, 1.0, K)
    assert curve_point(p_b, *simple(ratio))[0] == pytest.approx(u_b, abs=1e-9 * A_0)
    M2, n = u_b**2 * rho / (GAMMA * p_b), 4000
    total = math.log(p_b / P_0) + 3.5 * math.log1p(0.2 * M2)
    fall, y = 0.0, M2
    for _ in range(n):  # backwards from the mouth: dM2/dK = gamma M2^2 (1 + .2 M2)/(1 - M2)
        half = y - 0.5 * K / n * GAMMA * y * y * (1 + 0.2 * y) / (1 - y)
        fall += 0.5 * GAMMA * half * K / n
        y -= K / n * GAMMA * half * half * (1 + 0.2 * half) / (1 - half)
    assert -total == pytest.approx(fall, rel=1e-6)


def test_open_end_inflow_chokes_in_deep_suction() -> None:
    state = (0.05, -500.0, 3000.0, GAMMA)
    rho, u_b, p_b = reservoir_end(*state, R, P_0, T_0, GAMMA, R, 1.0, 1.0, 0.0)
    assert u_b == pytest.approx(-math.sqrt(GAMMA * p_b / rho), rel=ROUND)
    assert p_b / P_0 == pytest.approx(0.528282, abs=5e-7)  # NACA Report 1135, from memory


@pytest.mark.parametrize(
    ("gas", "p_v", "T_v", "T_p", "phi", "p", "u", "T", "G"),
    [
        ((1.4, 287.0), 1.5e5, 293, 293, 0.1, 1.11563, 23.76, 292.72, 31.547),
        ((1.4, 287.0), 1.5e5, 293, 293, 0.2, 1.19506, 40.94, 292.17, 58.347),
        ((1.4, 287.0), 1.5e5, 293, 293, 0.4, 1.30354, 62.91, 291.03, 98.187),
        ((1.4, 287.0), 1.5e5, 293, 293, 0.8, 1.40804, 82.68, 289.60, 140.063),
        ((1.4, 287.0), 1.5e5, 293, 293, 1.0, 1.43319, 87.25, 289.21, 150.655),
        ((1.33, 287.0), 3e5, 1000, 800, 0.1, 1.24454, 86.58, 996.76, 37.667),
        ((1.33, 287.0), 3e5, 1000, 800, 0.2, 1.43788, 148.92, 990.41, 75.333),
        ((1.33, 287.0), 3e5, 1000, 800, 0.4, 1.75944, 238.56, 975.40, 149.937),
        ((1.33, 287.0), 3e5, 1000, 800, 0.8, 2.19551, 340.93, 949.76, 274.600),
    ],
)
def test_instantly_opened_valve(
    gas: tuple[float, float], p_v: float, T_v: float, T_p: float, phi: float, p: float, u: float,
    T: float, G: float,
) -> None:  # fmt: skip
    gamma, R_g = gas
    rho, u_b, p_b = reservoir_end(
        P_0 / (R_g * T_p), 0.0, P_0, gamma, R_g, p_v, T_v, gamma, R_g, phi, phi, 0.0
    )
    assert p_b / 1e5 == pytest.approx(p, abs=5e-6)
    assert -u_b == pytest.approx(u, abs=5e-3)
    assert p_b / (rho * R_g) == pytest.approx(T, abs=5e-3)
    assert -rho * u_b == pytest.approx(G, abs=5e-4)


def test_imposed_pressure_and_flow_are_inverse() -> None:
    """Outflow: the pressure that a mass flux asks for gives that flux back; both meet the pipe's
    wave curve. Inflow: energy of the entering gas is its stagnation enthalpy."""
    for ratio in (0.7, 1.0, 1.3, 1.8):
        state = simple(ratio)
        for g in (-150.0, -20.0, -1e-3, 0.0, 1e-3, 20.0, 150.0, 400.0):
            rho, u, p = flow_end(*state, g, 500.0, 1.35, 290.0)
            if abs(rho * u + g) > 1e-10 * RHO_0 * A_0:
                assert g < 0.0  # more than the pipe can give: its sonic flow
                assert u == pytest.approx(math.sqrt(GAMMA * p / rho), rel=1e-9)
                continue
            assert curve_point(p, *state)[0] == pytest.approx(u, abs=1e-9 * A_0)
            if g > 0.0:
                cp = 1.35 * 290.0 / 0.35
                assert p / (rho * 290.0) + 0.5 * u * u / cp == pytest.approx(500.0, rel=ROUND)
            elif g < 0.0:
                again = pressure_end(*state, p)
                np.testing.assert_allclose(again, (rho, u, p), rtol=1e-10)


def walk(law, steps: int = 4001) -> tuple[np.ndarray, np.ndarray]:
    """Boundary flux along a smooth path of pipe states through rest, and the path's own step."""
    s = np.linspace(-1.0, 1.0, steps)
    return np.array([law(x) for x in s]), s


def reversal_laws() -> dict[str, object]:
    table = GAS.tables()[1]
    angles = np.radians([180.0, 135.0, 0.0])
    directions = np.stack([np.cos(angles), np.sin(angles), 0 * angles], axis=1)
    mix = np.array([[0.0, GAMMA, R]] * 3).T.copy()

    def pipe(x: float) -> State:
        return simple(1.0 + 0.05 * x)

    def reservoir(phi: float, K: float):
        def law(x: float) -> float:
            rho, u, _ = reservoir_end(*pipe(x), R, P_0, T_0, GAMMA, R, phi, phi, K)
            return rho * u

        return law

    def passage(x: float) -> float:
        states = np.array([[*pipe(x), R], [*pipe(-x), R]]).T.copy()
        out = np.zeros((3, 2))
        areas = np.array([1.0, 2.0])
        given = sudden_change(1.0, 2.0)
        return passage_end(states, areas, given, np.stack([table] * 2), 0.0, out)[0]

    def flow(x: float) -> float:
        return flow_end(*pipe(0.3), 20.0 * x, T_0, GAMMA, R)[2] / A_0

    def joint(lossy: bool, leg: int):
        def law(x: float) -> float:
            states = np.array([[*pipe(x), R], [*pipe(0.2), R], [*pipe(-0.1), R]]).T.copy()
            memory, out = np.array([P_0, T_0, GAMMA, R]), np.zeros((3, 3))
            levels = np.zeros(3)
            for _ in range(12):
                joint_end(
                    states, np.ones(3), directions, True, lossy, memory, levels, np.zeros(3), mix,
                    out,
                )  # fmt: skip
            return out[0, leg] * out[1, leg]

        return law

    laws = {"open": reservoir(1.0, 0.0), "open K": reservoir(1.0, 0.5)}
    laws |= {"throat": reservoir(0.3, 0.0), "passage": passage, "flow": flow}
    laws |= {
        "joint": joint(False, 0),
        "lossy joint": joint(True, 0),
        "its neighbour": joint(True, 2),
    }
    return laws


@pytest.mark.parametrize("name", list(reversal_laws()))
def test_flow_reverses_without_a_jump(name: str) -> None:
    """Flow crosses zero in thousands of steps; none may change it by more than a few times the mean
    step (30: a throat's flow starts like a square root; a jump would be hundreds)."""
    values, _ = walk(reversal_laws()[name], 2001)
    change = np.abs(np.diff(values))
    assert np.all(np.isfinite(values))
    assert name == "flow" or (values.min() < 0.0 < values.max())
    assert change.max() < 30.0 * (values.max() - values.min()) / 2000
