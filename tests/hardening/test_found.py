"""What the fuzz has found, each once: the input, and the error that it leads to since."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import h5py
import numpy as np
import pytest
from xarray import Dataset, open_dataset

import pulse1d
from pulse1d.case.document import MAX_PROBLEMS
from pulse1d.case.measured_csv import read_measured
from pulse1d.errors import InputError
from pulse1d.results.dataset import FORMAT
from pulse1d.results.seal import unbroken
from pulse1d.results.store import load as load_results
from pulse1d.results.store import save
from pulse1d.run.bench import predict_bench
from pulse1d.run.cycle_sweep import saved
from pulse1d.run.life import screen
from pulse1d.study.journal import Journal
from pulse1d.study.outcome import Outcome
from tests.hardening.places import CASE

PUMP = Path(__file__).parents[2] / "cases" / "pump"


def refusal(path: Path, text: str) -> str:
    """What a case is refused with."""
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        pulse1d.load(path)
    assert all(problem.remedy for problem in caught.value.problems)
    return str(caught.value)


@pytest.mark.parametrize(
    ("section", "words"),
    [
        ("{shape: oval, width: 37 mm, height: 1e-9 mm}", "check numbers and units, sides lie"),
        ("{shape: oval, width: 37 mm, height: 0.02 mm}", "is but a slit"),
        ("{shape: round, bore: 50 m}", "no section is"),
        ("{shape: round, bore: 1e-320 mm}", "too small a number"),
    ],
)
def test_sections_that_geometry_does_not_bear(tmp_path: Path, section: str, words: str) -> None:
    """They had come back as an error of the geometry library, without a remedy."""
    text = CASE.replace("{shape: round, bore: 36 mm}, to", f"{section}, to")
    assert words in refusal(tmp_path / "case.yaml", text)


@pytest.mark.parametrize("change", ["sigmas: 1e5", "sigmas: -21", "factor: 1e6", "offset: 1e9"])
def test_a_calibration_beyond_all_sense(tmp_path: Path, change: str) -> None:
    """The shift had overflowed in the exponential of the first bench flow."""
    text = f"{CASE}calibration: {{corrections: [{{cause: roughness, {change}}}]}}\n"
    assert "must be at" in refusal(tmp_path / "case.yaml", text)


def test_a_leg_without_length_is_not_screened(tmp_path: Path) -> None:
    """Its bore of 0 had been divided by."""
    base = tmp_path / "base.yaml"
    text = f"{CASE}wall: {{material: cast iron, thickness: 5 mm}}\n" + (
        "durability: {gas: {temperature: 800 degC, heat transfer: 150 W/m^2/K}, flange: "
        "{thickness: 12 mm, width: 20 mm}}\n"
    )
    base.write_text(text.replace("[{kind: straight, name: tail, length: 60 mm}]", "[]"))
    with pytest.raises(InputError, match="has no length") as caught:
        screen(pulse1d.load(base))
    assert caught.value.problems[0].remedy


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("bench: {reference: {temperature: 2000 degC, humidity: 50 %}}", "moist air at 2000"),
        ("bench: {room: {pressure: 1 kPa abs, temperature: 70 degC, humidity: 1}}", "exceeds"),
        (
            "bench: {room: {temperature: 90 degC}}\ngas: {kind: moist air, humidity: 0.5}",
            "moist air",
        ),
    ],
)
def test_air_that_cannot_hold_its_moisture(tmp_path: Path, text: str, words: str) -> None:
    """The first bench flow had ended in an error of the gas; dry air may be as hot as it is."""
    assert words in refusal(tmp_path / "case.yaml", f"{CASE}{text}\n")
    path = tmp_path / "dry.yaml"
    path.write_text(f"{CASE}bench: {{reference: {{temperature: 200 degC}}}}\n")
    assert predict_bench(pulse1d.load(path), samples=0).converged


def test_a_slip_made_in_every_item_is_told_in_short(tmp_path: Path) -> None:
    """A list of a thousand joints of one name had filled a thousand screens."""
    text = f"{CASE}joints: [{', '.join(['{name: Y, kind: merge}'] * 1000)}]\n"
    told = refusal(tmp_path / "case.yaml", text)
    assert told.count("remedy:") == MAX_PROBLEMS + 1
    assert "more from here on" in told


@pytest.mark.parametrize("cell", ["1e308", "1e13", "1e400", "-1e300"])
def test_a_measured_curve_that_overflows(tmp_path: Path, cell: str) -> None:
    """Units had made an infinity of it, with a warning of the array library."""
    path = tmp_path / "curve.csv"
    path.write_text(f"speed [1/min],torque [N m]\n1000,100\n2000,{cell}\n")
    with pytest.raises(InputError, match=r"curve.csv:3: .* is too large a number"):
        read_measured(path)


def made(path: Path) -> None:
    """A journal of twenty outcomes."""
    rows = [Outcome(f"{k:064x}", {"L": 0.1}, {"flow": k / 3.0}, "", 0.1) for k in range(20)]
    with Journal(path, "study") as journal:
        journal.append(rows)


def read(path: Path) -> list[Outcome]:
    """All outcomes of a journal."""
    with Journal(path, "study") as journal:
        return list(journal)


@pytest.mark.parametrize(
    "change",
    [
        "key = 'text'", "key = 7", "point = 'x'", "point = '[1]'", "answers = '{\"a\": [1]}'",
        "answers = ''", "seconds = 'soon'", "answers = x'ff'",
    ],
)  # fmt: skip
def test_a_journal_with_rows_of_another_kind(tmp_path: Path, change: str) -> None:
    """An assertion, and errors of JSON, had come through."""
    path = tmp_path / "journal.sqlite"
    made(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        file.execute(f"UPDATE outcomes SET {change} WHERE place = 7")
    with pytest.raises(InputError, match="no journal of outcomes, or it is damaged") as caught:
        read(path)
    assert caught.value.problems[0].remedy


@pytest.mark.parametrize("page", [0, 1, 3])
def test_a_journal_with_a_page_overwritten(tmp_path: Path, page: int) -> None:
    """Reading the places, and reading on, had raised the database's own errors."""
    path = tmp_path / "journal.sqlite"
    made(path)
    raw = bytearray(path.read_bytes())
    raw[page * 4096 : page * 4096 + 2000] = b"\xff" * 2000
    path.write_bytes(raw)
    with pytest.raises(InputError, match="left as it is"):
        read(path)
    assert path.read_bytes() == raw


