"""The pulse verb as a user meets it: table, record, pictures, files kept, exit codes."""

from __future__ import annotations

import json
import math
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from typer.testing import CliRunner

import pulse1d
from pulse1d.case.schema import Limiter
from pulse1d.cli.main import app
from pulse1d.cli.progress import Watch
from pulse1d.results.store import load
from pulse1d.run import pulse as rig
from pulse1d.waves import solve as solver
from pulse1d.waves.edges import LIMITERS

CASES = Path(__file__).parents[2] / "cases"
RIG, TUBULAR = CASES / "rig" / "expansion.yaml", CASES / "pump" / "tubular.yaml"
QUICK = ("--cell", "20 mm")
"""Coarse cells, where only the shape of the output is looked at."""


def command(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pulse1d", "pulse", *map(str, arguments)],
        capture_output=True,
        text=True,
    )


@pytest.fixture(scope="module")
def result() -> rig.PulseResult:
    return rig.pulse(pulse1d.load(RIG))


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    folder = tmp_path_factory.mktemp("printed")
    done = command(RIG, *QUICK, "--output", folder / "made", "--plot", folder / "rig.png")
    assert done.returncode == 0, done.stderr
    return done.stdout, folder


def test_table_fits_80_columns_and_names_every_station(printed: tuple[str, Path]) -> None:
    text, _ = printed
    assert max(len(line) for line in text.splitlines()) <= 80
    for word in (
        "near valve",
        "before step",
        "behind step",
        "front ms",
        "trough kPa",
        "first order",
    ):
        assert word in text
    assert "Mass: " in text
    assert "energy defect" in text


def test_both_pictures_are_drawn(printed: tuple[str, Path]) -> None:
    _, folder = printed
    for name in ("rig.png", "rig-waves.png"):
        assert (folder / name).read_bytes().startswith(b"\x89PNG")


def test_the_run_is_kept_with_where_it_comes_from(printed: tuple[str, Path]) -> None:
    (file,) = (printed[1] / "made").iterdir()
    dataset = load(file)
    assert file.stem == f"pulse-{dataset.attrs['key']}"
    assert json.loads(dataset.attrs["case_text"])["expansion.yaml"] == RIG.read_text("utf-8")
    assert dataset.attrs["outcome"] == "done"
    assert any("Borda" in source for source in json.loads(dataset.attrs["sources"]))


def test_record_has_its_documented_keys(tmp_path: Path) -> None:
    done = command(TUBULAR, *QUICK, "--json", "--output", tmp_path, "--duration", "10 ms")
    assert done.returncode == 0, done.stderr
    record = json.loads(done.stdout)
    assert {"schema", "version", "key", "outcome", "room", "vessel", "mesh", "balance"} <= set(
        record
    )
    assert record["duration_s"] == pytest.approx(0.010)  # as typed
    assert Path(record["results"]).parent == tmp_path
    stations = {row["station"]: row for row in record["stations"]}
    arrivals = [stations[name]["arrival_s"] for name in ("flange", "runner", "pipe")]
    assert arrivals == sorted(arrivals)
    assert set(stations["pipe"]) == {
        "station", "distance_m", "arrival_s", "first_peak_pa", "peak_pa", "peak_s", "trough_pa",
        "trough_s",
    }  # fmt: skip


def test_front_runs_between_the_speed_of_sound_and_that_of_a_shock(
    result: rig.PulseResult,
) -> None:
    near, before, _ = result.readings
    speed = (before.distance - near.distance) / (before.arrival - near.arrival)
    a = math.sqrt(1.4 * 287.05 * 293.15)
    rise = before.first_peak / result.room.pressure
    shock = a * math.sqrt(1.0 + 6.0 / 7.0 * rise)  # Rankine-Hugoniot for gamma = 1.4
    # exact bounds; a sample and a cell of 10 mm are 0.3 % of the 2.78 m
    assert 0.997 * a < speed < 1.003 * shock


def test_step_passes_on_what_areas_allow(result: rig.PulseResult) -> None:
    _, before, behind = result.readings
    share = behind.first_peak / before.first_peak
    areas = 2.0 / (1.0 + (80.0 / 25.0) ** 2)
    # sound: 2 A1/(A1 + A2); a front of a third of an atmosphere loses more in its jet and its peak
    # is a point that friction and cells wear down: a quarter less is seen with fine cells too
    assert 0.70 * areas < share < 1.02 * areas


def test_nothing_is_lost(result: rig.PulseResult) -> None:
    # round-off of 1e-16 in each of 2600 steps, all of one sign at worst
    assert abs(result.mass_gap) < 1e-12
    freed = (result.setup.pressure - result.room.pressure) * result.setup.volume / 0.4
    assert abs(result.energy_gap) < 1e-10 * freed  # energies count from 298 K: larger sums
    assert result.run.left.mass > 0.0
    assert result.run.fallbacks == 0


