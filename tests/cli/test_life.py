"""The life verb as a user meets it: cautions, ranking, reasons, record, pictures, refusals."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

import pulse1d
from pulse1d.cli.main import app
from pulse1d.errors import InputError
from pulse1d.run.cautions import LIFE
from pulse1d.run.life_words import life

PUMP = Path(__file__).parents[2] / "cases" / "pump"
LEGS = [leg.name for leg in pulse1d.load(PUMP / "log.yaml").network.legs]
DEMOS = [PUMP / f"{name}.yaml" for name in ("log", "tubular", "tubular_slotted")]


def invoke(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["life", *map(str, arguments)])


def told(*arguments: object) -> dict[str, Any]:
    result = invoke(*arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def case(tmp_path: Path, text: str, base: str = "tubular") -> Path:
    for file in PUMP.glob("*.yaml"):
        shutil.copy(file, tmp_path)
    path = tmp_path / "own.yaml"
    path.write_text(
        f"format: pulse1d case 1\nbased on: {base}.yaml\nabout: {{name: own}}\n{text}", "utf-8"
    )
    return path


@pytest.fixture(scope="module")
def demos() -> dict[str, Any]:
    return told(*DEMOS)


def test_cautions_come_first_lines_fit_and_pictures_are_drawn(tmp_path: Path) -> None:
    result = invoke(*DEMOS, "--plot", tmp_path / "life.svg")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("Cautions\n  A screening, never a certificate.")
    assert max(map(len, result.stdout.splitlines())) <= 80
    rank = result.stdout[result.stdout.index("Ranking") :]
    names = [rank.index(name) for name in ("pump log", "pump tubular 1 5/8", "pump tubular, slo")]
    assert names == sorted(names)
    # six places of three designs, each with its reason
    assert len(re.findall(r"most\s+gained\s+by", rank)) == 18
    drawn = {path.stem: path.read_text(encoding="utf-8") for path in tmp_path.glob("*.svg")}
    assert set(drawn) == {"life", "life-heat", "life-strain"}
    for text in drawn.values():
        assert "pump log" in text
        assert "pump tubular 1 5/8" in text
    assert "never a certificate" in drawn["life"]


def test_the_record_says_where_it_strains_and_why(demos: dict[str, Any]) -> None:
    assert demos["schema"] == "pulse1d life 1"
    assert demos["cautions"] == list(LIFE)
    for design in demos["designs"]:
        assert design["energy_gap"] < 1e-8  # what the issue asks
        lows = [place["life_low"] for place in design["places"]]
        assert lows == sorted(lows)
        for place in design["places"]:
            assert place["life_low"] <= place["life_middle"] <= place["life_high"]
            assert place["reason"]
        assert design["sources"]
    log, tubular, slotted = demos["designs"]
    assert log["places"][0]["place"].startswith(("log", "runner"))
    assert tubular["places"][0]["place"].endswith("at its flange")
    # durability.md D2: tube against flange some 450 K after 60 to 120 s, cast walls later; gas and
    # flange differ here, so wide ranges
    (tube,) = {round(p["at_s"], -1) for p in tubular["peak_differences"]}
    assert 60.0 <= tube <= 130.0
    assert all(350.0 < p["difference_k"] < 500.0 for p in tubular["peak_differences"])
    assert all(p["at_s"] > 200.0 for p in log["peak_differences"])
    # sleeves: less lost to settling, less left out of it by heat
    short, long = tubular["bolts"][0], slotted["bolts"][0]
    assert long["compliance_m_n"] > 2.0 * short["compliance_m_n"]
    assert long["settled_n"] > short["settled_n"]
    assert tubular["bolts_on_longer_sleeves"][0]["settled_n"] > short["settled_n"]
    # a dressed weld and cuts live longer
    assert slotted["places"][0]["life_low"] > tubular["places"][0]["life_low"]


def test_too_hot_is_said_and_life_refused(tmp_path: Path) -> None:
    path = case(tmp_path, "durability:\n  gas: {temperature: 1300 degC}\n", "log")
    (design,) = told(path)["designs"]
    refused = design["places"][0]
    assert refused["life_low"] is None
    assert "above the limit of grey iron, 600 degC: no life is told" in refused["refused"]
    (note,) = (note for note in design["notes"] if "above the limit of grey iron" in note)
    # the hottest of the legs by name, there and where the tables end
    hottest = max((T, leg) for leg, T in design["hottest_k"].items() if leg in LEGS)[1]
    assert note.startswith(f"the wall of {hottest} reaches")
    assert any(f"the wall of {hottest}, is beyond the tables" in note for note in design["notes"])
    assert design["sensitivity"] == []
    text = invoke(path).stdout
    assert "too hot" in text


def test_a_metal_of_the_case_is_used(tmp_path: Path) -> None:
    text = """wall: {material: my steel}
durability:
  materials:
    my steel: {like: "304", expansion: [[20 degC, 10], [700 degC, 10]]}
