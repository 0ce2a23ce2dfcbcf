"""What ``cycle`` says of figures that mean little: on stderr, under the table, in the record."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

import pulse1d
from pulse1d.cli.cycle_text import report
from pulse1d.run import cycle_warnings
from pulse1d.run.cycle_record import cycle_record
from pulse1d.run.cycle_sweep import CaseSweep, sweep
from pulse1d.run.cycle_warnings import doubts, too_fast, warnings_on
from tests.cycle_command import invoke

PUMP = Path(__file__).parents[2] / "cases" / "pump"
COARSE = """format: pulse1d case 1
based on: log.yaml
about: {name: coarse}
numerics: {cell: 40 mm}
"""


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("warned")
    for name in ("log.yaml", "head.yaml"):
        shutil.copy(PUMP / name, folder)
    path = folder / "coarse.yaml"
    path.write_text(COARSE, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def marched(case: Path) -> CaseSweep:
    return sweep(pulse1d.load(case), [50.0])


def test_pistons_too_fast_are_told_from_25_m_s_on() -> None:
    """Two strokes of 100 mm a revolution: 25 m/s at 7500 rev/min. Common practice, no source."""
    design = pulse1d.load(PUMP / "log.yaml")
    assert too_fast(design, [25.0, 7499.0 / 60.0]) == []
    (text,) = too_fast(design, [25.0, 7600.0 / 60.0, 15000.0 / 60.0])
    assert "7600, 15000 rev/min" in text
    assert "up to 50.0 m/s" in text
    assert "3000" not in too_fast(design, [50.0 + k for k in range(200)])[0]


def test_they_are_warned_of_on_stderr_and_in_the_record(
    case: Path, marched: CaseSweep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a saved speed, the limit moved below it: 10 m/s at 3000 rev/min."""
    calm = invoke(case, "--speeds", "3000", "--json", "--quiet")
    assert "piston" not in calm.stderr
    record = json.loads(calm.stdout)["cases"][0]
    assert record["warnings"] == []
    # definition; rounding alone
    assert record["speeds"][0]["mean_piston_speed_m_s"] == pytest.approx(10.0, rel=1e-12)
    monkeypatch.setattr(cycle_warnings, "FASTEST", 9.0)
    told = invoke(case, case, "--speeds", "3000", "--json", "--quiet")
    assert told.stderr.count("mean piston speed up to 10.0 m/s") == 1
    assert told.stderr.startswith("warning: ")
    (text,) = json.loads(told.stdout)["cases"][0]["warnings"]
    assert "mean piston speed" in text


def test_torque_below_0_is_told(marched: CaseSweep) -> None:
    (answer,) = marched.answers
    dragged = tuple(replace(one, imep=-1e5) for one in answer.cylinders)
    weak = replace(marched, answers=(replace(answer, cylinders=dragged),))
    assert warnings_on(marched) == []
    (text,) = cycle_record([weak], 50.0, "done")["cases"][0]["warnings"]
    assert text.startswith("3000 rev/min: torque below 0")
    assert "3000 rev/min: torque below 0" in report([weak])
    assert "below 0" not in report([marched])


def test_hot_gas_asks_for_the_head_s_passage(marched: CaseSweep) -> None:
    (summary,) = marched.summaries
    bare = marched.design.case.model_copy(
        update={"head": marched.design.case.head.model_copy(update={"passage": None})}
    )
    design = replace(marched.design, case=bare)
    hot = replace(summary, T_gas=cycle_warnings.HOT + 20.0)
    (text,) = doubts(design, [hot])
    assert "up to 970 degC" in text
    assert "`passage`" in text
    assert doubts(design, [replace(summary, T_gas=cycle_warnings.HOT - 1.0)]) == []
    assert doubts(marched.design, [hot]) == []  # states its passage


def test_the_table_says_what_filling_is_relative_to(marched: CaseSweep) -> None:
    assert "of the plenum's air" in " ".join(report([marched]).split())