@pytest.mark.parametrize("kind", ["link", "dangling link", "pipe", "folder"])
def test_a_journal_that_is_no_plain_file_is_left(tmp_path: Path, kind: str) -> None:
    """A link could lead anywhere, and a pipe waits for ever."""
    path, other = tmp_path / "journal.sqlite", tmp_path / "other.sqlite"
    if kind == "link":
        made(other)
    before = other.read_bytes() if other.exists() else None
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to(other)
    with pytest.raises(InputError, match="a link or no plain file"):
        Journal(path, "study")
    assert (other.read_bytes() if other.exists() else None) == before


def test_a_journal_that_names_another_study_in_odd_signs(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    Journal(path, "\x1b[2J\x07").__exit__(None, None, None)
    with pytest.raises(InputError, match="of another study") as caught:
        Journal(path, "study")
    assert "\x1b" not in str(caught.value)


def test_results_damaged_anywhere_are_refused(tmp_path: Path) -> None:
    """Errors of the file library had come through; forty bytes overwritten near the start, in the
    lists that tie variables to dimensions, had made it go round for ever."""
    path, damaged = tmp_path / "cycle-0.nc", tmp_path / "damaged.nc"
    values = ("speed", np.arange(400.0))
    save(Dataset({f"v{k}": values for k in range(6)}, attrs={"format": FORMAT}), path)
    assert load_results(path)["v3"].values[399] == 399.0
    raw = path.read_bytes()
    for start in range(0, len(raw), 97):
        damaged.write_bytes(raw[:start] + bytes(b ^ 1 for b in raw[start : start + 40]))
        assert not unbroken(damaged)
        damaged.write_bytes(raw[:start] + b"\x55" + raw[start + 1 :])
        assert unbroken(damaged) is (raw[start] == 0x55)
    for cut in (0, 8, 39, 40, len(raw) // 2, len(raw) - 40, len(raw) - 1):
        damaged.write_bytes(raw[:cut])
        with pytest.raises(InputError, match="damaged") as caught:
            load_results(damaged)
        assert "delete it" in caught.value.problems[0].remedy
        assert saved(damaged) == {}


def test_a_sealed_file_is_read_by_others(tmp_path: Path) -> None:
    """The seal stands where readers of the format do not look."""
    path = tmp_path / "cycle-0.nc"
    save(Dataset({"a": ("x", [1.0, 2.0])}, attrs={"format": FORMAT}), path)
    with h5py.File(path) as file:
        assert file["a"][1] == 2.0
    with open_dataset(path, engine="h5netcdf") as found:
        assert found["a"].values[1] == 2.0


def test_results_of_the_right_format_with_other_variables_are_marched_anew(tmp_path: Path) -> None:
    from pulse1d import __version__

    attributes = {"format": FORMAT, "pulse1d_version": __version__}
    for k, odd in enumerate(
        (
            {},
            {"speed": ("speed", [1.0])},
            {"speed": ("speed", ["x"]), "pipe": ("pipe", [1.0]), "cylinder": ("c", [1.0])},
        )
    ):
        path = tmp_path / f"cycle-{k}.nc"
        save(Dataset(odd, attrs=attributes), path)
        assert saved(path) == {}


def test_a_head_with_a_slip_tells_its_own_line(tmp_path: Path) -> None:
    for name in ("tubular.yaml", "head.yaml"):
        shutil.copy(PUMP / name, tmp_path / name)
    head = tmp_path / "head.yaml"
    head.write_text(head.read_text().replace("mm", "mn", 1))
    with pytest.raises(InputError, match=r"head.yaml:[0-9]+: "):
        pulse1d.load(tmp_path / "tubular.yaml")