"""
    own, shipped = (told(path)["designs"][0] for path in (case(tmp_path, text), DEMOS[1]))
    assert own["metals"]["wall"] == "my steel"
    assert own["places"][0]["strain_range"] < 0.8 * shipped["places"][0]["strain_range"]


def test_gas_from_the_engine_differs_by_leg(tmp_path: Path) -> None:
    gas = "{temperature: ~, heat transfer: ~, from: cycle, speed: 4000}"
    path = case(tmp_path, f"durability:\n  gas: {gas}\nnumerics: {{cell: 25 mm}}\n")
    (design,) = told(path)["designs"]
    assert design["gas"]["from"].startswith("cycle mean at 4000 rev/min, pipe by pipe")
    states = [design["gas"]["legs"][f"runner {port}"] for port in "1234"]
    assert len({state["h_w_m2_k"] for state in states}) == 4
    # durability.md D2: pulsed flow 100 to 300 W/m2/K; gas between 700 and 1000 degC at full load
    assert all(100.0 < state["h_w_m2_k"] < 300.0 for state in states)
    assert all(973.0 < state["T_k"] < 1273.0 for state in states)


def test_bolts_that_yield_and_bolts_that_relax_are_told(tmp_path: Path) -> None:
    text = """durability:
  flange: {material: "304"}
  head: {temperature: 330 degC, contact: 100 W/m^2/K}
  fasteners: {preload: 22 kN}
"""
    (design,) = told(case(tmp_path, text))["designs"]
    (notes,) = {tuple(bolts["notes"]) for bolts in design["bolts"]}
    assert "yields hot" in notes
    assert any(note.startswith("relaxes") for note in notes)
    assert any("they relax" in note for note in design["notes"])
    bolts = design["bolts"][0]
    assert bolts["cold_again_n"] < bolts["settled_n"]


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    result = invoke(PUMP / "log.yaml", PUMP.parent / "rig" / "not_there.yaml")
    assert result.exit_code != 0
    bare = case(tmp_path, "durability: ~\nwall: {material: ~}\n", "log")
    result = invoke(bare)
    assert isinstance(result.exception, InputError)
    said = [problem.message for problem in result.exception.problems]
    assert said == [
        "the case has no `durability`, so its life cannot be screened",
        "the wall's metal is not stated",
    ]


def test_a_design_without_places_in_space_is_screened_by_temperature_alone(tmp_path: Path) -> None:
    path = tmp_path / "one.yaml"
    path.write_text(
        """format: pulse1d case 1
about: {name: one}
head: {ports: [{name: 1}]}
wall: {thickness: 4 mm, material: simo ductile iron}
runners:
  - port: 1
    section: {shape: round, bore: 40 mm}
    pieces: [{kind: straight, length: 300 mm}]
    to: outlet
durability:
  gas: {temperature: 800 degC, heat transfer: 150 W/m^2/K}
""",
        "utf-8",
    )
    (design,) = told(path)["designs"]
    assert [place["place"] for place in design["places"]] == ["runner 1 at its flange"]
    assert design["places"][0]["from_legs"] == 0.0
    assert design["bolts"] == []
    assert design["end_stud"] is None
    assert invoke(path).exit_code == 0


def test_lives_are_told_to_one_digit() -> None:
    assert [life(x) for x in (0.4, 8.7, 96.0, 4321.0, 96_000.0, 3.2e6, 2e7, float("nan"))] == [
        "< 1", "9", "100", "4000", "1e5", "3e6", "> 1e7", "-",
    ]  # fmt: skip


def test_flow_and_engine_do_not_see_durability(tmp_path: Path) -> None:
    bare = pulse1d.load(case(tmp_path, "durability: ~\n"))
    with_it = pulse1d.load(DEMOS[1])
    assert bare.case.durability is None
    assert bare.digest != ""
    assert pulse1d.load(case(tmp_path, "")).digest == bare.digest
    assert with_it.case.durability is not None


def test_every_case_that_lacks_its_block_is_told_at_once_with_what_to_add(tmp_path: Path) -> None:
    first = case(tmp_path, "durability: ~\n")
    second = first.with_name("second.yaml")
    second.write_text(first.read_text("utf-8"), "utf-8")
    result = invoke(PUMP / "log.yaml", first, second)
    assert isinstance(result.exception, InputError)
    problems = result.exception.problems
    assert [Path(problem.file).name for problem in problems] == ["own.yaml", "second.yaml"]
    # the lines that it names are enough
    lines = re.findall(r"`(durability: .*?)`", problems[0].remedy)
    assert len(lines) == 2
    for k, added in enumerate(lines):
        log = (PUMP / "log.yaml").read_text("utf-8")
        whole = first.with_name(f"whole{k}.yaml")
        whole.write_text(re.sub(r"(?ms)^durability:.*?(?=^expect)", f"{added}\n", log), "utf-8")
        assert pulse1d.load(whole).case.durability is not None
    assert invoke(first.with_name("whole0.yaml"), "--json").exit_code == 0


def test_a_weight_behind_the_outlet_strains_the_legs_more(tmp_path: Path) -> None:
    hung = "durability:\n  hung: {mass: 10 kg, lever: [0 mm, -300 mm, 0 mm], shake: 4}\n"
    heavy, bare = (told(path)["designs"][0] for path in (case(tmp_path, hung), DEMOS[1]))

    def worst(design: dict[str, Any]) -> float:
        return max(p["from_legs"] for p in design["places"] if p["place"].endswith("flange"))

    assert worst(heavy) > 1.02 * worst(bare)
