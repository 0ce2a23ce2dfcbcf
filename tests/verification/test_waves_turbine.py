"""Turbine in the wave solver: steady limit, its work in the energy balance, reversed flow."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pulse1d
from pulse1d.gas import state
from pulse1d.gas.air import dry_air
from pulse1d.gas.burned import burned_gas
from pulse1d.geometry.sections import Round
from pulse1d.losses import Station, Turbine
from pulse1d.run.bench import predict_bench
from pulse1d.run.march import march_bench
from pulse1d.steady.march import march
from pulse1d.waves.pipes import Closed, ConstantGas, Net, Open, Passage, Pipe, TwoGases, Vessel
from pulse1d.waves.solve import WaveRun, solve
from pulse1d.waves.turbine_work import turbine_work

MAP = [
    {"expansion_ratio": 1.2, "flow": 0.090},
    {"expansion_ratio": 1.6, "flow": 0.125},
    {"expansion_ratio": 2.5, "flow": 0.140},
    {"expansion_ratio": 3.0, "flow": 0.141},
]
"""Invented."""
CASE = """format: pulse1d case 1
about: {{name: turbine}}
bench: {{adapter: {{edge radius: 10 mm}}, depression: {dp}, direction: {direction}}}
surface: smooth
head: {{ports: [{{name: 1}}]}}
runners: [{{port: 1, section: {{shape: round, bore: 50 mm}}, to: outlet, pieces: [
  {{kind: straight, length: {L}}},
  {{kind: turbine, efficiency: 65 %, map: [
    {{expansion ratio: 1.2, flow: 90 g/s}}, {{expansion ratio: 1.6, flow: 125 g/s}},
    {{expansion ratio: 2.5, flow: 140 g/s}}, {{expansion ratio: 3, flow: 141 g/s}}]}},
  {{kind: straight, length: {L}}}]}}]
