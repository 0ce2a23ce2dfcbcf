"""The cycle verb as a user meets it: tables, record, pictures, speeds kept, exit codes."""

from __future__ import annotations

import json
import math
import shutil
import signal
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import Result

import pulse1d
from pulse1d.case.measured_csv import read_measured
from pulse1d.cli.cycle_differences import comparison, difference_lines
from pulse1d.cli.speeds_option import MOST, speed_at, speeds_option
from pulse1d.compare.overlay import lay_pressure
from pulse1d.errors import InputError
from pulse1d.results.store import load
from pulse1d.run import cycle_sweep
from pulse1d.run.cycle_sweep import CaseSweep, sweep
from pulse1d.run.sweep_speeds import run_speeds
from tests.cycle_command import faults, invoke

PUMP = Path(__file__).parents[2] / "cases" / "pump"
COARSE = """format: pulse1d case 1
based on: {base}.yaml
about: {{name: {base} coarse}}
numerics: {{cell: 25 mm}}
"""
"""Coarse cells, where only the shape of the output is looked at."""
SPEEDS = "2000,4000"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the pump engine's cases, two of them with coarse cells."""
    made = tmp_path_factory.mktemp("cycle") / "pump"
    shutil.copytree(PUMP, made, ignore=shutil.ignore_patterns("*.results"))
    for base in ("log", "tubular"):
        (made / f"{base}_coarse.yaml").write_text(COARSE.format(base=base), encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def printed(folder: Path) -> Result:
    cases = folder / "log_coarse.yaml", folder / "tubular_coarse.yaml"
    result = invoke(*cases, "--speeds", SPEEDS, "--plot", folder / "two.svg")
    assert result.exit_code == 0, result.output
    return result


@pytest.fixture(scope="module")
def detailed(folder: Path, printed: Result) -> Result:
    result = invoke(
        folder / "tubular_coarse.yaml", "--speeds", SPEEDS, "--at", 2000, "--interference",
        "--waves", "--tuning", "--plot", folder / "one.svg",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    return result


@pytest.fixture(scope="module")
def marched(folder: Path, printed: Result) -> CaseSweep:
    return sweep(pulse1d.load(folder / "log_coarse.yaml"), speeds_option(SPEEDS))


def test_text_fits_80_columns_and_tells_what_was_asked_for(
    printed: Result, detailed: Result
) -> None:
    for result in (printed, detailed):
        assert max(len(line) for line in result.stdout.splitlines()) <= 80
        assert "A prediction, not a measurement" in result.stdout
        assert "carbon monoxide" in result.stdout
        assert "local codes" in result.stdout
        assert "cylinders modelled" not in result.stdout  # the whole engine is
        assert "not converged" not in result.stdout
    for words in ("log coarse at 4000 rev/min", "tubular coarse less log coarse (the base)"):
        assert words in printed.stdout
        assert words not in detailed.stdout
    for words in ("Interference", "cylinder 3", "850 rule (common practice)", "1 to collector"):
        assert words in detailed.stdout
        assert words not in printed.stdout
    assert "tubular coarse at 2000 rev/min" in detailed.stdout


def test_the_pictures_are_drawn(printed: Result, detailed: Result, folder: Path) -> None:
    drawn = {path.stem: path.read_text(encoding="utf-8") for path in folder.glob("*.svg")}
    assert set(drawn) == {
        "two", "two-speeds", "one", "one-speeds", "one-interference", "one-waves"
    }  # fmt: skip
    assert "cylinder 4" in drawn["two"]
    assert "volumetric efficiency" in drawn["two-speeds"]
    assert "blow-down of cylinder" in drawn["one-interference"]
    assert "EVO 1" in drawn["one-waves"]


def test_interference_is_told_by_row_and_column(detailed: Result, folder: Path) -> None:
    record = json.loads(
        invoke(
            folder / "tubular_coarse.yaml", "--speeds", SPEEDS, "--at", 2000, "--json",
            "--interference",
        ).stdout
    )  # fmt: skip
    (case,) = record["cases"]
    matrix = case["interference"]["matrix_pa"]
    rows = [line.split() for line in detailed.stdout.splitlines()]
    for i, name in enumerate(case["interference"]["cylinders"]):
        assert matrix[i][i] is None
        told = [
            "." if value is None else f"{round(1e-3 * value, 2) + 0.0:+.2f}" for value in matrix[i]
        ]
        assert [name, *told] in rows
        waves = {wave["source"]: wave["in_overlap_pa"] for wave in case["waves"][name]}
        for j, other in enumerate(case["interference"]["cylinders"]):
            assert i == j or waves[f"cylinder {other}"] == matrix[i][j]


def test_differences_have_the_first_case_as_their_base(folder: Path, printed: Result) -> None:
    cases = folder / "log_coarse.yaml", folder / "tubular_coarse.yaml"
    record = json.loads(invoke(*cases, "--speeds", SPEEDS, "--json").stdout)
    log, tubular = record["cases"]
    (told,) = record["differences"]
    assert (told["case"], told["base"]) == ("tubular coarse", "log coarse")
    for mine, theirs, row in zip(log["speeds"], tubular["speeds"], told["speeds"], strict=True):
        assert row["torque"] == theirs["torque_nm"] - mine["torque_nm"]
        assert row["torque_share"] == row["torque"] / mine["torque_nm"]
        # README and the reference: a log's back pressure lies above that of four runners
        assert row["back_pressure"] < 0.0


def test_record_has_its_documented_keys_and_adds_up(folder: Path, printed: Result) -> None:
    result = invoke(folder / "log_coarse.yaml", "--speeds", SPEEDS, "--json", "--tuning")
    record = json.loads(result.stdout)
    assert (record["schema"], record["outcome"]) == ("pulse1d cycle 1", "done")
    assert record["at_rev_per_min"] == 4000.0  # the upper of two in the middle
    (case,) = record["cases"]
    assert case["reused"] == 2
    assert case["modelled"] == ["1", "2", "3", "4"]
    assert Path(case["results"]).name == f"cycle-{case['key']}.nc"
    assert any("Heywood" in source for source in case["sources"])
    assert len(case["tuning"]) == 3 + 4
    for speed in case["speeds"]:
        engine = pulse1d.load(folder / "log_coarse.yaml").case.engine
        assert engine is not None
        turning = 2.0 * math.pi * speed["rev_per_min"] / 60.0
        # definitions; the record holds all digits
        assert speed["power_w"] == pytest.approx(speed["torque_nm"] * turning, rel=1e-12)
        assert speed["bmep_pa"] * engine.displacement == pytest.approx(
            4.0 * math.pi * speed["torque_nm"], rel=1e-12
        )
        residuals = [one["residual"] for one in speed["cylinders"]]
        assert speed["residual_spread"] == max(residuals) - min(residuals)
        assert min(residuals) <= speed["residual"] <= max(residuals)
        for one in speed["cylinders"]:
            assert 0.0 <= one["port_peak_after_evo_deg"] < 720.0
            assert one["port_peak_pa"] > one["back_pressure_pa"] + 1e5


def test_what_is_saved_comes_back_to_the_last_digit(folder: Path, marched: CaseSweep) -> None:
    assert marched.reused == 2
    dataset = load(marched.path)
    assert dict(dataset.sizes) | {"speed": 2, "cylinder": 4, "crank_angle": 720} == dict(
        dataset.sizes
    )
    assert dataset["p_port"].attrs["units"] == "Pa"
    assert dataset["brake"].attrs["units"] == "N m"
    assert dataset.attrs["design_sha256"] == marched.design.digest
    assert "log.yaml" in dataset.attrs["case_text"]
    (fresh,) = run_speeds(marched.design, [marched.answers[0].speed])
    saved = marched.answers[0]
    for mine, theirs in zip(fresh.cylinders, saved.cylinders, strict=True):
        assert np.array_equal(mine.p_port, theirs.p_port)
        assert replace(mine, p_port=0, u_port=0, T_port=0) == replace(
            theirs, p_port=0, u_port=0, T_port=0
        )
    assert {name: T.tolist() for name, T in fresh.T_wall.items()} == {
        name: T.tolist() for name, T in saved.T_wall.items()
    }
    assert fresh.changes == saved.changes


def test_saved_speeds_are_read_and_new_ones_added(folder: Path, tmp_path: Path) -> None:
    case = folder / "log_coarse.yaml"
    first = invoke(case, "--speeds", 3100, "--output", tmp_path)
    assert "read from" not in first.stdout
    second = invoke(case, "--speeds", "3000,3100", "--output", tmp_path)
    assert "1 speed read from" in second.stdout
    (file,) = tmp_path.glob("cycle-*.nc")
    assert load(file)["rev_per_min"].values.tolist() == [3000.0, 3100.0]
    again = invoke(case, "--speeds", 3100, "--output", tmp_path, "--fresh")
    assert "read from" not in again.stdout
    file.write_bytes(b"damaged")
    assert invoke(case, "--speeds", 3100, "--output", tmp_path).exit_code == 0


def test_a_bank_is_labelled(folder: Path, tmp_path: Path) -> None:
    bank = folder / "bank.yaml"
    bank.write_text(
        COARSE.format(base="log")
        + "engine:\n  cylinders: 8\n  firing order: [1, 8, 3, 6, 4, 5, 2, 7]\n",
        encoding="utf-8",
    )
    result = invoke(bank, "--speeds", 2000, "--output", tmp_path)
    assert result.exit_code == 0, result.output
    assert "4 of 8 cylinders" in result.stdout
    assert "of the 4 cylinders modelled, not of the engine" in result.stdout


def test_torque_of_a_bank_is_not_compared_with_an_engine(marched: CaseSweep) -> None:
    half = tuple(replace(one, cylinders=one.cylinders[:2]) for one in marched.answers)
    text = "\n".join(comparison([(marched, replace(marched, answers=half))]))
    (row,) = (line for line in text.splitlines() if line.startswith("    2000"))
    assert row.split()[1:3] == ["-", "-"]
    assert "No difference in torque" in " ".join(text.split())
    assert "mean" in text


def test_speeds_that_did_not_converge_are_marked_and_in_no_mean(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def one_fails(*arguments: Any, done: dict[float, Any], **options: Any) -> list[Any]:
        answers = run_speeds(*arguments, done=done, **options)
        done[answers[0].speed] = replace(answers[0], converged=False)
        return answers

    monkeypatch.setattr(cycle_sweep, "run_speeds", one_fails)
    cases = folder / "log_coarse.yaml", folder / "log_coarse.yaml"
    result = invoke(*cases, "--speeds", "1800,2000", "--output", tmp_path)
    assert result.exit_code == 3
    assert "* not converged" in result.stdout
    assert "mean  " not in result.stdout.partition("less")[2]  # of one speed there is none
    (row,) = {line for line in result.stdout.splitlines() if line.startswith("   1800 ")}
    assert row.endswith("*")
    record = invoke(*cases, "--speeds", "1800,2000", "--output", tmp_path, "--json")
    assert record.exit_code == 3
    assert json.loads(record.stdout)["outcome"] == "not converged"


def test_no_mean_takes_in_what_did_not_converge(marched: CaseSweep) -> None:
    low, high = marched.answers
    wild = replace(high, speed=50.0, converged=False)
    base = replace(marched, answers=(low, wild, high))
    better = tuple(
        replace(
            answer,
            cylinders=tuple(replace(one, imep=one.imep + more) for one in answer.cylinders),
        )
        for answer, more in zip(base.answers, (1e4, 9e5, 3e4), strict=True)
    )
    lines = difference_lines(base, replace(base, answers=better)).splitlines()
    engine = marched.design.case.engine
    assert engine is not None
    # torque of a mean effective pressure of four strokes; the wild speed gains 172 N m
    mean = 2e4 * engine.displacement / (4.0 * math.pi)
    assert lines[-1].split()[:2] == ["mean", f"{mean:+.2f}"]
    assert lines[-2].startswith(f"    4000  {3e4 * mean / 2e4:+8.2f}")
    assert lines[-3].endswith("*")


def test_an_interrupt_keeps_the_finished_speeds(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*arguments: Any, watch: Any, **options: Any) -> list[Any]:
        def told(k: int, cycle: int, change: float) -> None:
            if (k, cycle) == (1, 2):
                signal.raise_signal(signal.SIGINT)
            watch(k, cycle, change)

        return run_speeds(*arguments, watch=told, **options)

    monkeypatch.setattr(cycle_sweep, "run_speeds", interrupted)
    case = folder / "log_coarse.yaml"
    result = invoke(case, "--speeds", "3000:3900:300", "--output", tmp_path)
    assert result.exit_code == 130
    assert "are kept" in result.stderr
    (file,) = tmp_path.glob("cycle-*.nc")
    assert load(file)["rev_per_min"].values.tolist() == [3000.0]
    assert "log coarse at 3000 rev/min" in result.stdout
    monkeypatch.undo()
    again = invoke(case, "--speeds", "3000", "--output", tmp_path)
    assert again.exit_code == 0
    assert "1 speed read from" in again.stdout


@pytest.mark.parametrize(
    ("text", "rev_per_min"),
    [
        ("1500:6500:2500", [1500.0, 4000.0, 6500.0]),
        ("1500:6400:2500", [1500.0, 4000.0]),
        ("3000,2000,3000", [2000.0, 3000.0]),
        ("3000", [3000.0]),
        ("1000:1000.3:0.1", [1000.0, 1000.1, 1000.2, 1000.3]),
    ],
)
def test_speeds_are_read(text: str, rev_per_min: list[float]) -> None:
    # a division by 60 and a sum round in the last digit
    assert speeds_option(text) == pytest.approx([n / 60.0 for n in rev_per_min], rel=1e-14)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0", "not above 0"),
        ("-2000", "not above 0"),
        ("1000:2000:0", "not above 0"),
        ("1000:2000:-10", "not above 0"),
        ("2000:1000:10", "below the first"),
        ("1000:2000", "first, last and step"),
        ("", "not a number"),
        ("2000,,3000", "not a number"),
        ("2e3 rpm", "not a number"),
        ("inf", "not a number"),
        ("nan", "not a number"),
        ("50", "outside"),
        ("1e6", "outside"),
        ("1000:5000:1", f"more than {MOST}"),
        ("1000:1e300:1e-5", f"more than {MOST}"),
        (",".join(str(1000 + k) for k in range(MOST + 1)), f"more than {MOST}"),
    ],
)
def test_bad_speeds_are_refused(text: str, says: str, folder: Path) -> None:
    result = invoke(folder / "log_coarse.yaml", f"--speeds={text}")
    assert says in faults(result)


def test_the_details_need_a_speed_of_the_list() -> None:
    speeds = speeds_option("1000:2000:250")
    assert speed_at(None, speeds) == speeds[2]
    assert speed_at("1250", speeds) == speeds[1]
    with pytest.raises(InputError, match="nearest is 1250"):
        speed_at("1300", speeds)


def test_what_cannot_run_is_told_before_anything_is_marched(folder: Path) -> None:
    bare = folder / "bare.yaml"
    bare.write_text(COARSE.format(base="log") + "engine: {rod: null}\n", encoding="utf-8")
    result = invoke(bare, folder / "log_coarse.yaml", "--speeds", 2000, "--cylinder", 9)
    told = faults(result)
    assert "rod" in told
    assert "'9' is not a cylinder" in told
    assert "matrix" not in result.output


def test_a_late_and_flat_measurement_is_recognised(marched: CaseSweep, tmp_path: Path) -> None:
    cylinder = marched.answers[1].cylinders[1]
    angle = np.arange(0.0, 720.0, 1.5)
    early = np.interp((angle + 7.0) % 720.0, np.arange(720.0), cylinder.p_port, period=720.0)
    mean = early.mean()
    file = tmp_path / "port.csv"
    rows = [f"{a};{1e-3 * (mean + 1.25 * (p - mean)):.5f}" for a, p in zip(angle, early)]  # noqa: B905
    file.write_text("\n".join(["Crank angle [deg];Pressure [kPa abs]", *rows]), encoding="utf-8")
    measured = read_measured(file)
    found = lay_pressure(cylinder, measured.x, measured.y)
    assert found.shift == 7.0
    # interpolation between degrees, a hundredth of a kPa of rounding
    assert found.amplitude == pytest.approx(0.8, abs=1e-4)
    assert found.correlation == pytest.approx(1.0, abs=1e-6)
    result = invoke(
        marched.design.path, "--speeds", SPEEDS, "--cylinder", 2, "--measured", file,
        "--plot", tmp_path / "laid.svg",
    )  # fmt: skip
    text = " ".join(result.stdout.split())
    assert "port of cylinder 2 against port.csv: 480 rows" in text
    assert "comes 7.00 deg late" in text
    assert "its amplitude is 0.800" in text
    assert "measured, port.csv" in (tmp_path / "laid.svg").read_text(encoding="utf-8")


def test_measured_torque_is_laid_over_between_the_speeds(
    marched: CaseSweep, tmp_path: Path
) -> None:
    low, high = (summary.torque.brake for summary in marched.summaries)
    file = tmp_path / "torque.csv"
    file.write_text(
        f"torque [N m],speed [1/min]\n{0.5 * (low + high) - 3.0},3000\n{low - 5.0},2000\n99,7000\n",
        encoding="utf-8",
    )
    record = json.loads(
        invoke(marched.design.path, "--speeds", SPEEDS, "--measured", file, "--json").stdout
    )
    (told,) = record["measured"]
    assert told["rows"] == 2  # 7000 rev/min lies outside
    assert told["mean"] == pytest.approx(4.0, abs=1e-9)
    assert told["rms"] == pytest.approx(math.sqrt(17.0), abs=1e-9)  # of 3 and 5
    assert told["shift"] is None


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("crank angle [deg],pressure [kPa]\n1,2\n", 1, "abs"),
        ("crank angle,pressure [kPa abs]\n1,2\n", 1, "no unit"),
        ("crank angle [deg],torque [N m]\n1,2\n", 1, "headings are crank angle, torque"),
        ("speed [km/h],torque [N m]\n1,2\n", 1, "no unit of speed"),
        ("speed [1/min],torque [N m]\n2000,17x\n", 2, "not a number"),
        ("speed [1/min],torque [N m]\n2000,170\n\n3000\n", 4, "1 cells"),
        ("speed [1/min],speed [1/min]\n2000,170\n", 1, "twice"),
        ("time [s],torque [N m]\n1,2\n", 1, "no column 'time'"),
        ("crank angle [deg],pressure [kPa abs]\n1,101\n", 1, "too few"),
    ],
)
def test_errors_of_a_measured_file_name_file_and_line(
    text: str, line: int, says: str, tmp_path: Path, folder: Path
) -> None:
    file = tmp_path / "bad.csv"
    file.write_text(text, encoding="utf-8")
    told = faults(invoke(folder / "log_coarse.yaml", "--speeds", 2000, "--measured", file))
    assert f"bad.csv:{line}: " in told
    assert says in told


def test_bands_name_the_inputs_they_come_from(folder: Path, printed: Result) -> None:
    arguments = (folder / "tubular_coarse.yaml", "--speeds", SPEEDS, "--at", 4000, "--bands")
    result = invoke(*arguments)
    assert result.exit_code == 0, result.output
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert "5-95 % bands" in result.stdout
    case = json.loads(invoke(*arguments, "--json").stdout)["cases"][0]
    for band in case["bands"].values():
        sides = sum(change**2 for change in band["by_input"].values())
        assert band["half"] == pytest.approx(sides**0.5, rel=1e-12)  # summed by squares
    torque = case["bands"]["torque"]["by_input"]
    assert torque["friction"] < 0.0 < torque["inlet valve flow"]
    assert torque["cylinder wall heat"] < 0.0
    # a wider valve costs less pumping; what it does to the residual hangs on the waves
    assert case["bands"]["pmep"]["by_input"]["exhaust valve flow"] > 0.0
