"""Verification: ends, changes of area and junctions in the full code, by marched pulses.

Sources. Simple waves, area changes and junctions: closed forms of Earnshaw and Riemann as used by
Benson 1982 and Blair 1999 ch. 2 (from memory), evaluated independently to six digits. Momentum at a
sudden expansion: Borda's balance solved by bracketing.
Instantly opened valve: as in ``test_waves_ends.py``. Runs: cells of 10 mm, a pulse of 2 ms, 1 % of
the overpressure; at that mesh a second-order scheme takes up to 1 % off the peak of such a pulse.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from pulse1d.waves.pipes import (
    Closed,
    ConstantGas,
    FlowHistory,
    Free,
    Joint,
    Net,
    Open,
    Passage,
    Pipe,
    PressureHistory,
    Vessel,
)
from pulse1d.waves.solve import WaveRun, solve
from tests.wave_ends import (
    A_0,
    BENSON,
    GAMMA,
    GAS,
    JUNCTION,
    P_0,
    T_0,
    R,
    borda,
    join,
    returned,
    simple,
)

DX = 0.01
BASE = 2e-3 * A_0
"""Length of a pulse of 2 ms [m]."""


def pulse_run(
    ratio: float, length: float, end, *, more: dict[str, Pipe] | None = None, nodes: tuple = (),
    ends: dict | None = None, probes: dict | None = None, dx: float = DX,
) -> WaveRun:  # fmt: skip
    """A pulse of 2 ms on its way to the stop of pipe "in"; its centre stands 0.36 m before it,
    as near as its length allows: every metre takes a little off the peak."""

    def X(x: np.ndarray) -> np.ndarray:
        s = (x - (length - 0.36)) / BASE
        return (1.0 + np.where(abs(s) < 0.5, (ratio - 1.0) * np.cos(math.pi * s) ** 2, 0.0)) ** (
            1 / 7
        )

    pipe = Pipe(
        length, 0.025, cells=round(length / dx), p=lambda x: P_0 * X(x) ** 7,
        T=lambda x: T_0 * X(x) ** 2, u=lambda x: 5.0 * A_0 * (X(x) - 1.0),
    )  # fmt: skip
    stands = {("in", "start"): Free()} | ({("in", "stop"): end} if end else {}) | (ends or {})
    net = Net({"in": pipe, **(more or {})}, stands, nodes, GAS)
    return solve(net, 7e-3, probes=probes or {"in": ("in", length - 0.72)}, times=4000)


def extreme(p: np.ndarray) -> float:
    """The p/p0 farthest from 1."""
    return float(p[np.argmax(abs(p - P_0))] / P_0)


@pytest.mark.parametrize("ratio", [0.8, 0.9, 1.1, 1.2])
def test_run_closed_end(ratio: float) -> None:
    run = pulse_run(ratio, 2.0, Closed(), probes={"wall": ("in", 2.0)})
    exact = (2.0 * ratio ** (1.0 / 7.0) - 1.0) ** 7
    assert extreme(run.traces["wall"].p) == pytest.approx(exact, abs=0.01 * abs(exact - 1.0))


@pytest.mark.parametrize(
    ("ratio", "back"),
    [(1.1, 0.90790), (1.2, 0.82928), (0.8, 1.17857), (0.9, 1.09453), (1.3, 0.76141)],
)
def test_run_open_end(ratio: float, back: float) -> None:
    """1 % of the incident overpressure; at 1.3, whose wave comes back at M .38, with 5 mm cells
    (1.3 % at 10 mm, second order: .4 % at 5 mm, .14 % at 2.5 mm)."""
    run = pulse_run(ratio, 2.2, Open(P_0, T_0), dx=DX if ratio < 1.3 else 0.5 * DX)
    trace = run.traces["in"]
    late = trace.t > (1.08 - 0.5 * BASE) / A_0
    assert extreme(trace.p[late]) == pytest.approx(back, abs=0.01 * abs(ratio - 1.0))


@pytest.mark.parametrize(
    ("p_1", "p_2", "level"), [(1.2, 1.2, 1.43335), (1.2, 0.8, 0.96561), (1.3, 1.1, 1.42503)]
)
def test_run_superposition(p_1: float, p_2: float, level: float) -> None:
    """Xs = X1 + X2 - 1 where two pulses meet, and each goes on as it was."""

    def X(x: np.ndarray, ratio: float, at: float) -> np.ndarray:
        s = (x - at) / BASE
        return (1.0 + np.where(abs(s) < 0.5, (ratio - 1.0) * np.cos(math.pi * s) ** 2, 0.0)) ** (
            1 / 7
        )

    def both(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        right, left = X(x, p_1, 1.15), X(x, p_2, 1.85)
        return right + left - 1.0, 5.0 * A_0 * (right - left)

    pipe = Pipe(
        3.0, 0.025, cells=300, p=lambda x: P_0 * both(x)[0] ** 7, T=lambda x: T_0 * both(x)[0] ** 2,
        u=lambda x: both(x)[1],
    )  # fmt: skip
    net = Net({"in": pipe}, {("in", "start"): Free(), ("in", "stop"): Free()}, gas=GAS)
    c_1, c_2 = (A_0 * (6.0 * p ** (1 / 7) - 5.0) for p in (p_1, p_2))
    run = solve(
        net, 4e-3, frames=800, probes={"left": ("in", 0.75), "right": ("in", 2.25)}, times=2000
    )
    frames = run.frames["in"]
    X_s = (frames[:, 0] / P_0) ** (1 / 7)
    X_r = 0.5 * (X_s + 1.0 + frames[:, 1] / (5.0 * A_0))
    X_l = X_s - X_r + 1.0
    meeting = np.argmin(abs(run.frames_t - 0.7 / (c_1 + c_2)))
    near = slice(max(meeting - 40, 0), meeting + 40)
    k, i = np.unravel_index(
        np.argmin(abs(X_r[near] ** 7 - p_1) + abs(X_l[near] ** 7 - p_2)), X_r[near].shape
    )
    assert frames[near][k, 0, i] / P_0 == pytest.approx(
        level, abs=0.01 * (abs(p_1 - 1) + abs(p_2 - 1))
    )
    late = run.traces["right"].t > 1.15e-3
    assert extreme(run.traces["right"].p[late]) == pytest.approx(p_1, abs=0.01 * abs(p_1 - 1))
    assert extreme(run.traces["left"].p[late]) == pytest.approx(p_2, abs=0.01 * abs(p_2 - 1))


def through(ratio: float, areas: list[float], node) -> tuple[float, float]:
    """p/p0 of the waves back from and on through a node, from a run; leg 1 brings the pulse."""
    d = [0.025 * math.sqrt(a / areas[0]) for a in areas]
    names = [f"leg {k}" for k in range(2, len(areas) + 1)]
    more = {name: Pipe(1.5, d[k + 1], cells=150, p=P_0, T=T_0) for k, name in enumerate(names)}
    run = pulse_run(
        ratio, 2.2, None, more=more,
        nodes=(node((("in", "stop"), *((n, "start") for n in names))),),
        ends={(name, "stop"): Free() for name in names},
        probes={"in": ("in", 1.48), "on": (names[-1], 0.36)},
    )  # fmt: skip
    late = run.traces["in"].t > (1.08 - 0.5 * BASE) / A_0
    return extreme(run.traces["in"].p[late]), extreme(run.traces["on"].p)


def own_law(ratio: float, areas: list[float]) -> tuple[float, float]:
    """p/p0 back and on by the joint called directly, which the tables above verify."""
    out = join([simple(ratio), *[simple(1.0)] * (len(areas) - 1)], np.array(areas, dtype=float))
    return returned(out[2, 0], ratio), out[2, 1] / P_0


@pytest.mark.parametrize(("d_1", "d_2", "ratio"), [r[:3] for r in BENSON if r[2] != 1.5])
def test_run_area_change_at_constant_pressure(d_1: float, d_2: float, ratio: float) -> None:
    areas = [float(d_1**2), float(d_2**2)]
    for value, exact in zip(through(ratio, areas, Joint), own_law(ratio, areas), strict=True):
        assert value == pytest.approx(exact, abs=0.01 * abs(ratio - 1.0))


@pytest.mark.parametrize("diameters", [(25, 50), (25, 80), (40, 60)])
def test_run_sudden_expansion_by_momentum(diameters: tuple[float, float]) -> None:
    areas = [diameters[0] ** 2, diameters[1] ** 2]
    p_a, p_b = borda(simple(1.2), areas[0] / areas[1])
    back = ((p_a / P_0) ** (1 / 7) - 1.2 ** (1 / 7) + 1.0) ** 7
    found = through(1.2, areas, Passage)
    for value, exact in zip(found, (back, p_b / P_0), strict=True):
        assert value == pytest.approx(exact, abs=0.01 * 0.2)


@pytest.mark.parametrize(("areas", "ratio"), [r[:2] for r in JUNCTION if r[1] != 1.5])
def test_run_junction(areas: tuple[float, ...], ratio: float) -> None:
    found = through(ratio, list(areas), Joint)
    for value, exact in zip(found, own_law(ratio, list(areas)), strict=True):
        assert value == pytest.approx(exact, abs=0.01 * abs(ratio - 1.0))


@pytest.mark.parametrize(("phi", "p"), [(0.1, 1.11563), (0.4, 1.30354), (1.0, 1.43319)])
def test_run_instantly_opened_valve(phi: float, p: float) -> None:
    """The state between the end and the shock is uniform; 1 % of the overpressure for the start,
    when the shock stands between two cells (it settles to the exact state)."""
    pipe = Pipe(1.0, 0.025, cells=100, p=P_0, T=293.0)
    ends = {("a", "start"): Vessel(1.5e5, 293.0, throat=phi), ("a", "stop"): Free()}
    run = solve(Net({"a": pipe}, ends, gas=GAS), 2e-3, probes={"a": ("a", 0.2)}, times=100)
    settled = run.traces["a"].p[60:]
    assert settled == pytest.approx(p * 1e5, abs=0.01 * (p * 1e5 - P_0))


def test_run_imposed_pressure_gives_the_simple_wave() -> None:
    """p(0, t) = p0 (1 + .2 sin^2(pi t/3 ms)) sends a simple wave, t = tau + x/(a0 + 1.2 u(tau));
    independent arrival times of its levels at 1 m. Levels within .01 ms, peak within 1 %."""
    tau = np.linspace(0.0, 3e-3, 601)
    a0 = math.sqrt(1.4 * 287.05 * 293.15)
    history = np.stack([tau, P_0 * (1 + 0.2 * np.sin(math.pi * tau / 3e-3) ** 2)], axis=1)
    pipe = Pipe(2.0, 0.04, cells=200, p=P_0, T=293.15)
    ends = {("a", "start"): PressureHistory(history), ("a", "stop"): Free()}
    net = Net({"a": pipe}, ends, gas=ConstantGas())
    run = solve(net, 6e-3, probes={"one": ("a", 1.0)}, times=6000)
    t, p = run.traces["one"].t, run.traces["one"].p / P_0
    top = int(np.argmax(p))
    for level, up, down in (
        (1.05, 3.29614, 5.29614),
        (1.10, 3.44205, 4.94205),
        (1.15, 3.59900, 4.59900),
    ):
        assert 1e3 * np.interp(level, p[:top], t[:top]) == pytest.approx(up, abs=0.01)
        assert 1e3 * np.interp(-level, -p[top:], t[top:]) == pytest.approx(down, abs=0.01)
    assert p[top] == pytest.approx(1.2, abs=0.002)
    assert 1e3 / a0 == pytest.approx(2.91348, abs=5e-6)


def test_run_imposed_flow_gives_its_mass() -> None:
    """What the network gains is the history's integral; the middle of each step meets a history
    that is linear between its rows exactly, but for steps across a corner (1e-4)."""
    history = np.array([[0.0, 0.0], [1e-3, 0.03], [2e-3, 0.03], [3e-3, 0.0]])
    pipe = Pipe(2.0, 0.04, cells=200, p=P_0, T=293.0)
    ends = {("a", "start"): FlowHistory(history, T=600.0), ("a", "stop"): Closed()}
    run = solve(Net({"a": pipe}, ends, gas=GAS), 4e-3)
    assert run.end.mass - run.start.mass == pytest.approx(6e-5, rel=1e-4)
    heat = 6e-5 * GAMMA * R / (GAMMA - 1.0) * 600.0
    assert run.end.energy - run.start.energy == pytest.approx(heat, rel=1e-4)