"""
BORE = 0.05


@pytest.mark.parametrize(
    ("dp", "direction", "L"),
    [
        ("10 kPa", "blown", "150 mm"),
        ("60 kPa", "blown", "150 mm"),
        ("250 kPa", "blown", "150 mm"),
        ("20 kPa", "sucked", "150 mm"),
        ("60 kPa", "blown", "4 mm"),
    ],
    ids=["low", "middle", "choked", "reversed", "at the end of a leg"],
)
def test_steady_limit(tmp_path: Path, dp: str, direction: str, L: str) -> None:
    """2e-3 as for a bend and a joint; what is reached is 4e-4, friction of the straights."""
    path = tmp_path / "case.yaml"
    path.write_text(CASE.format(dp=dp, direction=direction, L=L))
    design = pulse1d.load(path)
    result = predict_bench(design, samples=0)
    (marched,) = march_bench(design, result, 5e-3)
    assert marched.steady
    assert marched.mdot == pytest.approx(result.ports[0].answer.mdot, rel=2e-3)


def passage(efficiency: float = 0.65) -> np.ndarray:
    piece = Turbine(map=MAP, efficiency=efficiency)  # type: ignore[arg-type]
    steps = piece.elements(Station(Round(bore=BORE), 0.0))[0].steps
    return np.array(steps, dtype=float)


GASES: dict[str, tuple[Any, str | None]] = {
    "constant": (ConstantGas(), None),
    "conservative": (TwoGases(dry_air(), burned_gas(1.87)), "conservative"),
    "equilibrium": (TwoGases(dry_air(), burned_gas(1.87)), "equilibrium"),
}


def run_through(gas: str, ends: Any, t: float, restart: WaveRun | None = None) -> WaveRun:
    burned = 0.0 if gas == "constant" else 0.6
    pipes = {
        name: Pipe(0.2, diameter=BORE, cells=16, p=p, T=T, Y=Y)
        for name, p, T, Y in (("a", 2.0e5, 900.0, burned), ("b", 1.0e5, 600.0, 0.5 * burned))
    }
    net = Net(pipes, ends, (Passage((("a", "stop"), ("b", "start")), passage()),), GASES[gas][0])
    return solve(net, t, mode=GASES[gas][1], times=1, restart=restart)


@pytest.mark.parametrize("gas", GASES)
def test_energy_with_work_is_kept(gas: str) -> None:
    """A closed net with a turbine in it, gas running to and fro: mass and burned gas stay, energy
    falls by the work. 1e-12: a few units of the last place times the root of the updates."""
    ends = {("a", "start"): Closed(), ("b", "stop"): Closed()}
    run = run_through(gas, ends, 6e-3)
    W = turbine_work(run.arrays)
    V = sum(run.arrays.shape[1][where].sum() for where in run.arrays.place.values())
    energy = 2.5 * 1.5e5 * float(V)
    assert W > 0.005 * energy
    assert abs(run.end.mass - run.start.mass) < 1e-12 * run.start.mass
    assert abs(run.end.burned - run.start.burned) < 1e-12 * run.start.mass
    assert abs(run.end.energy - run.start.energy - run.defect + W) < 1e-12 * energy


def stagnation(T: float, u: float, table: np.ndarray) -> float:
    """Temperature of a gas brought to rest, its enthalpy kept [K]."""
    T0 = T
    for _ in range(20):
        T0 -= float(state.h(T0, table) - state.h(T, table) - 0.5 * u * u) / float(
            state.cp(T0, table)
        )
    return T0


@pytest.mark.parametrize("gas", ["constant", "conservative"])
@pytest.mark.parametrize("p", [1.8e5, 5e5])
def test_temperature_behind_is_that_of_the_steady_march(gas: str, p: float) -> None:
    """Fed from a vessel until steady: stagnation temperature behind, and work a second, against
    the row marched at the same state in front; choked, against the work of the map's last ratio.
    1e-3: gamma is taken at the static temperature by the one, in the cell by the other."""
    ends = {("a", "start"): Vessel(p, 900.0), ("b", "stop"): Open(1e5, 300.0)}
    run = run_through(gas, ends, 60e-3)
    before = turbine_work(run.arrays)
    run = run_through(gas, ends, 2e-3, run)
    power = (turbine_work(run.arrays) - before) / 2e-3
    table = ConstantGas().table if gas == "constant" else dry_air().table
    a, b = (run.profiles[name] for name in "ab")
    mdot = float((a.rho * a.u)[-1]) * 0.25 * np.pi * BORE**2
    T0 = stagnation(float(a.T[-1]), float(a.u[-1]), table)
    gamma = float(state.gamma(float(a.T[-1]), table))
    p0 = float(a.p[-1]) * (T0 / float(a.T[-1])) ** (gamma / (gamma - 1.0))
    T_out = T0 * (1.0 - 0.65 * (1.0 - 3.0 ** -((gamma - 1.0) / gamma)))
    if p < 4e5:
        none = np.empty((0, 9))
        T_out = march(passage(), 0, 1, False, mdot, p0, T0, -1.0, table, -1, 0.0, none)[1]
    T0_b = stagnation(float(b.T[0]), float(b.u[0]), table)
    assert T0 - T0_b > 60.0
    assert pytest.approx(T_out, rel=1e-3) == T0_b
    fall = float(state.h(T0, table) - state.h(T0_b, table))
    assert power == pytest.approx(mdot * fall, rel=5e-3)  # 1e-3 of T0 is 1 % of the least fall


def test_reversed_flow_gives_no_work() -> None:
    ends = {("a", "start"): Open(1e5, 300.0), ("b", "stop"): Vessel(1.8e5, 600.0)}
    run = run_through("constant", ends, 40e-3)
    before = turbine_work(run.arrays)
    run = run_through("constant", ends, 2e-3, run)
    a, b = (run.profiles[name] for name in "ab")
    assert a.u[-1] < -20.0
    assert turbine_work(run.arrays) == before
    T0 = [float(now.T[k] + 0.5 * now.u[k] ** 2 / 1004.7) for now, k in ((a, -1), (b, 0))]
    assert T0[0] == pytest.approx(T0[1], rel=1e-3)  # settled to 1e-3 in 40 ms
