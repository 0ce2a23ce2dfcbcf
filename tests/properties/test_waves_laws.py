"""Laws of the wave kernel: mirror, positivity, splitting, and what it refuses.

None has a source but physics and the entry's own docstring; tolerances are round-off, or the
truncation that a run on a finer mesh shows.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pulse1d.gas.air import dry_air
from pulse1d.gas.burned import burned_gas
from pulse1d.geometry.sections import Round
from pulse1d.losses import CatalystBrick, MapRow, Restriction, Station, Turbine
from pulse1d.losses.element import COLUMN
from pulse1d.losses.piece import PieceBase
from pulse1d.waves.pipes import (
    Chamber,
    Closed,
    ConstantGas,
    End,
    FlowHistory,
    Free,
    Joint,
    Net,
    Open,
    Passage,
    Pipe,
    PressureHistory,
    TwoGases,
    Vessel,
)
from pulse1d.waves.solve import WaveError, WaveRun, solve

Array = NDArray[np.float64]

P_0, L = 101325.0, 0.6
TWO = TwoGases(dry_air(), burned_gas(1.87))
GASES: dict[str, tuple[Any, str | None]] = {
    "constant": (ConstantGas(), None),
    "conservative": (TWO, "conservative"),
    "equilibrium": (TWO, "equilibrium"),
}
OTHER = {"start": "stop", "stop": "start"}

ENDS: dict[str, End] = {
    "closed": Closed(),
    "free": Free(),
    "open": Open(P_0, 300.0, Y=0.2, K=0.5),
    "vessel": Vessel(1.8e5, 900.0, volume=1e-3, throat=0.4, throat_out=0.3, Y=0.9),
    "valve": Vessel(
        3e5, 1200.0, throat=1.0, Y=1.0, opening=np.array([[0.0, 0.0], [1e-3, 0.5], [2e-3, 0.0]])
    ),
    "pressure": PressureHistory(P_0 * np.array([[0.0, 1 / P_0], [1e-3, 1.0]]) + [[0, P_0], [0, 0]]),
    "flow": FlowHistory(np.array([[0.0, 0.0], [1e-3, 0.05], [2e-3, -0.02]]), 500.0, Y=0.5),
}


def bore(x: Array) -> Array:
    return np.asarray(0.04 + 0.02 * x / L)


def fill(x: Array) -> dict[str, Array]:
    return {
        "p": P_0 * (1.2 + 0.4 * np.sin(11.0 * x)),
        "T": 600.0 + 200.0 * np.cos(17.0 * x),
        "u": 40.0 * np.sin(5.0 * x),
        "Y": 0.5 + 0.4 * np.cos(8.0 * x),
    }


def pipe(mirrored: bool, n: int = 30, **more: Any) -> Pipe:
    x = (np.arange(n) + 0.5) * L / n
    W = fill(x)
    if mirrored:
        W = {key: value[::-1] * (-1.0 if key == "u" else 1.0) for key, value in W.items()}
    shape = (lambda x: bore(L - x)) if mirrored else bore
    return Pipe(L, diameter=shape, cells=n, **{**W, **more})


def assert_mirrored(run: WaveRun, image: WaveRun, name: str, room: float) -> None:
    one, other = run.profiles[name], image.profiles[name]
    assert np.allclose(other.p[::-1], one.p, rtol=room, atol=0.0)
    assert np.allclose(other.u[::-1], -one.u, rtol=0.0, atol=room * 500.0)
    assert np.allclose(other.T[::-1], one.T, rtol=room, atol=0.0)
    assert np.allclose(other.Y[::-1], one.Y, rtol=0.0, atol=room)


ROUND_OFF = 1e-10
"""Of a hundred steps with shocks: sums are taken in another order, roots end on another side."""


@pytest.mark.parametrize("gas", GASES)
@pytest.mark.parametrize("name", ENDS)
def test_a_mirror_turns_start_into_stop(name: str, gas: str) -> None:
    runs = []
    for mirrored, side in ((False, "start"), (True, "stop")):
        ends = {("a", side): ENDS[name], ("a", OTHER[side]): Closed()}
        net = Net({"a": pipe(mirrored, f_D=0.03, T_wall=500.0)}, ends, gas=GASES[gas][0])
        runs.append(solve(net, 3e-3, mode=GASES[gas][1], times=1))
    assert runs[0].steps == runs[1].steps
    assert_mirrored(*runs, "a", ROUND_OFF)


def nodes(kind: str, swap: dict[str, str]) -> tuple[Any, ...]:
    a, b, c = (("a", swap["stop"]), ("b", swap["start"]), ("c", swap["start"]))
    along, across = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    if kind == "joint":
        return (Joint((a, b, c)),)
    if kind == "lossy joint":
        return (Joint((a, b, c), ((-1.0, 0.0, 0.0), along, across)),)
    if kind == "chamber":
        return (Chamber((a, b, c), 1e-3, 1.1e5, 500.0, Y=0.3, K=0.4),)
    return (Passage((a, b), ROWS.get(kind)),)


BEFORE, BEHIND = Round(bore=0.06), Round(bore=0.04)
"""Sections of the pipes at a node."""
MAP = tuple(
    MapRow(expansion_ratio=ratio, flow=flow)
    for ratio, flow in ((1.2, 0.08), (1.8, 0.11), (3.0, 0.12))
)


def between(piece: PieceBase) -> Array:
    """Rows of a piece whose ends are the pipes of a node."""
    steps = np.array(piece.elements(Station(BEFORE, 1e-5))[0].steps, dtype=float)
    steps[-1, COLUMN["A_2"]], steps[-1, COLUMN["D_2"]] = BEHIND.area, BEHIND.D_h
    return steps


ROWS = {
    "restriction": between(Restriction(effective_area=6e-4, reverse_effective_area=4e-4)),
    "brick": between(CatalystBrick(length=0.05, cell_density=62e4, wall=1.6e-4)),
    "turbine": between(Turbine(map=MAP, efficiency=0.6, reverse_effective_area=4e-4)),
}
ROWS["brick"][1, COLUMN["L"]] = 0.0  # of its channels the loss alone: a passage has no length


@pytest.mark.parametrize("gas", GASES)
@pytest.mark.parametrize("kind", ["joint", "lossy joint", "chamber", "passage", *ROWS])
def test_a_mirror_turns_every_pipe_at_a_node(kind: str, gas: str) -> None:
    runs = []
    names = "ab" if kind in ("passage", *ROWS) else "abc"
    for mirrored in (False, True):
        swap = OTHER if mirrored else {"start": "start", "stop": "stop"}
        ends: dict[tuple[str, str], End] = {("a", swap["start"]): Closed()}
        ends |= {(name, swap["stop"]): Closed() for name in names[1:]}
        pipes = {name: pipe(mirrored) for name in names}
        net = Net(pipes, ends, nodes(kind, swap), GASES[gas][0])
        runs.append(solve(net, 3e-3, mode=GASES[gas][1], times=1))
    for name in names:
        assert_mirrored(*runs, name, ROUND_OFF)


# --- positivity -------------------------------------------------------------------------------

strong = st.tuples(st.floats(-1.5, 1.5), st.floats(-2.5, 2.5), st.floats(200.0, 2500.0))
"""log10 of p over an atmosphere, Mach number, temperature: jumps of a thousand in pressure."""


@settings(max_examples=60, deadline=None)
@given(st.lists(strong, min_size=2, max_size=5), st.sampled_from(sorted(GASES)), st.booleans())
def test_density_and_pressure_stay_positive(
    states: list[tuple[float, float, float]], gas: str, closed: bool
) -> None:
    """Either all stays positive, or the run stops by itself and says where, keeping its record."""
    n = 12 * len(states)
    p, M, T = (np.repeat([s[k] for s in states], 12) for k in range(3))
    u = M * np.sqrt(1.3 * 287.0 * T)
    Y = np.repeat(np.arange(len(states)) % 2, 12).astype(float)
    end = Closed() if closed else Free()
    ends: dict[tuple[str, str], End] = {("a", "start"): end, ("a", "stop"): end}
    body = Pipe(0.5, diameter=bore, cells=n, p=P_0 * 10.0**p, T=T, u=u, Y=Y)
    net = Net({"a": body}, ends, gas=GASES[gas][0])
    try:
        run = solve(net, 1e-3, mode=GASES[gas][1], times=10, probes={"x": ("a", 0.2)})
    except WaveError as stop:
        run = stop.run
        text = str(stop)
        assert "'a'" in text
        assert f"{run.t:g}" in text
    now = run.profiles["a"]
    for value in (now.rho, now.p, now.T):
        assert np.all(value > 0.0)
        assert np.all(np.isfinite(value))
    assert np.all((now.Y >= 0.0) & (now.Y <= 1.0))
    assert np.all(run.traces["x"].p > 0.0)


def parting(speed: float) -> Net:
    """Air torn apart in the middle of a pipe; vacuum opens from 5 a = 1716 m/s on."""
    body = Pipe(
        1.0, diameter=0.04, cells=100, p=P_0, T=293.15,
        u=lambda x: np.where(x < 0.5, -speed, speed),
    )  # fmt: skip
    return Net({"a": body}, {("a", "start"): Free(), ("a", "stop"): Free()})


def test_fall_backs_are_counted_where_gas_is_torn_apart() -> None:
    """Slopes without a limiter overshoot there; the cells that would run empty take first order."""
    calm = solve(parting(300.0), 2e-4, times=1, limiter="none")
    torn = solve(parting(1650.0), 1e-4, times=1, limiter="none")
    assert calm.fallbacks == 0
    assert torn.fallbacks > 0
    assert torn.profiles["a"].p.min() > 0.0


def test_a_cell_that_runs_empty_ends_the_run_with_time_and_place() -> None:
    """A wall that takes more heat in a step than the gas holds: no fall-back helps."""
    pipes = {
        "fine": Pipe(0.5, diameter=0.04, cells=20, T=400.0),
        "frozen": Pipe(0.5, diameter=0.04, cells=20, T=400.0, T_wall=10.0, h=1e8),
    }
    ends: dict[tuple[str, str], End] = {("fine", "start"): Closed(), ("frozen", "stop"): Closed()}
    net = Net(pipes, ends, (Passage((("fine", "stop"), ("frozen", "start"))),))
    with pytest.raises(WaveError, match="pipe 'frozen' ran empty at t = ") as stop:
        solve(net, 1e-2, times=10)
    assert stop.value.run.t < 1e-2
    assert np.all(stop.value.run.profiles["fine"].p > 0.0)


def test_a_run_that_cannot_go_on_says_when_and_keeps_its_record() -> None:
    with pytest.raises(WaveError, match="bound on steps was reached at t = ") as stop:
        solve(parting(100.0), 1.0, max_steps=20, times=np.linspace(0, 1e-3, 401)[1:],
              probes={"x": ("a", 0.7)})  # fmt: skip
    run = stop.value.run
    assert run.steps == 20
    trace = run.traces["x"]
    assert 0 < len(trace.t) < 400
    assert np.all(np.isfinite(trace.p))
    assert trace.t[-1] <= run.t


# --- splitting --------------------------------------------------------------------------------


def pulse(x: Array) -> Array:
    return np.asarray(P_0 * (1.0 + 0.5 * np.exp(-(((x - 0.5) / 0.08) ** 2))))


@pytest.mark.parametrize("kind", ["joint", "passage"])
def test_a_pipe_cut_in_two_is_still_one(kind: str) -> None:
    """A pulse passes the cut; the difference falls with the cell, order 1 at least.

    The kernel at the cut is of second order but for its ghosts, which stand half a step behind.
    """
    gaps = []
    for n in (40, 80, 160):
        whole = Net(
            {"a": Pipe(2.0, diameter=0.04, cells=2 * n, p=pulse, T=400.0)},
            {("a", "start"): Closed(), ("a", "stop"): Closed()},
        )
        cut = (("a", "stop"), ("b", "start"))
        halves = Net(
            {
                "a": Pipe(1.0, diameter=0.04, cells=n, p=pulse, T=400.0),
                "b": Pipe(1.0, diameter=0.04, cells=n, p=lambda x: pulse(x + 1.0), T=400.0),
            },
            {("a", "start"): Closed(), ("b", "stop"): Closed()},
            (Joint(cut) if kind == "joint" else Passage(cut),),
        )
        one = solve(whole, 2.5e-3, times=1).profiles["a"].p
        two = solve(halves, 2.5e-3, times=1).profiles
        gaps.append(np.abs(one - np.concatenate([two["a"].p, two["b"].p])).mean() / P_0)
    assert gaps[0] < 2e-3
    assert gaps[1] < 0.5 * gaps[0]
    assert gaps[2] < 0.5 * gaps[1]


# --- refusals ---------------------------------------------------------------------------------

OUT: dict[tuple[str, str], End] = {("a", "start"): Free(), ("a", "stop"): Free()}


@pytest.mark.parametrize(
    ("change", "how", "text"),
    [
        ({}, {"cfl": 1.01}, "Courant"),
        ({}, {"cfl": 0.0}, "Courant"),
        ({}, {"limiter": "superb"}, "limiter"),
        ({}, {"mode": "both"}, "mode"),
        ({}, {"t_end": 0.0}, "end time"),
        ({}, {"t_end": float("nan")}, "end time"),
        ({}, {"probes": {"x": ("b", 0.1)}}, "no pipe"),
        ({}, {"probes": {"x": ("a", 1.1)}}, "outside"),
        ({"cells": 3}, {}, "too few"),
        ({"length": -1.0}, {}, "length"),
        ({"p": float("nan")}, {}, "not finite"),
        ({"T": float("inf")}, {}, "not finite"),
        ({"u": np.full(20, np.nan)}, {}, "not finite"),
        ({"p": np.ones(7)}, {}, "7 values"),
        ({"p": -1.0}, {}, "above 0"),
        ({"Y": 1.2}, {}, "from 0 to 1"),
        ({"area": 1e-3}, {}, "either a diameter or an area"),
        ({"diameter": lambda x: 0.02 - 0.03 * x}, {}, ""),
    ],
)
def test_what_cannot_be_is_refused(change: dict[str, Any], how: dict[str, Any], text: str) -> None:
    given_pipe = Pipe(**{"length": 1.0, "diameter": 0.04, "cells": 20, **change})
    if text == "":  # a diameter through zero: its square is an area, so the taper must be caught
        given_pipe = Pipe(1.0, area=lambda x: 1e-3 - 2e-3 * x, cells=20)
        text = "above 0"
    options = {"t_end": 1e-3, **how}
    with pytest.raises(ValueError, match=text):
        solve(Net({"a": given_pipe}, OUT), **options)


def test_ends_left_open_or_used_twice_are_refused() -> None:
    body = Pipe(1.0, diameter=0.04, cells=20)
    with pytest.raises(ValueError, match="exactly one"):
        solve(Net({"a": body}, {("a", "start"): Free()}), 1e-3)
    with pytest.raises(ValueError, match="exactly one"):
        solve(Net({"a": body}, OUT, (Joint((("a", "start"), ("a", "stop"))),)), 1e-3)
    with pytest.raises(ValueError, match="no end"):
        solve(Net({"a": body}, {**OUT, ("b", "start"): Free()}), 1e-3)
