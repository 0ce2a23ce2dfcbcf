"""``pulse1d sweep`` as a user meets it."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import typer

from pulse1d.cli import sweep as command
from pulse1d.errors import InputError
from tests.pump_study import pump_study

STUDY = """\
format: pulse1d study 1
about: {name: tails and tubes}
base: tubular.yaml
parameters:
  tail: {path: runners/*/tail/length, range: [70 mm, 130 mm], steps: 4}
  radius: {path: "runners/*/*/radius", values: [2.5 in, 0.5 in]}
constraints:
  - {most: 120 mm, of: tail}
compute: {bench: {}}
objectives:
  - {answer: mean flow, aim: most}
  - {answer: mass, aim: least}
"""
KEPT, TIGHT = 6, 3
"""Points that the constraint leaves, and those of them whose bends are too tight."""


def pulse1d(*arguments: object) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-m", "pulse1d", *map(str, arguments)]
    return subprocess.run(line, capture_output=True, text=True)


@pytest.fixture(scope="module")
def study(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return pump_study(tmp_path_factory.mktemp("sweep"), STUDY)


def sweep(study: Path, **options: object) -> None:
    """The command without a process of its own."""
    names = ("workers", "cluster", "output", "export", "plot")
    command.sweep(study, **{**dict.fromkeys(names), "retry": False, "json": False, **options})


@pytest.fixture(scope="module")
def done(study: Path) -> subprocess.CompletedProcess[str]:
    return pulse1d(
        "sweep", study, "--workers", 1,
        "--export", study.with_name("a.csv"), "--plot", study.with_name("a.png"),
    )  # fmt: skip


def test_text_fits_80_columns_and_says_what_became_of_every_point(
    done: subprocess.CompletedProcess[str], study: Path
) -> None:
    assert done.returncode == 0, done.stderr
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert f"{KEPT} points, {KEPT} computed now" in done.stdout
    assert f"{TIGHT} failed" in done.stdout
    assert "2 left out" in done.stdout
    assert "Most mean flow first" in done.stdout
    assert "saved: " in done.stderr
    for name in ("a.png", "a-map.png", "a-parallel.png"):
        assert study.with_name(name).stat().st_size > 10_000  # an empty figure takes less


def test_the_csv_has_units_in_its_headings_and_nothing_for_what_is_missing(
    done: subprocess.CompletedProcess[str], study: Path
) -> None:
    rows = list(csv.DictReader(study.with_name("a.csv").open()))
    assert len(rows) == KEPT
    assert {"tail [m]", "radius [m]", "mean flow [m3/s]", "mass [kg]", "failure"} <= set(rows[0])
    for row in rows:
        tight = float(row["radius [m]"]) < 0.02
        assert (row["mean flow [m3/s]"] == "") == (row["failure"] != "") == tight


def test_the_record_is_the_store_and_the_second_run_computes_nothing(
    done: subprocess.CompletedProcess[str],
    study: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    table = tmp_path / "a.parquet"
    sweep(study, workers=1, json=True, export=table)
    record = json.loads(capsys.readouterr().out)
    assert record["schema"] == "pulse1d sweep 1"
    assert record["computed"] == 0
    assert sum(record["failures"].values()) == TIGHT
    found = parquet.read_table(table)
    assert found.schema.field("mean flow").metadata[b"units"] == b"m3/s"
    flows = [point["answers"].get("mean flow") for point in record["points"]]
    assert found["mean flow"].to_pylist() == flows
    assert found["failure"].to_pylist() == [point["failure"] for point in record["points"]]


@pytest.mark.parametrize(
    ("option", "value", "message"),
    [
        ("export", "a.csv", "exists already"),
        ("export", "b.ods", "ends in none of"),
        ("plot", "b.ods", "png"),
        ("cluster", "nonsense://x", "leave out --cluster"),
    ],
)
def test_bad_options_are_told_before_anything_is_computed(
    done: subprocess.CompletedProcess[str],
    study: Path,
    option: str,
    value: str,
    message: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(InputError, match=message):
        sweep(study, **{option: value if option == "cluster" else study.with_name(value)})
    assert capsys.readouterr().out == ""


def test_a_study_of_which_nothing_works_is_told_by_the_exit_status(
    study: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = study.with_name("tight.yaml")
    path.write_text(STUDY.replace("[2.5 in, 0.5 in]", "[0.4 in, 0.5 in]"))
    with pytest.raises(typer.Exit) as caught:
        sweep(path, workers=1, output=tmp_path)
    assert caught.value.exit_code == 3
    assert f"{KEPT} failed" in capsys.readouterr().out


def alive(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.mark.long
def test_ctrl_c_keeps_what_is_done_and_leaves_nobody_behind(study: Path, tmp_path: Path) -> None:
    many = study.with_name("many.yaml")
    text = STUDY.replace("steps: 4", "steps: 900")
    many.write_text(text.replace("{bench: {}}", "{bench: {bands: true}}"))
    line = [sys.executable, "-m", "pulse1d", "sweep", many, "--workers", "2"]
    run = subprocess.Popen(
        [*map(str, line), "--output", str(tmp_path)],
        stderr=subprocess.PIPE, text=True, start_new_session=True,
    )  # fmt: skip
    deadline = time.monotonic() + 60.0
    log = None
    while time.monotonic() < deadline:
        log = next(iter(tmp_path.glob("*-wal")), None)
        if log is not None and log.stat().st_size > 30_000:  # some outcomes are there
            break
        time.sleep(0.1)
    os.killpg(run.pid, signal.SIGINT)  # as a terminal does: to all processes of the command
    _, errors = run.communicate(timeout=60.0)
    assert run.returncode == 130
    assert "are kept in" in errors
    assert "Traceback" not in errors
    while alive(run.pid):  # their end may take a moment longer than the command's
        assert time.monotonic() < deadline + 60.0, "a process was left behind"
        time.sleep(0.1)
    [journal] = tmp_path.glob("*.sqlite")
    assert journal.stat().st_size > 4096