def test_pictures_and_traces_are_one_run(result: rig.PulseResult) -> None:
    from pulse1d.run.pulse_record import pulse_dataset

    dataset = pulse_dataset(result)
    x = dataset["distance"].values
    assert np.all(np.diff(x) > 0.0)
    assert 0.0 < x[0] < x[-1] < result.length
    for name, at in result.setup.stations.items():
        seen = dataset["p_along"].interp(distance=at).values
        trace = dataset["p"].sel(station=name).sel(time=dataset["frame"], method="nearest").values
        # single precision of 1e5 Pa
        assert np.max(np.abs(seen - trace)) < 0.02


def test_a_watched_run_is_the_same_run(monkeypatch: pytest.MonkeyPatch) -> None:
    design = pulse1d.load(RIG)
    alone = rig.pulse(design, cell=0.02, duration=0.02)
    monkeypatch.setattr(solver, "WATCHED", 20_000)
    times: list[float] = []
    watched = rig.pulse(design, cell=0.02, duration=0.02, watch=lambda t: times.append(t) is None)
    assert len(times) > 3
    assert times == sorted(times)
    for name, trace in alone.run.traces.items():
        assert np.array_equal(trace.p, watched.run.traces[name].p)


def test_interrupted_run_keeps_what_is_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(solver, "WATCHED", 100_000)
    monkeypatch.setattr(Watch, "__call__", lambda self, t: t < 0.005)
    done = CliRunner().invoke(app, ["pulse", str(RIG), *QUICK, "--output", str(tmp_path)])
    assert done.exit_code == 130
    (file,) = tmp_path.iterdir()
    dataset = load(file)
    assert file.stem.endswith("-partial")
    assert dataset.attrs["outcome"] == "interrupted"
    assert 0.005 <= dataset["time"].values[-1] < 0.06


def test_a_run_that_cannot_go_on_keeps_its_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*arguments: object, **options: object) -> solver.WaveRun:
        run = solver.solve(*arguments, **options)  # type: ignore[arg-type]
        raise solver.WaveError("a cell ran empty", replace(run, t=0.01))

    monkeypatch.setattr(rig, "solve", fails)
    picture = tmp_path / "p.png"
    done = CliRunner().invoke(
        app, ["pulse", str(RIG), *QUICK, "--output", str(tmp_path / "r"), "--plot", str(picture)]
    )
    assert done.exit_code == 3
    assert "a cell ran empty" in done.output
    (file,) = (tmp_path / "r").iterdir()
    assert load(file).attrs["outcome"] == "failed"
    assert picture.exists()


def test_first_ctrl_c_asks_and_a_second_one_stops() -> None:
    before = signal.getsignal(signal.SIGINT)
    with Watch("run", 1.0) as watch:
        assert watch(0.1)
        signal.raise_signal(signal.SIGINT)
        assert not watch(0.2)
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((CASES / "pump" / "log.yaml",), "no `pulse` section"),
        ((RIG, "--cell", "10"), "has no unit"),
        ((RIG, "--cell", "1 um"), "outside"),
        ((RIG, "--duration", "10 mm"), "not a unit of time"),
        ((RIG, "--plot", "picture.txt"), ".png"),
    ],
)
def test_bad_options_are_said_plainly(arguments: tuple[object, ...], words: str) -> None:
    done = CliRunner().invoke(app, ["pulse", *map(str, arguments)])
    assert words in str(done.exception)
    assert isinstance(done.exception, pulse1d.InputError)


def test_case_and_solver_know_the_same_limiters() -> None:
    assert set(get_args(Limiter)) == set(LIMITERS)


def test_an_instant_opening_is_one_area(tmp_path: Path) -> None:
    case = tmp_path / "rig.yaml"
    text = RIG.read_text(encoding="utf-8").replace("head.yaml", "plate.yaml")
    case.write_text(
        text.replace("[[0 ms, 0 mm^2], [1.5 ms, 370 mm^2]]", "370 mm^2"), encoding="utf-8"
    )
    (tmp_path / "plate.yaml").write_text((RIG.parent / "head.yaml").read_text(encoding="utf-8"))
    at_once = rig.pulse(pulse1d.load(case), cell=0.02, duration=0.005)
    slow = rig.pulse(pulse1d.load(RIG), cell=0.02, duration=0.005)
    assert at_once.setup.opening == ((0.0, pytest.approx(370e-6)),)  # as written
    assert at_once.readings[0].arrival < slow.readings[0].arrival
