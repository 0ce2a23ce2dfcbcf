"""A study's answers: what they are made of, and what happens where one is missing."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from pulse1d.case.design import Design, load
from pulse1d.errors import ConvergenceError, InputError
from pulse1d.geometry.sections import Round, Tube
from pulse1d.losses.straight import Straight
from pulse1d.losses.taper import Taper
from pulse1d.run.bench import predict_bench
from pulse1d.run.mass import density_of, has_walls, part_mass
from pulse1d.study import answers as module
from pulse1d.study.answers import answer_infos, answered, answers_of
from pulse1d.study.bench_answers import bench_bands, bench_plain
from pulse1d.study.load import load_study
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.over_speeds import over_speeds, window
from pulse1d.study.plan import points_of
from pulse1d.study.work import outcomes_of
from tests.pump_study import pump_study

CASES = Path(__file__).parents[2] / "cases"
STUDY = """\
format: pulse1d study 1
about: {name: tails}
base: tubular.yaml
parameters:
  tail: {path: runners/*/tail/length, range: [80 mm, 120 mm]}
compute: {bench: {}, cycle: {speeds: "2000:5000:1000"}}
objectives:
  - {answer: mean torque, aim: most, from: 2500, to: 4500}
  - {answer: mean torque, aim: most}
  - {answer: torque window, aim: most, to: 4000}
"""


@pytest.fixture(scope="module")
def tubular() -> Design:
    return load(CASES / "pump" / "tubular.yaml")


@pytest.fixture
def study(tmp_path: Path) -> LoadedStudy:
    return load_study(pump_study(tmp_path, STUDY))


def marched(torques: dict[float, float | None]) -> object:
    """A stand-in for the march: brake torque by rev/min, None where it does not repeat."""

    def run_speeds(design: Design, speeds: list[float]) -> list[SimpleNamespace]:
        return [
            SimpleNamespace(
                speed=speed,
                converged=torques[round(60.0 * speed)] is not None,
                changes=(1.0, 0.004),
                brake=torques[round(60.0 * speed)],
            )
            for speed in speeds
        ]

    return run_speeds


def summarised(design: Design, answer: SimpleNamespace) -> SimpleNamespace:
    return SimpleNamespace(
        torque=SimpleNamespace(brake=answer.brake),
        volumetric_efficiency=0.9,
        residual=0.04,
        back_pressure=5e3,
    )


def test_bench_answers_are_those_of_the_bench(tubular: Design) -> None:
    result = predict_bench(tubular, samples=0)
    [(answers, failure)] = bench_plain([tubular])
    assert failure == ""
    flows = np.abs(result.mdot) / result.setup.rho_ref
    # 1e-6: both solvers stop at 1e-9 of the flow or better, and sum the rows in another order.
    assert answers["mean flow"] == pytest.approx(flows.mean(), rel=1e-6)
    assert answers["least flow"] == pytest.approx(flows.min(), rel=1e-6)
    assert answers["spread of flow"] == pytest.approx(result.spread, rel=1e-4)  # of a difference
    assert [answers[f"flow of port {n}"] for n in (1, 2, 3, 4)] == pytest.approx(flows, rel=1e-6)


def test_bands_are_those_of_the_bench_and_lie_around_the_answer(tubular: Design) -> None:
    few = tubular.case.numerics.model_copy(update={"samples": 100})
    design = replace(tubular, case=tubular.case.model_copy(update={"numerics": few}))
    answers, failure = bench_bands(design)
    assert failure == ""
    result = predict_bench(design)
    for port in result.ports:
        assert port.band is not None
        ends = port.band.p5 / result.setup.rho_ref, port.band.p95 / result.setup.rho_ref
        name = f"flow of port {port.answer.port}"
        # Quantiles of the same samples: only the division by the density may round otherwise.
        assert (answers[f"{name}, low"], answers[f"{name}, high"]) == pytest.approx(ends, rel=1e-12)
    for name in ("mean flow", "least flow"):
        assert answers[f"{name}, low"] < answers[name] < answers[f"{name}, high"]


def test_without_samples_bands_are_missing_with_a_reason(tubular: Design) -> None:
    none = tubular.case.numerics.model_copy(update={"samples": 0})
    answers, failure = bench_bands(
        replace(tubular, case=tubular.case.model_copy(update={"numerics": none}))
    )
    assert "no samples" in failure
    assert "mean flow" in answers
    assert "mean flow, low" not in answers


def test_every_answer_is_announced_and_every_announced_one_given(
    study: LoadedStudy, monkeypatch: pytest.MonkeyPatch
) -> None:
    torques = {2000: 150.0, 3000: 170.0, 4000: 160.0, 5000: 140.0}
    monkeypatch.setattr(module, "run_speeds", marched(torques))
    monkeypatch.setattr(module, "summarise", summarised)
    answers = answers_of(study, study.base)
    assert set(answers) == {info.name for info in answer_infos(study)}
    assert answers["mean torque"] == 155.0  # exact in binary: (150 + 170 + 160 + 140)/4
    assert answers["mean torque, 2500 to 4500"] == 165.0  # of 3000 and 4000 alone
    assert answers["most torque"] == 170.0
    assert 60.0 * answers["speed of most torque"] == pytest.approx(3000.0, rel=1e-15)
    # 95 % of 170 is 161.5: 2575 on the way up, 3850 on the way down.
    assert 60.0 * answers["torque window"] == pytest.approx(3850.0 - 2575.0, rel=1e-12)
    assert answers["torque window, to 4000"] == answers["torque window"]


def test_a_speed_that_does_not_repeat_is_told_and_enters_no_mean(
    study: LoadedStudy, monkeypatch: pytest.MonkeyPatch
) -> None:
    torques = {2000: 150.0, 3000: 170.0, 4000: 160.0, 5000: None}
    monkeypatch.setattr(module, "run_speeds", marched(torques))
    monkeypatch.setattr(module, "summarise", summarised)
    [(answers, failure)] = answered(study, [study.base])
    assert failure == "cycle: 5000 rev/min did not repeat (0.4 % a cycle)"
    assert "torque at 5000" not in answers
    assert not {"mean torque", "most torque", "torque window"} & set(answers)
    more = module.ranged(study, answers)
    assert more["mean torque, 2500 to 4500"] == 165.0  # it does not need that speed
    assert answers["torque at 4000"] == 160.0
    assert answers["mean flow"] > 0.0  # the bench stands
    with pytest.raises(ConvergenceError, match="5000 rev/min"):
        answers_of(study, study.base)


def test_a_range_without_a_speed_of_the_study_is_refused(study: LoadedStudy) -> None:
    path = study.path.with_name("off.yaml")
    path.write_text(STUDY.replace("from: 2500, to: 4500", "from: 4100, to: 4900"))
    with pytest.raises(InputError, match=r"off.yaml:8: no speed of the study lies in this range"):
        load_study(path)


def test_a_steady_design_that_cannot_be_built_is_an_outcome(tmp_path: Path) -> None:
    path = pump_study(
        tmp_path,
        "format: pulse1d study 1\nabout: {name: bends}\nbase: tubular.yaml\n"
        'parameters: {radius: {path: "runners/*/*/radius", values: [2.5 in, 0.5 in, 3 in]}}\n'
        "compute: {bench: {}}\n",
    )
    study = load_study(path)
    outcomes = outcomes_of(study, points_of(study))
    assert [bool(one.failure) for one in outcomes] == [False, True, False]
    assert "radius" in outcomes[1].failure
    assert outcomes[1].answers == {}
    alone = [outcomes_of(study, [point])[0] for point in points_of(study)]
    assert [one.answers for one in alone] == [one.answers for one in outcomes]  # to the last bit


