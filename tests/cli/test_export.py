"""What ``--export`` writes is what the verb tells: the same numbers, by the catalogue's names."""

from __future__ import annotations

import csv
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from pulse1d.cli.catalogue import CATALOGUE
from pulse1d.cli.main import app
from pulse1d.errors import InputError

CASES = Path(__file__).parents[2] / "cases"
LOG, TUBULAR = CASES / "pump/log.yaml", CASES / "pump/tubular.yaml"
READINGS = CASES / "pump/readings_log_tubular.yaml"
STUDY = CASES / "pump/study_details.yaml"

Rows = list[dict[str, Any]]
Told = Callable[..., tuple[dict[str, Any], dict[str, Rows]]]


@pytest.fixture
def told(tmp_path: Path) -> Told:
    """A verb's record, and the rows of the tables it exports, by table."""

    def call(verb: str, *arguments: object) -> tuple[dict[str, Any], dict[str, Rows]]:
        path = tmp_path / "tables.json"
        line = [verb, *map(str, arguments), "--json", "--export", str(path)]
        result = CliRunner().invoke(app, line)
        assert result.exit_code == 0, result.output
        tables = json.loads(path.read_text(encoding="utf-8"))
        assert tables["about"]["verb"] == verb
        sheets = {sheet.name: sheet for sheet in CATALOGUE[verb]}
        names = [table["name"] for table in tables["tables"]]
        assert set(names) <= set(sheets)
        for table in tables["tables"]:
            sheet = sheets[table["name"]]
            fields = [vars(column.field) for column in sheet.columns]
            own = [{key: field[key] for key in ("name", "unit", "meaning")} for field in fields]
            assert table["fields"] == own or (sheet.more and own[-1] in table["fields"])
        return json.loads(result.stdout), {
            table["name"]: [
                dict(zip((f["name"] for f in table["fields"]), row, strict=True))
                for row in table["rows"]
            ]
            for table in tables["tables"]
        }

    return call


def test_check(told: Told) -> None:
    record, tables = told("check", LOG, TUBULAR)
    for case in record["cases"]:
        own = [row for row in tables["runners"] if row["case"] == case["case"]]
        assert [row["volume"] for row in own] == [r["volume_m3"] for r in case["runners"]]
        pieces = [(leg["leg"], p["piece"], p["turn_rad"])
                  for leg in case["legs"] for p in leg["pieces"]]  # fmt: skip
        assert pieces == [
            (row["leg"], row["piece"], row["turn"])
            for row in tables["pieces"]
            if row["case"] == case["case"]
        ]
        ends = [d for joint in case["joints"] for d in joint["distance_m"]]
        assert ends == [row["off"] for row in tables["ends"] if row["case"] == case["case"]]
    # by cases/pump/head.yaml the ports lie 96 mm apart in the plane of the flange
    starts = {row["leg"]: [row["x"], row["y"], row["z"]] for row in tables["centre_lines"]
              if row["point"] == 1}  # fmt: skip
    assert starts["runner 4"] == pytest.approx([0.288, 0.0, 0.0], abs=1e-12)
    # runner 1 of the log meets it squarely, by its case file
    assert tables["joints"][0]["turn"] == pytest.approx(1.5707963, abs=1e-7)


def test_bench(told: Told) -> None:
    record, tables = told("bench", LOG, TUBULAR, "--samples", 20, "--march", "--ports", 1)
    ports = [(case, port) for case in record["cases"] for port in case["ports"]]
    for row, (case, port) in zip(tables["ports"], ports, strict=True):
        rho = record["reference"]["rho_kg_m3"]
        assert row["design"] == case["digest"]
        assert (row["flow"], row["CdA"]) == (port["q_m3_s"], port["cda_m2"])
        assert row["flow_low"] == port["band"]["p5"] / rho
        budget = [r for r in tables["budget"] if r["case"] == case["case"]]
        assert [r["loss"] for r in budget] == [e["loss_pa"] for e in port["budget"]]
        assert sum(r["share"] for r in budget) == pytest.approx(1.0, abs=1e-9)
        parts = {r["cause"]: r["share"] for r in tables["variance"] if r["case"] == case["case"]}
        assert parts == port["variance_shares"]
        profile = [r["p0"] for r in tables["profile"] if r["case"] == case["case"]]
        # from the blower's stagnation pressure down to the room's and the jet's head
        assert profile == sorted(profile, reverse=True)
        assert profile[0] == pytest.approx(101325.0 + record["depression_pa"], abs=0.01)
    gain = record["differences"][0]["ports"][0]
    assert tables["differences"][0]["gain_high"] == gain["band"]["p95"]
    assert [row["marched_mass_flow"] for row in tables["marched"]] == [
        case["marched"][0]["mdot_kg_s"] for case in record["cases"]
    ]


