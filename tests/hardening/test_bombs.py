"""Inputs made to exhaust memory or time meet a limit first: an error that says what to do."""

from __future__ import annotations

import sqlite3
import tracemalloc
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

import pulse1d
from pulse1d.case.measured_csv import read_measured
from pulse1d.case.readings import load_readings
from pulse1d.errors import InputError
from pulse1d.results.seal import seal
from pulse1d.results.store import load as load_results
from pulse1d.run.bench import predict_bench
from pulse1d.run.engine_net import engine_net
from pulse1d.run.pulse import pulse
from pulse1d.study.journal import Journal
from pulse1d.study.load import load_study
from pulse1d.study.plan import points_of
from tests.hardening.places import CASE, INDENTED, LEGS, PORTS, READINGS, STUDY, TABLE
from tests.hardening.tried import warm, watchdog

SECONDS = 5.0
"""Processor time that a refusal may take: that of the largest file which is read at all."""
MEGABYTES = 50
"""Memory that a refused mesh may take; a single row of what is refused would have 70."""
CASES = Path(__file__).parents[2] / "cases"
HEADING = TABLE.splitlines()[0]


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    """Compiles outside the time limit of the first test."""
    warm(CASES / "pump" / "tubular.yaml")


def refusal(text: str, tmp_path: Path, load: Callable[[Path], object] = pulse1d.load) -> str:
    """What a text is refused with, quickly."""
    path = tmp_path / "bomb.yaml"
    path.write_text(text, encoding="utf-8")
    with watchdog(SECONDS), pytest.raises(InputError) as caught:
        load(path)
    assert all(problem.remedy for problem in caught.value.problems)
    return str(caught.value)


def ports(count: int) -> str:
    """A case of many pipes into one joint."""
    named = ", ".join(f"{{name: {i}, section: {{shape: round, bore: 9 mm}}}}" for i in range(count))
    runners = "".join(
        f"  - {{port: {i}, section: {{shape: round, bore: 9 mm}}, to: Y}}\n" for i in range(count)
    )
    return (
        f"format: pulse1d case 1\nabout: {{name: a}}\nhead: {{ports: [{named}]}}\n"
        f"runners:\n{runners}trunks:\n  - {{from: Y, to: outlet, section: {{shape: round, "
        "bore: 200 mm}, pieces: [{kind: straight, length: 1 m}]}\n"
        "joints: [{name: Y, kind: merge}]\n"
    )


def pieces(count: int) -> str:
    """A case of one pipe in many pieces."""
    return CASE.replace("pieces: [", "pieces: [" + "{kind: straight, length: 1 mm}, " * count)


def splits(count: int) -> str:
    """A pipe that splits in two and joins again, many times over: 2 to the count ways to go."""
    section, to = "section: {shape: round, bore: 36 mm}", "pieces: [{kind: straight, length: 9 mm}]"
    trunks = joints = ""
    for k in range(count):
        joints += f"  - {{name: a{k}, kind: merge}}\n  - {{name: b{k}, kind: merge}}\n"
        behind = f"a{k + 1}" if k < count - 1 else "outlet"
        for name, start, end in (("x", "a", f"b{k}"), ("y", "a", f"b{k}"), ("z", "b", behind)):
            trunks += f"  - {{name: {name}{k}, from: {start}{k}, {section}, {to}, to: {end}}}\n"
    return (
        f"format: pulse1d case 1\nabout: {{name: a}}\nhead: {{ports: [{{name: 1, {section}}}]}}\n"
        f"runners:\n  - {{port: 1, {section}, {to}, to: a0}}\ntrunks:\n{trunks}joints:\n{joints}"
    )


