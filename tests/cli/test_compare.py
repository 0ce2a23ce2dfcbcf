"""``compare`` and ``fit`` on the demo readings, as a user meets them."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

PUMP = Path(__file__).parents[2] / "cases" / "pump"
TUBULAR, READINGS = PUMP / "tubular.yaml", PUMP / "readings_log_tubular.yaml"


def pulse1d(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pulse1d", *map(str, arguments)], capture_output=True, text=True
    )


def test_the_planted_fault_is_named(tmp_path: Path) -> None:
    picture = tmp_path / "gaps.png"
    result = pulse1d("compare", TUBULAR, READINGS, "--plot", picture)
    assert result.returncode == 0, result.stderr
    words = " ".join(result.stdout.split())
    assert "No sensible set of coefficients explains these readings" in words
    assert "Likeliest: port 3 alone reads" in words
    assert "gasket lip" in words
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert picture.stat().st_size > 10_000


def test_the_sound_part_raises_no_alarm() -> None:
    record = json.loads(pulse1d("compare", PUMP / "log.yaml", READINGS, "--json").stdout)
    assert record["explained"]
    assert record["suppositions"] == []
    assert record["part"] == "log"
    assert [port["port"] for port in record["ports"]] == ["1", "2", "3", "4"]
    for port in record["ports"]:
        gap = port["measured_m3_s"] / port["predicted_m3_s"]
        assert abs(gap - 1.0) < 0.06  # the invented model error is a few per cent


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("pump")
    for name in ("tubular.yaml", "log.yaml", "head.yaml", READINGS.name):
        shutil.copy(PUMP / name, found)
    return found


def test_fit_writes_a_calibration_that_the_case_reads(folder: Path) -> None:
    case, file = folder / "tubular.yaml", folder / "calibration.yaml"
    readings = folder / READINGS.name
    result = pulse1d("fit", case, readings, "--leave-out", "3", "--output", file)
    assert result.returncode == 0, result.stderr
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert "Identifiability" in result.stdout
    before = json.loads(pulse1d("compare", case, readings, "--json").stdout)
    case.write_text(case.read_text("utf-8") + "\ncalibration: calibration.yaml\n", "utf-8")
    after = json.loads(pulse1d("compare", case, readings, "--json").stdout)
    gaps = [
        [abs(port["residual"]) for port in record["ports"] if port["port"] != "3"]
        for record in (before, after)
    ]
    assert max(gaps[1]) < 0.3 * max(gaps[0])
    assert after["suppositions"][0]["port"] == "3"  # the fault is not calibrated away
    assert after["ports"][0]["u_predicted"] < 0.5 * before["ports"][0]["u_predicted"]
    again = pulse1d("fit", case, readings, "--output", file)
    assert again.returncode == 2
    assert "exists already" in again.stderr


def test_fit_says_how_well_it_foretells_a_port_left_out(folder: Path) -> None:
    record = json.loads(pulse1d("fit", PUMP / "log.yaml", READINGS, "--json").stdout)
    assert record["rms"]["after"] < record["rms"]["left_out"] < record["rms"]["before"]
    assert record["calibration"]["corrections"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((PUMP / "divided.yaml", READINGS), "--part: log, tubular"),
        ((TUBULAR, READINGS, "--part", "cast"), "no part 'cast'"),
        ((PUMP.parent / "v8" / "tubular.yaml", READINGS, "--part", "log"), "no port"),
        ((TUBULAR, PUMP / "none.yaml"), "not there"),
    ],
)
def test_bad_input_is_refused(arguments: tuple[object, ...], words: str) -> None:
    result = pulse1d("compare", *arguments)
    assert result.returncode == 2
    assert words in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("ports", ["9", "1,2,3,4"])
def test_ports_that_cannot_be_left_out(ports: str) -> None:
    result = pulse1d("fit", TUBULAR, READINGS, "--leave-out", ports)
    assert result.returncode == 2
    assert "--leave-out" in result.stderr