def test_reduce(told: Told) -> None:
    record, tables = told("reduce", READINGS, "--at", "25 inH2O", "--monte-carlo", 1000)
    assert [row["flow"] for row in tables["rows"]] == [row["q_m3_s"] for row in record["rows"]]
    for row, mean in zip(tables["means"], record["means"], strict=True):
        assert (row["flow"], row["u_relative"]) == (mean["q_m3_s"], mean["u_relative"])
        own = [r["u_relative"] for r in tables["budget"]
               if (r["part"], r["port"]) == (mean["part"], mean["port"])]  # fmt: skip
        assert own == [line["u_relative"] for line in mean["budget"]]
        check = mean["monte_carlo"] or {}
        assert row["monte_carlo_high"] == check.get("high_relative")
    assert [row["flow"] for row in tables["converted"]] == [at["q_m3_s"] for at in record["at"]]
    assert [row["mass_flow"] for row in tables["leaks"]] == [
        leak["mdot_kg_s"] for leak in record["leaks"]
    ]
    assert [row["ratio"] for row in tables["drift"]] == [one["ratio"] for one in record["drift"]]


def test_parts(told: Told) -> None:
    record, tables = told("parts", READINGS, "--base", "log", "--other", "tubular")
    gains = [*record["ports"], record["whole"]]
    for row, gain in zip(tables["gains"], gains, strict=True):
        assert (row["gain_low"], row["p_holm"]) == (gain["gain_low"], gain["p_holm"])
        assert row["needed_80"] == gain["needed"]["0.8"]
        flows = [r["flow"] for r in tables["mounts"]
                 if (r["port"], r["part"]) == (gain["port"], "log")]  # fmt: skip
        if flows:
            assert min(flows) < gain["base_m3_s"] < max(flows)
    assert {row["cause"] for row in tables["causes"]} == {
        cause["cause"] for gain in gains for cause in gain["causes"]
    }


def test_fit_and_compare(told: Told) -> None:
    record, tables = told("fit", TUBULAR, READINGS, "--leave-out", 3)
    compared = record["comparison"]
    assert [row["residual"] for row in tables["ports"]] == [
        p["residual"] for p in compared["ports"]
    ]
    assert [row["after"] for row in tables["fitted"]] == record["after"]
    assert [(row["cause"], row["left"]) for row in tables["causes"]] == [
        (cause["cause"], cause["spread"]) for cause in record["causes"]
    ]
    explained = len(compared["common_explanations"])
    assert [row["port"] for row in tables["explanations"]].count("") == explained
    assert len(tables["suppositions"]) == len(compared["suppositions"])


def test_compare(told: Told) -> None:
    record, tables = told("compare", TUBULAR, READINGS)
    for row, port in zip(tables["ports"], record["ports"], strict=True):
        assert (row["measured_flow"], row["in_sigma"]) == (port["measured_m3_s"], port["ratio"])
        own = [r["sigmas"] for r in tables["explanations"] if r["port"] == port["port"]]
        assert own == [one["sigmas"] for one in port["explanations"]]


def test_pulse(told: Told, tmp_path: Path) -> None:
    case, short = CASES / "rig/expansion.yaml", ("--cell", "40 mm", "--duration", "20 ms")
    record, tables = told("pulse", case, *short, "--output", tmp_path)
    for row, station in zip(tables["stations"], record["stations"], strict=True):
        assert (row["arrival"], row["peak"]) == (station["arrival_s"], station["peak_pa"])
        trace = [r["p"] for r in tables["traces"] if r["station"] == row["station"]]
        assert max(trace) - record["room"]["p_pa"] == pytest.approx(row["peak"], abs=1e-6)
    assert sum(row["cells"] for row in tables["pipes"]) == record["mesh"]["cells"]


def test_cycle(told: Told, tmp_path: Path) -> None:
    (tmp_path / "torque.csv").write_text("speed [1/min],torque [N m]\n2000,30\n", "utf-8")
    coarse = []
    for name in ("plain", "megaphone"):
        shutil.copytree(CASES / "single", tmp_path / name)
        coarse.append(tmp_path / name / "own.yaml")
        coarse[-1].write_text(
            f"format: pulse1d case 1\nbased on: {name}.yaml\nabout: {{name: {name}}}\n"
            "numerics: {cell: 80 mm}\n",
            "utf-8",
        )
    record, tables = told(
        "cycle", *coarse, "--speeds", 2000,
        "--output", tmp_path, "--waves", "--tuning", "--bands",
        "--measured", tmp_path / "torque.csv",
    )  # fmt: skip
    for row, case in zip(tables["speeds"], record["cases"], strict=True):
        speed = case["speeds"][0]
        assert (row["torque"], row["pmep"]) == (speed["torque_nm"], speed["pmep_pa"])
        mine = [r for r in tables["traces"] if r["case"] == case["case"]]
        assert len(mine) == 720
        cylinder = speed["cylinders"][0]
        assert max(r["p_port"] for r in mine) == cylinder["port_peak_pa"]
        orders = {f"{r['order']:g}": r["mass_flow"] for r in tables["orders"]
                  if r["case"] == case["case"]}  # fmt: skip
        assert orders == speed["outlet_orders_kg_s"]
        (waves,) = case["waves"].values()
        assert [r["strength"] for r in tables["waves"] if r["case"] == case["case"]] == [
            wave["strength_pa"] for wave in waves
        ]
        bands = [r for r in tables["bands"] if r["case"] == case["case"]]
        assert bands[0]["torque"] == case["bands"]["torque"]["half"]
        squares = sum(r["torque"] ** 2 for r in bands[1:])
        assert squares == pytest.approx(bands[0]["torque"] ** 2, rel=1e-12)
        tuned = [r["length"] for r in tables["tuning"] if r["case"] == case["case"]]
        assert tuned == [one["length_m"] for one in case["tuning"]]
    assert tables["differences"][0]["torque"] == record["differences"][0]["speeds"][0]["torque"]
    assert tables["measured"][0]["mean_torque"] == pytest.approx(
        record["cases"][0]["speeds"][0]["torque_nm"] - 30.0
    )
    assert tables["measured"][0]["rms_pressure"] is None