TEXTS = {
    "bytes": (f"{CASE}# {'x' * 1_000_001}\n", "more than 1000000"),
    "depth": (f"{CASE}notes: {'[' * 5000}\n", "levels inside each other"),
    "values": (f"{CASE}notes: [{'1,' * 99_000}1]\n", "more than 20000 keys and values"),
    "unknown keys": (f"{CASE}" + "".join(f"k{i}: 1\n" for i in range(9_000)), "more like these"),
    "repeated keys": (f"{CASE}" + "a: 1\n" * 9_000, "200 mistakes up to here"),
    "digits": (CASE.replace("60 mm", "9" * 5000), "too long or too large"),
    "quantity": (CASE.replace("60 mm", "9" * 5000 + " mm"), "is too large a number"),
    "unit": (CASE.replace("60 mm", "1 " + "m*" * 9000 + "m"), "is not known"),
    "aliases": (f"{CASE}a: &a [1]\nb: [{'*a,' * 9000}]\n", "write the part out here"),
    "ports": (ports(65), "at most 64 items"),
    "many ports": (ports(900), "at most 64 items"),
    "splits": (splits(43), "at most 128 items"),
    "pieces": (pieces(500), "at most 500 items"),
    "many pieces": (pieces(3000), "at most 500 items"),
    "joints of one name": (
        f"{CASE}joints: [{', '.join(['{name: Y, kind: merge}'] * 3000)}]\n", "more from here on"
    ),
    "length": (CASE.replace("60 mm", "1e6 km"), "is too large a number"),
    "samples": (f"{CASE}numerics: {{samples: 1000001}}\n", "at most 1000000"),
    "cell": (f"{CASE}numerics: {{cell: 1 um}}\n", "at least 100 um"),
    "stations": (
        f"{CASE}pulse: {{port: 1, volume: 1 L, pressure: 2 bar abs, opening: 1 cm^2, stations: "
        f"{{{', '.join(f's{i}: 1 mm' for i in range(101))}}}}}\n".replace("bar", "kPa"),
        "at most 100 items",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", TEXTS)
def test_a_case_too_large_is_refused(tmp_path: Path, what: str) -> None:
    text, words = TEXTS[what]
    assert words in refusal(text, tmp_path)


@pytest.mark.parametrize(
    "text", [ports(64), pieces(499), splits(20)], ids=["ports", "pieces", "splits"]
)
def test_a_case_at_the_limits_is_read_in_time(tmp_path: Path, text: str) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(text)
    with watchdog(SECONDS):
        design = pulse1d.load(path)
    with watchdog(SECONDS):
        assert predict_bench(design, samples=0).ports


def study(what: str) -> str:
    return f"{STUDY}base: case.yaml\n{what}"


STUDIES = {
    "values": (
        study("").replace("[50 mm, 60 mm]", f"[{'5 mm, ' * 1001}]"), "at most 1000 items"
    ),
    "steps": (
        study("").replace("values: [50 mm, 60 mm]", "range: [5 mm, 9 mm], steps: 1001"),
        "at most 1000",
    ),
    "points": (study("plan: {kind: sobol, points: 1000001}\n"), "at most 1000000"),
    "speeds": (
        study("").replace("{bench: {}}", "{cycle: {speeds: 1000:2000:0.001}}"), "more than 60"
    ),
    "parameters": (
        study("").replace(
            "parameters: {",
            "parameters: {" + "".join(f"p{i}: {{path: a, values: [1]}}, " for i in range(50)),
        ),
        "at most 50 items",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", STUDIES)
def test_a_study_too_large_is_refused(tmp_path: Path, what: str) -> None:
    (tmp_path / "case.yaml").write_text(CASE)
    text, words = STUDIES[what]
    assert words in refusal(text, tmp_path, load_study)


def test_a_grid_is_counted_before_it_is_laid(tmp_path: Path) -> None:
    (tmp_path / "case.yaml").write_text(CASE)
    one = "path: tolerances/bore, range: [0.1 mm, 0.2 mm], steps: 1000"
    text = study("").replace(
        "parameters: {", "parameters: {b: {path: runners/1/section/bore, range: [20 mm, 30 mm], "
        f"steps: 1000}}, c: {{{one}}}, "
    )  # fmt: skip
    text = text.replace("values: [50 mm, 60 mm]", "range: [50 mm, 60 mm], steps: 1000")
    assert "more than 1000000" in refusal(text, tmp_path, lambda path: points_of(load_study(path)))


ROWS = f"{READINGS}parts: {{a: {{name: a}}}}\nrows: table.csv\n"
TABLES = {
    "rows": ("\n".join((HEADING, *["1,part,a,1,1,m,7,1,2"] * 20_001)), "20000 rows"),
    "cell": (TABLE.replace("7.0", "7" * 200_000), "characters"),
    "quotes": (TABLE.replace("7.0", '"7.0'), "quotes"),
    "headings": (TABLE.replace(HEADING, HEADING + ",x" * 400_000), "200 columns"),
}  # fmt: skip


@pytest.mark.parametrize("what", TABLES)
def test_a_table_too_large_is_refused(tmp_path: Path, what: str) -> None:
    text, words = TABLES[what]
    (tmp_path / "table.csv").write_text(text)
    assert words in refusal(ROWS, tmp_path, load_readings)


def test_a_curve_too_large_is_refused(tmp_path: Path) -> None:
    text = "speed [1/min],torque [N m]\n" + "1,1\n" * 20_001
    assert "20000 rows" in refusal(text, tmp_path, read_measured)


@pytest.mark.parametrize("name", ["rig/expansion.yaml", "pump/log.yaml"])
def test_a_mesh_too_fine_is_refused_before_it_is_made(name: str) -> None:
    """A kilometre of pipe in cells of a tenth of a millimetre would be ten million cells."""
    design = pulse1d.load(CASES / name)
    case = design.case
    (first, *others) = case.runners
    (piece, *rest) = (p for p in first.pieces if p.kind == "straight")
    long = piece.model_copy(update={"length": 900.0})
    runner = first.model_copy(update={"pieces": (*first.pieces, long)})
    numerics = case.numerics.model_copy(update={"cell": 1e-4})
    fine = case.model_copy(update={"runners": (runner, *others), "numerics": numerics})
    design = replace(design, case=fine)
    march = pulse if case.pulse is not None else lambda design: engine_net(design, 50.0)
    tracemalloc.start()
    with watchdog(SECONDS), pytest.raises(InputError, match="more than 200000 cells"):
        march(design)
    assert tracemalloc.get_traced_memory()[1] < 1e6 * MEGABYTES
    tracemalloc.stop()
    assert rest is not None


def test_samples_of_many_causes_are_counted_first() -> None:
    design = pulse1d.load(CASES / "pump" / "log.yaml")
    with watchdog(SECONDS), pytest.raises(InputError, match="samples of 33 causes"):
        predict_bench(design, samples=2_000_000, ports=["1"])


def test_results_that_unfold_to_gigabytes_are_refused(tmp_path: Path) -> None:
    """A variable of which nothing was written takes no room on disk and all of it in memory."""
    import h5py

    path = tmp_path / "cycle-0.nc"
    with h5py.File(path, "w") as file:
        file.attrs["format"] = "pulse1d results 1"
        file.create_dataset("a", shape=(1_000_000, 1_000_000), dtype="f8", chunks=(1000, 1000))
    seal(path)
    assert path.stat().st_size < 20_000
    with watchdog(SECONDS), pytest.raises(InputError, match="GB"):
        load_results(path)


@pytest.mark.parametrize(
    "made",
    [
        "CREATE VIEW outcomes AS WITH RECURSIVE n(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM n) "
        "SELECT k AS place, x'00' AS key, '' AS point, '' AS answers, '' AS failure, 0 AS seconds "
        "FROM n",
        "CREATE TRIGGER t AFTER INSERT ON outcomes BEGIN DELETE FROM outcomes; END",
        "CREATE INDEX i ON outcomes (key)",
    ],
)
def test_a_journal_that_computes_is_refused(tmp_path: Path, made: str) -> None:
    path = tmp_path / "journal.sqlite"
    Journal(path, "study").__exit__(None, None, None)
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        if "VIEW" in made:
            file.execute("DROP TABLE outcomes")
        file.execute(made)
    with watchdog(SECONDS), pytest.raises(InputError, match="no journal of outcomes"):
        Journal(path, "study")


def test_the_small_sound_ones_are_read(tmp_path: Path) -> None:
    """What the limits are tried on is itself sound, so that only its size is refused."""
    (tmp_path / "case.yaml").write_text(CASE)
    (tmp_path / "study.yaml").write_text(study(""))
    (tmp_path / "table.csv").write_text(TABLE)
    (tmp_path / "rows.yaml").write_text(ROWS)
    (tmp_path / "inline.yaml").write_text(
        f"{READINGS}parts: {{a: {{name: a}}}}\nrows: |\n{INDENTED}"
    )
    assert pulse1d.load(tmp_path / "case.yaml").name == "a"
    assert len(points_of(load_study(tmp_path / "study.yaml"))) == 2
    for name in ("rows.yaml", "inline.yaml"):
        assert len(load_readings(tmp_path / name).readings) == 2
    assert PORTS in CASE
    assert LEGS in CASE
