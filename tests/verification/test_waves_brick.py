"""Catalyst brick in the wave solver: laminar in every cell, steady limit, heat over a cycle."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

import pulse1d
from pulse1d.losses import CatalystBrick
from pulse1d.run.bench import predict_bench
from pulse1d.run.march import march_bench
from pulse1d.run.wall_balance import Outside, balance_walls, heat_lost, reset_heat
from pulse1d.waves import walls
from pulse1d.waves.pipes import ConstantGas, Net, Open, Passage, Pipe, PressureHistory, Vessel
from pulse1d.waves.solve import solve

BRICK = CatalystBrick(length="90 mm", cell_density="400 cpsi", wall="6.5 thou")
CASE = """format: pulse1d case 1
about: {{name: brick}}
bench: {{adapter: {{edge radius: 10 mm}}, depression: {dp}, {direction}}}
surface: smooth
head: {{ports: [{{name: 1}}]}}
runners: [{{port: 1, section: {{shape: round, bore: 90 mm}}, to: outlet, pieces: [
  {before}{{kind: catalyst brick, length: 90 mm, cell density: 400 cpsi, wall: 6.5 thou}},
  {{kind: straight, length: 60 mm}}]}}]
"""
AHEAD = "{kind: straight, length: 60 mm}, "


def flows(folder: Path, dp: str, direction: str = "direction: blown", before: str = AHEAD):
    """Flow of the steady solver and of the march, and Re in the channels."""
    path = folder / "case.yaml"
    path.write_text(CASE.format(dp=dp, direction=direction, before=before))
    design = pulse1d.load(path)
    result = predict_bench(design, samples=0)
    (marched,) = march_bench(design, result, 5e-3)
    assert marched.steady
    mdot = result.ports[0].answer.mdot
    A = (BRICK.side / BRICK.pitch) ** 2 * 0.25 * math.pi * 0.09**2
    return mdot, marched.mdot, abs(mdot) * BRICK.side / (A * 1.8e-5)


@pytest.mark.parametrize(("dp", "about"), [("50 Pa", 100), ("1 inH2O", 400), ("6 inH2O", 1500)])
def test_steady_limit(tmp_path: Path, dp: str, about: float) -> None:
    """2e-3 as for a bend and a joint; what is reached is 7e-4, friction of the straights."""
    steady, marched, Re = flows(tmp_path, dp)
    assert Re == pytest.approx(about, rel=0.35)
    assert marched == pytest.approx(steady, rel=2e-3)


def test_steady_limit_backwards_and_at_the_end_of_a_leg(tmp_path: Path) -> None:
    for direction, before in (("direction: sucked", AHEAD), ("direction: blown", "")):
        steady, marched, _ = flows(tmp_path, "1 inH2O", direction, before)
        assert abs(steady) > 0.0
        assert marched == pytest.approx(steady, rel=2e-3)


@pytest.mark.parametrize("Re", [20.0, 100.0, 400.0, 1500.0])
def test_friction_is_laminar_and_that_of_a_pipe_is_not(Re: float) -> None:
    """f/D of the cells after one short step, from the table's own law: 1e-6, the share that the
    smooth law of Churchill has of turbulent flow at Re 1500."""
    D, gas = 1.1e-3, ConstantGas(mu=1.8e-5)
    u = Re * gas.mu / (101325.0 / (gas.R * 300.0)) / D
    found = []
    for outer in (3e-3, 0.0):
        rows = {walls.D_H: D, walls.F_FACTOR: 56.91 / 64.0, walls.OUTER: outer}
        pipe = Pipe(0.1, area=4e-3, cells=10, T=300.0, u=u, roughness=0.0, rows=rows)
        ends = {("a", "start"): Open(T=300.0), ("a", "stop"): Open(T=300.0)}
        run = solve(Net({"a": pipe}, ends, gas=gas), 1e-7, times=1)
        found.append(run.arrays.wall[1][run.arrays.place["a"]][5] * D)
    assert found[0] == pytest.approx(56.91 / Re, rel=1e-6)
    assert found[1] < 0.05  # a pipe's gas never meets more than f at Re 2000


def channels(cells: int, outer: float, T_w: float) -> dict[int, float]:
    rows = {walls.D_H: BRICK.side, walls.F_FACTOR: 56.91 / 64.0, walls.OUTER: outer}
    return {**rows, walls.T_WALL: T_w, walls.X_IN: -1.0}


def test_a_shock_enters_channels_at_rest() -> None:
    """The case that friction from gas at rest would spoil: the front goes in, nothing turns round,
    and the step needs no fall-back."""
    pipes = {
        "can": Pipe(0.1, diameter=0.09, cells=20, T=300.0),
        "brick": Pipe(
            0.1, area=0.8 * 0.25 * math.pi * 0.09**2, cells=20, T=300.0, roughness=0.0,
            rows=channels(20, 3e-3, 0.0),
        ),
    }  # fmt: skip
    ends = {
        ("can", "start"): Vessel(3e5, 300.0),
        ("brick", "stop"): Open(T=300.0),
    }
    net = Net(pipes, ends, (Passage((("can", "stop"), ("brick", "start"))),))
    run = solve(net, 4.4e-4, times=1)
    now = run.profiles["brick"]
    assert run.fallbacks == 0
    assert now.u.min() > -0.5
    assert np.all(np.diff(now.p) < 1e-3 * 3e5)  # pressure falls along the channels
    assert now.u[:10].max() > 50.0


def test_a_brick_without_outside_takes_no_heat_over_a_cycle() -> None:
    """Hot gas pulses through a brick; its walls are put at their balance after each period. The
    heat of a period falls to 1e-3 of what passes to and fro, in a dozen periods, and all of the
    brick ends within 3 % of one temperature (its h-weighted mean is not that of the flow)."""
    period, cells = 5e-3, 12
    t = np.linspace(0.0, period, 41)
    p = 1.2e5 + 1.5e4 * np.cos(2.0 * math.pi * t / period)
    can = Pipe(0.05, area=5e-3, cells=8, p=1.1e5, T=900.0)
    brick = Pipe(
        0.09, area=4e-3, cells=cells, p=1.1e5, T=900.0, roughness=0.0,
        rows=channels(cells, 1e-12, 600.0),
    )  # fmt: skip
    ends = {
        ("a", "start"): PressureHistory(np.stack([t, p], axis=1)),
        ("c", "stop"): Open(1.1e5, 900.0),
    }
    links = [(("a", "stop"), ("b", "start")), (("b", "stop"), ("c", "start"))]
    net = Net({"a": can, "b": brick, "c": can}, ends, tuple(Passage(link) for link in links))
    run = solve(net, period, times=1)
    outside = Outside(20.0, 0.7, 320.0, 2e-3, 24.0)
    lost, passing = [], 0.0
    for _ in range(12):
        reset_heat(run.arrays)
        run = solve(net, period, times=1, restart=run)
        lost.append(heat_lost(run.arrays))
        passing = 100.0 * float((run.arrays.wall[0][walls.H_SUM] * run.arrays.shape[1]).sum())
        balance_walls(run.arrays, outside, period)
    T_w = run.arrays.wall[0][walls.T_WALL, run.arrays.place["b"]]
    assert abs(lost[0]) > 0.1 * passing  # per 100 K between gas and wall
    assert abs(lost[-1]) < 1e-3 * passing
    assert np.ptp(T_w) < 0.03 * T_w.mean()
    assert T_w.min() > 850.0
