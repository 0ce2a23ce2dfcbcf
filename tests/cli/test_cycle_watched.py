"""Telling waves apart and bands: how far they are, and that a stop keeps what is done."""

from __future__ import annotations

import json
import math
import signal
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

import pulse1d
from pulse1d.cli import cycle_told
from pulse1d.cli.cycle_bands import difference_band_lines
from pulse1d.cli.main import app
from pulse1d.run.attribution import ARRIVED, arrival, interference
from pulse1d.run.cycle_band import CycleBand, band_of_difference, cycle_band
from pulse1d.run.cycle_sweep import CaseSweep, sweep
from pulse1d.run.watched import Stopped

SINGLE = Path(__file__).parents[2] / "cases" / "single"
SPEED = 3000.0 / 60.0
COARSE = """format: pulse1d case 1
based on: {base}.yaml
about: {{name: {base} coarse}}
numerics: {{cell: 40 mm}}
expect: []
"""
"""Coarse cells: only what is told on the way is looked at."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("single")
    for path in SINGLE.glob("*.yaml"):
        (made / path.name).write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    for base in ("plain", "megaphone"):
        (made / f"{base}_coarse.yaml").write_text(COARSE.format(base=base), encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def swept(folder: Path) -> list[CaseSweep]:
    names = ("plain", "megaphone")
    return [sweep(pulse1d.load(folder / f"{name}_coarse.yaml"), [SPEED]) for name in names]


def waves_of(one: CaseSweep, watch: Callable[[float], bool]) -> Any:
    return interference(one.design, SPEED, watch=watch)


def band_of(one: CaseSweep, watch: Callable[[float], bool]) -> Any:
    return cycle_band(one.design, one.answers[0], watch=watch)


@pytest.mark.parametrize("work", [waves_of, band_of])
def test_shares_rise_to_the_whole_and_a_stop_is_obeyed(
    work: Callable[..., Any], swept: list[CaseSweep]
) -> None:
    told: list[float] = []

    def watch(share: float) -> bool:
        told.append(share)
        return len(told) < 10_000

    work(swept[0], watch)
    assert told == sorted(told)
    assert 0.0 < told[0] < 0.2  # a first cycle of several marches
    assert max(after - before for before, after in pairwise(told)) < 0.5  # never a long silence
    assert told[-1] == 1.0
    seen: list[float] = []

    def stops(share: float) -> bool:
        seen.append(share)
        return len(seen) < 3

    with pytest.raises(Stopped):
        work(swept[0], stops)
    assert len(seen) == 3


@pytest.mark.parametrize(
    ("option", "name"), [("--waves", "kept_interference"), ("--bands", "cycle_band")]
)
def test_an_interrupt_in_the_details_keeps_the_speeds_and_what_was_told(
    option: str, name: str, folder: Path, swept: list[CaseSweep], monkeypatch: pytest.MonkeyPatch
) -> None:
    real, calls = getattr(cycle_told, name), []

    def interrupted(one: Any, *rest: Any, watch: Callable[[float], bool], **more: Any) -> Any:
        calls.append(one)

        def told(share: float) -> bool:
            if len(calls) == 2:
                signal.raise_signal(signal.SIGINT)
            return watch(share)

        return real(one, *rest, watch=told, **more)

    monkeypatch.setattr(cycle_told, name, interrupted)
    cases = [folder / "plain_coarse.yaml", folder / "megaphone_coarse.yaml"]
    arguments = ["cycle", *map(str, cases), "--speeds", "3000", option, "--json"]
    result = CliRunner().invoke(app, arguments)
    assert result.exit_code == 130
    assert "are kept" in result.stderr
    record = json.loads(result.stdout)
    assert record["outcome"] == "interrupted"
    key = {"--waves": "waves", "--bands": "bands"}[option]
    assert [key in case for case in record["cases"]] == [True, False]
    assert [case["reused"] for case in record["cases"]] == [1, 1]
    assert "bands" not in record["differences"][0]


def test_what_two_layouts_share_cancels_in_the_band_of_their_difference(
    swept: list[CaseSweep],
) -> None:
    """Two by hand: shares 3 and 4 against 1 and 4 leave 2 alone."""
    ours = CycleBand({"torque": 5.0}, {"torque": {"bend K": 3.0, "friction": 4.0}})
    theirs = CycleBand({"torque": 17.0**0.5}, {"torque": {"bend K": 1.0, "friction": 4.0}})
    found = band_of_difference(ours, theirs)
    assert found.shares["torque"] == {"bend K": -2.0, "friction": 0.0}
    assert found.half["torque"] == 2.0
    bands = [cycle_band(one.design, one.answers[0]) for one in swept]
    base, other = ((one, one.summaries[0], band) for one, band in zip(swept, bands, strict=True))
    text = difference_band_lines(base, other)
    assert max(len(line) for line in text.splitlines()) <= 80
    less = other[1].torque.brake - base[1].torque.brake
    half = band_of_difference(base[2], other[2]).half["torque"]
    (row,) = (line for line in text.splitlines() if line.strip().startswith("torque"))
    assert row.split()[1:3] == [f"{less:+.3g}", f"{half:.3g}"]
    assert half < min(band.half["torque"] for band in bands)  # inlet flow, friction are common


def test_a_wave_arrives_when_it_grows_not_while_an_older_one_dies_away() -> None:
    degrees = np.arange(720.0)
    hump = np.exp(-(((degrees - 200.0) / 30.0) ** 2))
    rises = 200.0 - 30.0 * math.sqrt(math.log(1.0 / ARRIVED))  # where the hump is a fifth
    assert arrival(hump) == math.ceil(rises)
    assert arrival(-hump + 0.5 * np.exp(-degrees / 20.0)) == math.ceil(rises)
    assert arrival(np.zeros(720)) == 0.0