def test_the_window_ends_with_the_speeds() -> None:
    flat = [(1000.0, 99.0), (2000.0, 100.0), (3000.0, 98.0)]
    assert window(flat, 2000.0) == 2000.0
    peak = [(1000.0, 90.0), (2000.0, 100.0), (3000.0, 90.0)]
    assert window(peak, 2000.0) == 1000.0  # half of the way down on either side
    one = {name: {3000.0: 1.0} for name in module.PER_SPEED}
    assert over_speeds(one, [3000.0])["torque window"] == 0.0
    assert over_speeds(one, [3000.0], first=4000.0) == {}


def leg(design: Design, pieces: tuple[object, ...], section: object, thickness: float) -> Design:
    runner = design.case.runners[0].model_copy(update={"pieces": pieces, "section": section})
    wall = design.case.wall.model_copy(update={"thickness": thickness, "material": "mild steel"})
    case = design.case.model_copy(update={"runners": (runner,), "trunks": (), "wall": wall})
    return replace(design, case=case)


def test_mass_of_a_tube_and_a_cone_by_hand(tubular: Design) -> None:
    L, t = 0.4, 0.002
    tube = leg(tubular, (Straight(length=L),), Tube(od=0.042, wall=t), 0.009)  # its own wall counts
    assert part_mass(tube) == pytest.approx(7850.0 * math.pi * 0.040 * t * L, rel=1e-12)
    cast = leg(tubular, (Straight(length=L),), Round(bore=0.038), t)
    assert part_mass(cast) == pytest.approx(part_mass(tube), rel=1e-12)  # the same tube
    cone = leg(tubular, (Taper(length=L, to=Round(bore=0.060)),), Round(bore=0.038), t)
    middle = 0.5 * (0.040 + 0.062)  # of the wall's mean diameters: metal is linear along a cone
    assert part_mass(cone) == pytest.approx(7850.0 * math.pi * middle * t * L, rel=1e-12)


def test_materials_and_missing_walls(tubular: Design) -> None:
    assert density_of("Ductile iron")[0] < density_of("grey iron")[0]
    assert density_of("stainless steel")[0] == 7900.0
    assert density_of("titanium alloy")[0] == 4500.0
    assert "not known" in density_of("plywood")[1]
    bare = leg(tubular, (Straight(length=0.4),), Round(bore=0.038), 0.002)
    bare = replace(bare, case=bare.case.model_copy(update={"wall": bare.case.wall.model_copy(
        update={"thickness": None})}))  # fmt: skip
    assert has_walls(tubular)
    assert not has_walls(bare)
    assert math.isnan(part_mass(bare))
