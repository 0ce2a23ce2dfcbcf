"""Verification: what stands around the part on its engine - intake ducts, head passage, other bank.

Sources. Balances: conservation. Tuned speed of an intake runner: Engelman's resonator (ASME
73-WA/DGP-2, 1973, from memory). Engines are invented.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pulse1d.case.design import Design, load
from pulse1d.case.schema import Downstream, HeadPassage
from pulse1d.engine.intake import AirBox, Intake
from pulse1d.gas import state as gas
from pulse1d.geometry.sections import Round
from pulse1d.losses.straight import Straight
from pulse1d.network.crossover import Crossover
from pulse1d.network.layout import Duct
from pulse1d.run.bench import predict_bench
from pulse1d.run.cycle import CycleAnswer, CycleMarch, converge, march_cycle
from pulse1d.run.cycle_summary import summarise
from pulse1d.run.engine_net import engine_net
from pulse1d.waves.kinds import LOST, RELEASED, TAKEN, WORK
from pulse1d.waves.pipes import Closed, Net, Pipe
from pulse1d.waves.solve import solve
from pulse1d.waves.walls import OUTER, Q_SUM, T_WALL
from tests.one_cylinder import GASES, HEAT, cylinder, state_of, valves

CASES = Path(__file__).parents[2] / "cases"


def changed(name: str, *, cell: float = 0.025, **engine: Any) -> Design:
    """A demo case on a coarse mesh, its engine changed as asked."""
    design = load(CASES / f"{name}.yaml")
    case = design.case
    assert case.engine is not None
    numerics = case.numerics.model_copy(update={"cell": cell})
    update = {"engine": case.engine.model_copy(update=engine), "numerics": numerics}
    return replace(design, case=case.model_copy(update=update))


def with_passage(design: Design, passage: HeadPassage | None) -> Design:
    """The same design with another duct in its head."""
    head = design.case.head.model_copy(update={"passage": passage})
    return replace(design, case=design.case.model_copy(update={"head": head}))


def behind(design: Design, downstream: Downstream) -> Design:
    """The same design with another downstream system."""
    return replace(design, case=design.case.model_copy(update={"downstream": downstream}))


def runner(length: float, bore: float = 0.036, box: AirBox | None = None) -> Intake:
    """A plain straight intake runner."""
    return Intake(section=Round(bore=bore), pieces=(Straight(length=length),), box=box)


def test_a_cylinder_between_two_shut_pipes_keeps_everything() -> None:
    """Exhaust and intake pipe shut at their far ends: mass, burned gas, energy over a cycle."""
    item = cylinder(
        areas=valves(), heat=HEAT, burn=(-15.0, 50.0, 5.0, 2.0), wall_factor=1.0, p=1.2e5,
        intake=("i", "stop"),
    )  # fmt: skip
    pipes = {
        "a": Pipe(0.6, 0.038, cells=40, p=101325.0, T=900.0, Y=1.0),
        "i": Pipe(0.4, 0.036, cells=30, p=1e5, T=308.0),
    }
    ends = {("a", "start"): item, ("a", "stop"): Closed(), ("i", "start"): Closed()}
    run = solve(Net(pipes, ends, gas=GASES), 4.0 / 50.0)  # type: ignore[arg-type]
    now = state_of(run)
    assert now[RELEASED] > 1000.0  # J: it fired
    assert now[TAKEN] > 5e-5  # kg: and drew from its pipe
    # sums of some thousand steps of rounding each
    assert run.end.mass == pytest.approx(run.start.mass, rel=1e-12)
    gained = run.end.energy - run.start.energy - run.defect
    assert gained == pytest.approx(now[RELEASED] - now[WORK] - now[LOST], abs=1e-9 * now[RELEASED])
    made = run.end.burned - run.start.burned
    assert made == pytest.approx(now[RELEASED] / HEAT, rel=1e-9)


def test_a_short_wide_intake_is_the_plenum() -> None:
    """100 mm of 200 mm bore, an ideal mouth: nothing but the air that stands there."""
    wide = runner(0.1, 0.2).model_copy(update={"mouth": Intake.model_fields["mouth"].default})
    with_duct, without = (
        march_cycle(changed("single/plain", intake=one), 50.0, tolerance=1e-4).cylinders[0]
        for one in (wide, None)
    )
    # its inertance is 28 times below that of the 38 mm pipe, 0.1 m of which move VE by 1 to 3 %;
    # burned gas that was blown back mixes there instead of coming in first
    assert with_duct.volumetric_efficiency == pytest.approx(without.volumetric_efficiency, rel=3e-3)
    assert with_duct.fresh == pytest.approx(without.fresh, rel=3e-3)


@lru_cache
def filling(length: float, rpm: int) -> float:
    """Volumetric efficiency of the single behind a plain 36 mm runner."""
    answer = march_cycle(changed("single/plain", intake=runner(length)), rpm / 60.0)
    assert answer.converged
    return answer.cylinders[0].volumetric_efficiency


@pytest.mark.parametrize(("length", "tuned"), [(0.3, 4500), (0.5, 3500)])
def test_a_runner_fills_best_at_its_tuned_speed(length: float, tuned: int) -> None:
    """Engelman: c/(2 pi) sqrt(A/(L V)) is K times the tuned speed, V half the swept volume times
    (r + 1)/(r - 1). Reached: K = 2.41 at both lengths.
    """
    engine = load(CASES / "single/plain.yaml").case.engine
    assert engine is not None
    assert engine.compression_ratio is not None
    speeds = (2500, 3500, 4500, 5500)
    best = max(speeds, key=lambda rpm: filling(length, rpm))
    assert best == tuned
    # it rams: at the tuned speed it holds more than the plenum alone would fill
    assert filling(length, best) > filling(length, 5500) + 0.01
    r = engine.compression_ratio
    V = 0.5 * engine.displacement * (r + 1.0) / (r - 1.0)
    area = 0.25 * math.pi * 0.036**2
    f = 350.0 / (2.0 * math.pi) * math.sqrt(area / (length * V))
    # 2.0 to 2.5 by the source for usual cams (from memory), speeds here stand 1000 rev/min apart
    assert 1.9 < 60.0 * f / best < 2.8


def test_an_air_box_joins_the_runners() -> None:
    """Mass and energy close, and a duct that chokes the box costs filling."""
    answers = []
    for bore in (0.060, 0.022):
        duct = Duct(section=Round(bore=bore), pieces=(Straight(length=0.3),))
        box = AirBox(volume=4e-3, duct=duct)
        design = changed("pump/tubular", intake=runner(0.25, box=box))
        answer = march_cycle(design, 50.0, tolerance=1e-4)
        assert answer.converged
        assert abs(answer.energy_gap) < 1e-9  # the sum of all entries: rounding
        assert abs(answer.mass_gap) < 1e-3  # what the 4 l still take up at a change of 1e-4
        answers.append(summarise(design, answer))
    # 22 mm pass 2.4 l at 3000 rev/min at Mach 0.45 in the mean: 10 to 20 % of its pressure
    assert answers[1].volumetric_efficiency < answers[0].volumetric_efficiency - 0.05


PASSAGE = HeadPassage(section=Round(bore=0.036), pieces=(Straight(length=0.08),))


@lru_cache
def tubular(passage: bool) -> tuple[Design, CycleMarch, CycleAnswer]:
    """The tubular demo at 3000 rev/min with or without a passage in its head."""
    design = with_passage(changed("pump/tubular"), PASSAGE if passage else None)
    march, changes, done = converge(design, 50.0, tolerance=1e-4)
    assert done
    return design, march, march.answer(design, changes, done)


def test_a_cooled_passage_takes_its_heat_from_the_gas() -> None:
    hot, cooled = (tubular(passage) for passage in (False, True))
    fall = summarise(hot[0], hot[2]).T_gas - summarise(cooled[0], cooled[2]).T_gas
    march = cooled[1]
    assert march.run is not None
    arrays, engine = march.run.arrays, cooled[0].case.engine
    assert engine is not None
    head = arrays.wall[0][OUTER] < 0.0
    assert np.count_nonzero(head) == 4 * 3  # 80 of 25 mm cells: those that lie in it by half
    taken = -float(np.sum((arrays.wall[0][Q_SUM] * arrays.shape[1])[head]))
    mass = sum(c.fresh for c in cooled[2].cylinders)
    cp = float(gas.cp(1200.0, march.built.burned.table))
    # first law of the stream: what the walls took over m cp; fresh is 2 % below what leaves (no
    # fuel is added as mass), cp moves by 3 % over the pulse, the means by mass are not exact
    assert fall == pytest.approx(taken / (mass * cp), rel=0.10)
    # Caton & Heywood 1981: 8 to 12 cm of cooled port take 30 to 120 K (from memory)
    assert 30.0 < fall < 120.0
    assert abs(cooled[2].energy_gap) < 1e-9  # rounding


def test_a_stated_wall_keeps_its_temperature() -> None:
    _, march, answer = tubular(True)
    assert march.run is not None
    arrays = march.run.arrays
    where = arrays.place["runner 1"]
    head = arrays.wall[0][OUTER, where] < 0.0
    T = arrays.wall[0][T_WALL, where]
    np.testing.assert_allclose(T[head], PASSAGE.wall_temperature, rtol=1e-12)  # rounding of means
    np.testing.assert_array_equal(answer.T_wall["runner 1"], T[~head])  # the part's own


def test_cylinders_of_a_shared_port_have_a_passage_each() -> None:
    """Two ports of two cylinders: ducts to the flange, their walls stated too; balances close."""
    design = with_passage(changed("pump/log"), PASSAGE)
    head, case = design.case.head, design.case
    pairs = {"1": ("1", "2"), "4": ("3", "4")}
    ports = tuple(
        port.model_copy(update={"cylinders": pairs[port.name]})
        for port in head.ports
        if port.name in pairs
    )
    runners = tuple(one for one in case.runners if one.port in pairs)
    update = {"head": head.model_copy(update={"ports": ports}), "runners": runners}
    design = replace(design, case=case.model_copy(update=update))
    march, changes, done = converge(design, 50.0, tolerance=1e-4)
    assert done
    answer = march.answer(design, changes, done)
    assert len(answer.cylinders) == 4
    assert abs(answer.energy_gap) < 1e-9  # rounding
    assert march.run is not None
    arrays = march.run.arrays
    for name in ("1", "2", "3", "4"):
        where = arrays.place[f"head port of cylinder {name}"]
        assert np.all(arrays.wall[0][T_WALL, where] == PASSAGE.wall_temperature)
    assert set(answer.T_wall) == set(march.built.net.pipes) - {
        f"head port of cylinder {name}" for name in ("1", "2", "3", "4")
    }


def test_a_passage_counts_once_on_the_bench() -> None:
    """A table of valve and port has the passage's loss in it; one of the valve alone does not."""
    design = load(CASES / "pump/tubular.yaml")
    flow, port = design.case.head.flow, design.case.head.ports[0].section
    assert flow is not None
    assert port is not None
    straight = HeadPassage(section=port, pieces=(Straight(length=0.08),))
    for covers in ("valve and port", "valve only"):
        stated = flow.model_copy(update={"covers": covers})
        head = design.case.head.model_copy(update={"flow": stated})
        one = replace(design, case=design.case.model_copy(update={"head": head}))
        with_one, without = (
            predict_bench(with_passage(one, passage), lift=0.008, ports=("1",), samples=0)
            for passage in (straight, None)
        )
        flows = [result.ports[0].answer.mdot for result in (with_one, without)]
        if covers == "valve and port":
            assert flows[0] == flows[1]
        else:  # 80 mm of port: friction of some percent of the valve's own loss
            assert 0.97 < flows[0] / flows[1] < 0.999