def test_life(told: Told) -> None:
    record, tables = told("life", CASES / "pump/tubular_slotted.yaml")
    design = record["designs"][0]
    for row, place in zip(tables["places"], design["places"], strict=True):
        assert (row["life_low"], row["strain_range"]) == (place["life_low"], place["strain_range"])
        by_method = {r["method"]: r["life"] for r in tables["methods"]
                     if r["place"] == place["place"]}  # fmt: skip
        assert by_method == place["life_by_method"]
    hottest: dict[str, float] = {}
    for row in tables["temperatures"]:
        hottest[row["node"]] = max(hottest.get(row["node"], 0.0), row["temperature"])
    assert hottest == design["hottest_k"]
    assert [row["difference"] for row in tables["heat"]] == [
        peak["difference_k"] for peak in design["peak_differences"]
    ]
    forces = [bolt["cold_again_n"] for key in ("bolts", "bolts_on_longer_sleeves")
              for bolt in design[key]]  # fmt: skip
    assert [row["cold_again"] for row in tables["bolts"]] == forces
    assert [row["life_factor"] for row in tables["sensitivity"]] == [
        one["life_factor"] for one in design["sensitivity"]
    ]
    assert {row["leg"] for row in tables["gas"]} == set(design["gas"]["legs"])


def test_search(told: Told, tmp_path: Path) -> None:
    record, tables = told("search", STUDY, "--points", 12, "--workers", 1, "--output", tmp_path)
    designs = tables["designs"]
    assert len(designs) == 12
    assert designs[0]["called"].startswith("base")
    assert sum(row["front"] for row in designs) == len(record["front"])
    aim = record["aims"][0]["answer"]
    best = max(designs, key=lambda row: row[aim])
    assert best["front"]
    assert {"failure", "key", "weld bead"} <= set(best)


def test_slopes_and_shares(told: Told, tmp_path: Path) -> None:
    record, tables = told("search", STUDY, "--slopes", "--workers", 1, "--output", tmp_path)
    slopes = {(r["answer"], r["parameter"]): r["slope"] for r in tables["slopes"]}
    for one in record["slopes"]:
        assert slopes[one["answer"], one["parameter"]] == one["slope"]
    (tmp_path / "tables.json").unlink()
    record, tables = told(
        "search",
        STUDY,
        "--shares",
        "mean flow",
        "--points",
        24,
        "--workers",
        1,
        "--output",
        tmp_path,
    )
    assert {row["unit"] for row in tables["shares"]} == {"m3/s"}  # Morris' effects, of 24 points
    assert [row["total"] for row in tables["shares"]] == [
        one["total"] for one in record["shares"][0]["shares"]
    ]


def test_explain(told: Told) -> None:
    record, tables = told("explain", "bend")
    known = record["elements"][0]["tables"]
    numbers = [cell for table in known for row in table["rows"] for cell in row[1:]]
    assert [row["value"] for row in tables["values"]] == numbers
    assert len(tables["sources"]) == len(record["elements"][0]["sources"])


@pytest.mark.parametrize("there", ["a.csv", "a-joints.csv"])
def test_a_name_that_is_taken_is_told_before_anything_is_computed(
    tmp_path: Path, there: str
) -> None:
    (tmp_path / there).write_text("mine", "utf-8")
    line = ["check", str(LOG), "--export", str(tmp_path / "a.csv")]
    result = CliRunner().invoke(app, line)
    assert isinstance(result.exception, InputError)
    assert there in str(result.exception)
    assert result.stdout == ""
    assert (tmp_path / there).read_text("utf-8") == "mine"


def test_quiet_says_nothing_of_files(tmp_path: Path) -> None:
    for quiet, said in (([], True), (["--quiet"], False)):
        path = tmp_path / f"a{len(quiet)}.csv"
        result = CliRunner().invoke(app, ["check", str(LOG), "--export", str(path), *quiet])
        assert result.exit_code == 0, result.output
        assert ("exported: " in result.stderr) is said
        with path.with_stem(f"{path.stem}-runners").open(newline="", encoding="utf-8") as file:
            assert next(csv.reader(file))[:2] == ["case", "port"]
