"""The command line as a user meets it: output, exit codes, the JSON record, the picture."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

CASES = Path(__file__).parents[2] / "cases"
LOG, TUBULAR = CASES / "pump" / "log.yaml", CASES / "pump" / "tubular.yaml"


def pulse1d(*arguments: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pulse1d", *map(str, arguments)],
        capture_output=True,
        text=True,
        cwd=cwd,
        env=None,
    )


@pytest.fixture(scope="module")
def record() -> dict[str, object]:
    result = pulse1d("bench", LOG, TUBULAR, "--json")
    assert result.returncode == 0, result.stderr
    return json.loads(result.stdout)


def test_help_names_the_verbs() -> None:
    result = pulse1d("--help")
    assert result.returncode == 0
    for verb in ("new", "check", "bench"):
        assert verb in result.stdout


def test_text_fits_80_columns() -> None:
    result = pulse1d("bench", LOG, TUBULAR, "--budget", "--samples", 50)
    assert result.returncode == 0, result.stderr
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert "base: " in result.stdout
    assert "port to outlet" in result.stdout


def test_check_fits_80_columns() -> None:
    result = pulse1d("check", LOG, TUBULAR)
    assert result.returncode == 0, result.stderr
    assert max(len(line) for line in result.stdout.splitlines()) <= 80


def test_record_has_its_documented_keys(record: dict) -> None:
    assert set(record) >= {"schema", "reference", "depression_pa", "cases"}
    assert set(record["reference"]) >= {"p_pa", "t_k", "rh"}
    assert record["depression_pa"] == pytest.approx(28 * 249.09, rel=1e-12)  # definition of inH2O
    for case in record["cases"]:
        for port in case["ports"]:
            assert isinstance(port["port"], str)
            assert set(port["band"]) == {"p5", "p50", "p95"}
            assert port["band"]["p5"] < port["mdot_kg_s"] < port["band"]["p95"]
            assert {"q_m3_s", "cda_m2", "mach_max", "converged", "choked", "warnings"} <= set(port)
            for row in port["budget"]:
                assert set(row) == {"element", "loss_pa", "k", "k_ref", "source"}


def test_budgets_add_up_to_the_depression(record: dict) -> None:
    for case in record["cases"]:
        for port in case["ports"]:
            total = sum(row["loss_pa"] for row in port["budget"])
            # the last row is the remainder, so only summation's round-off is left
            assert total == pytest.approx(record["depression_pa"], rel=1e-12)
            assert port["budget"][-1]["element"] == "exit kinetic energy"


def test_text_and_record_agree(record: dict) -> None:
    text = pulse1d("bench", LOG).stdout
    rho = record["reference"]["rho_kg_m3"]
    for port in record["cases"][0]["ports"]:
        cfm = port["mdot_kg_s"] / rho / (0.3048**3 / 60.0)  # 1 CFM is a cubic foot a minute
        assert f"{cfm:.1f}" in text


def test_gain_is_the_ratio_of_flows(record: dict) -> None:
    flows = [{p["port"]: p["mdot_kg_s"] for p in case["ports"]} for case in record["cases"]]
    (difference,) = record["differences"]
    assert difference["base"] == record["cases"][0]["case"]
    for row in difference["ports"][:-1]:
        port = row["port"]
        # the same two numbers divided; round-off only
        assert row["gain"] == pytest.approx(flows[1][port] / flows[0][port] - 1.0, abs=1e-12)
        assert row["band"]["p5"] <= row["gain"] <= row["band"]["p95"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--ports", "1,9"), "no port '9'"),
        (("--depression", "28"), "has no unit"),
        (("--depression", "28 mm"), "not a unit of pressure"),
        (("--depression", "-3 kPa"), "above 0"),
        (("--direction", "sideways"), "it takes blown or sucked"),
        (("--direction", "sucked", "--depression", "2 bar"), "cannot be drawn"),
        (("--lift", "9"), "has no unit"),
        (("--lift", "90 mm"), "lift"),
        (("--plot", "picture.txt"), ".png"),
    ],
)
def test_bad_options_are_said_plainly(arguments: tuple[str, ...], words: str) -> None:
    result = pulse1d("bench", LOG, "--samples", "0", *arguments)
    assert result.returncode == 2
    assert words in result.stderr
    assert "Traceback" not in result.stderr


def test_ports_together_and_reverse() -> None:
    result = pulse1d("bench", LOG, "--together", "--samples", 0, "--json")
    assert result.returncode == 0, result.stderr
    flows = [p["mdot_kg_s"] for p in json.loads(result.stdout)["cases"][0]["ports"]]
    assert all(flow > 0.0 for flow in flows)
    result = pulse1d("bench", LOG, "--direction", "sucked", "--samples", 0, "--json")
    case = json.loads(result.stdout)["cases"][0]
    assert case["flow"] == "reverse"
    assert all(p["mdot_kg_s"] < 0.0 for p in case["ports"])


def test_lift_shows_part_head_and_both() -> None:
    result = pulse1d("bench", LOG, "--lift", "4 mm, 9 mm", "--samples", 0, "--json")
    assert result.returncode == 0, result.stderr
    low, high = json.loads(result.stdout)["cases"]
    assert low["lift_m"] == pytest.approx(0.004)  # as typed
    for case in (low, high):
        for port in case["ports"]:
            assert port["mdot_kg_s"] < port["part_alone"]["mdot_kg_s"]
            # as a stub the part recovers some of the jet: a stub raises readings by about 5 %
            # (common practice, no source)
            assert port["mdot_kg_s"] < 1.06 * case["head_alone"]["mdot_kg_s"]
    assert low["head_alone"]["mdot_kg_s"] < high["head_alone"]["mdot_kg_s"]


def test_plot_is_drawn(tmp_path: Path) -> None:
    for suffix, magic in ((".png", b"\x89PNG"), (".svg", b"<?xml"), (".pdf", b"%PDF")):
        file = tmp_path / f"bench{suffix}"
        result = pulse1d("bench", LOG, TUBULAR, "--samples", 50, "--plot", file)
        assert result.returncode == 0, result.stderr
        assert file.read_bytes().startswith(magic)


@pytest.mark.parametrize("layout", ["cast", "tubular"])
def test_new_writes_a_case_that_runs_and_never_overwrites(tmp_path: Path, layout: str) -> None:
    case = tmp_path / "mine.yaml"
    assert pulse1d("new", case, "--layout", layout).returncode == 0
    checked = pulse1d("check", case)
    assert checked.returncode == 0, checked.stderr
    assert "NOT CLOSE" not in checked.stdout
    assert pulse1d("bench", case, "--samples", 0).returncode == 0
    again = pulse1d("new", case, "--layout", layout)
    assert again.returncode == 2
    assert "exists already" in again.stderr


def test_failed_expectation_exits_1(tmp_path: Path) -> None:
    case = tmp_path / "mine.yaml"
    pulse1d("new", case)
    wrong = "expect:\n  - {port: 1, flow: 20 CFM, within: 1 %, reason: planted}\n"
    case.write_text(case.read_text(encoding="utf-8") + wrong, encoding="utf-8")
    result = pulse1d("bench", case, "--samples", 0)
    assert result.returncode == 1
    assert "planted" in result.stderr


def test_missing_file_is_said(tmp_path: Path) -> None:
    (tmp_path / "manifold.yaml").write_text("format: pulse1d case 1\n", encoding="utf-8")
    result = pulse1d("bench", tmp_path / "manifld.yaml")
    assert result.returncode == 2
    assert "manifold.yaml" in result.stderr