MATES = {"1": "2", "3": "4", "5": "6", "7": "8"}
PIPE = Round(bore=0.060)


@lru_cache
def banks(kind: str | None, *, both: bool = True) -> CycleAnswer:
    """The V8's tubular set in front of 1.2 m of pipe, 3000 rev/min, both banks or one."""
    link: dict[str, Any] = {"section": Round(bore=0.045), "length": 0.5}
    crossover = None
    if kind is not None:
        own = link if kind == "balance pipe" else {}
        crossover = Crossover(kind=kind, at=0.5, **own)  # type: ignore[arg-type]
    system = Downstream(section=PIPE, pieces=(Straight(length=1.2),), crossover=crossover)
    design = behind(changed("v8/tubular", other_bank=MATES if both else {}), system)
    answer = march_cycle(design, 50.0, tolerance=1e-4)
    assert answer.converged
    return answer


def test_banks_without_a_link_do_not_know_of_each_other() -> None:
    together, alone = banks(None), banks(None, both=False)
    assert [c.cylinder for c in together.cylinders] == ["1", "3", "5", "7", "2", "4", "6", "8"]
    for a, b in zip(alone.cylinders, together.cylinders[:4], strict=True):
        # both repeat to 1e-4, and share their time steps with the other bank in one of the marches
        assert b.trapped == pytest.approx(a.trapped, rel=5e-4)
        assert np.max(np.abs(b.p_port - a.p_port)) < 3e-3 * 101325.0


