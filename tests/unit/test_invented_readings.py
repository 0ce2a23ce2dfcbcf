"""The invented bench: without errors its readings reduce to the truth, and its faults show."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pulse1d.case.readings import load_readings
from pulse1d.measure.reduce import reduce
from tests.invented_readings import (
    CFM,
    DEMO,
    QUIET,
    Truth,
    World,
    demo,
    demo_truth,
    invent,
    session,
)


def worst(truth: Truth, world: World) -> float:
    rows = reduce(session(truth, 1, world)).rows
    return max(abs(r.flow / CFM / truth[r.reading.part, r.reading.port] - 1.0) for r in rows)


@pytest.mark.parametrize(
    "world",
    [
        QUIET,
        replace(QUIET, direction="sucked"),
        replace(QUIET, fixed_end="outlet", test_pressure=10.0),
        replace(QUIET, certified=False),
        replace(QUIET, check_plate=False, meters={"log": "range 3"}),
    ],
    ids=["blown", "sucked", "10 inH2O", "not certified", "no check plate"],
)
def test_without_errors_the_truth_comes_back(world: World) -> None:
    """Two ways of writing one model: 1e-6 is far above round-off and below any real effect."""
    assert worst(demo_truth(), world) < 1e-6


def test_the_text_of_a_file_holds_the_same_readings(tmp_path: Path) -> None:
    file = tmp_path / "readings.yaml"
    file.write_text(invent(demo_truth(), 7, World()), encoding="utf-8")
    read, made = load_readings(file), session(demo_truth(), 7, World())
    assert read.header == made.header
    for one, two in zip(read.readings, made.readings, strict=True):
        assert one.meter_reading == pytest.approx(two.meter_reading, rel=1e-12)  # 15 digits
        assert one.T_part == pytest.approx(two.T_part, rel=1e-12)
        assert (one.part, one.port, one.remount, one.what) == (
            two.part, two.port, two.remount, two.what,
        )  # fmt: skip


def test_planted_faults_show() -> None:
    truth = {("log", "1"): 180.0, ("log", "2"): 180.0}
    blocked = replace(QUIET, fault=("blocked", "log", "2", 0.06))
    leaking = replace(QUIET, fault=("leak", "log", 3.0))
    flows = {
        name: [row.flow / CFM for row in reduce(session(truth, 1, world)).rows]
        for name, world in (("blocked", blocked), ("leaking", leaking))
    }
    count = QUIET.remounts
    assert flows["blocked"] == pytest.approx([180.0] * count + [169.2] * count, rel=1e-6)
    assert flows["leaking"] == pytest.approx([183.0] * 2 * count, rel=1e-6)


def test_the_shipped_demonstration_is_the_generators() -> None:
    assert DEMO.read_text(encoding="utf-8") == demo()
    assert "invented" in demo().lower()