@pytest.mark.parametrize("kind", ["balance pipe", "cross", "single pipe"])
def test_a_link_balances_and_matters(kind: str) -> None:
    answer = banks(kind)
    assert abs(answer.energy_gap) < 1e-9  # the sum of all entries: rounding
    assert abs(answer.mass_gap) < 1e-3  # what the pipes still store at a change of 1e-4
    apart = banks(None)
    moved = [
        np.max(np.abs(a.p_port - b.p_port))
        for a, b in zip(answer.cylinders, apart.cylinders, strict=True)
    ]
    assert min(moved) > 1e3  # Pa at every port; unlinked banks differ by 300 Pa at most


def test_banks_are_mirror_images() -> None:
    """Which of the two banks the case describes does not matter: same engine, names swapped."""
    answer = banks("cross")
    crossover = Crossover(kind="cross", at=0.5)
    system = Downstream(section=PIPE, pieces=(Straight(length=1.2),), crossover=crossover)
    swapped = changed("v8/tubular", other_bank={mate: own for own, mate in MATES.items()})
    head = swapped.case.head
    ports = tuple(port.model_copy(update={"cylinders": (MATES[port.name],)}) for port in head.ports)
    case = swapped.case.model_copy(update={"head": head.model_copy(update={"ports": ports})})
    other = march_cycle(behind(replace(swapped, case=case), system), 50.0, tolerance=1e-4)
    theirs = {c.cylinder: c for c in other.cylinders}
    for c in answer.cylinders:
        # the joint's iteration sees its legs in another order; both repeat to 1e-4
        assert theirs[c.cylinder].trapped == pytest.approx(c.trapped, rel=2e-4)


def test_the_cut_pipe_keeps_its_length_and_volume() -> None:
    """500 mm behind the part, within half a cell of the mesh."""
    system = Downstream(
        section=PIPE, pieces=(Straight(length=1.2),), crossover=Crossover(kind="cross", at=0.5)
    )
    design = behind(changed("v8/tubular", other_bank=MATES), system)
    plain = behind(changed("v8/tubular"), system.model_copy(update={"crossover": None}))
    cut, whole = (engine_net(one, 50.0).net.pipes for one in (design, plain))
    last = "collector and pipe [2]"
    upper, lower = cut[last], cut[f"{last} behind the crossover"]
    assert upper.length + lower.length == pytest.approx(whole[last].length, rel=1e-12)  # rounding
    assert upper.cells + lower.cells == whole[last].cells
    half = 0.5 * whole[last].length / whole[last].cells
    assert lower.length == pytest.approx(0.7, abs=half + 1e-9)
    np.testing.assert_array_equal(
        np.concatenate([np.asarray(upper.area)[:-1], np.asarray(lower.area)]),
        np.asarray(whole[last].area),
    )
