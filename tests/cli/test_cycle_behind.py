"""Layouts behind one downstream system and with their outlets open: numbers, keys, words."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import Result

import pulse1d
from pulse1d.case.design import Design
from pulse1d.cli.cycle_differences import comparison
from pulse1d.errors import InputError
from pulse1d.network.crossover import Crossover
from pulse1d.results.store import load
from pulse1d.run.behind import behind
from pulse1d.run.cycle_sweep import CaseSweep, provenance, sweep
from pulse1d.run.downstream import described, same, system
from pulse1d.run.settings import OPEN, STATED, Setting, settings
from tests.cycle_command import faults, invoke

PUMP = Path(__file__).parents[2] / "cases" / "pump"
HEAD = """format: pulse1d case 1
based on: {base}.yaml
about: {{name: {name}}}
numerics: {{cell: 20 mm}}
expect: []
"""
"""Coarse cells: what is tested here does not depend on them."""
OWN = """downstream:
  section: {shape: round, bore: 50 mm}
  pieces:
    - {kind: straight, length: 300 mm}
    - {kind: step, to: {shape: round, bore: 90 mm}}
    - {kind: straight, length: 150 mm}
"""
"""Without an end and a wall of its own: those of the part in front."""
SPEED = 2500.0 / 60.0


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pump engine's cases, and coarse ones: with and without what follows the outlet."""
    made = tmp_path_factory.mktemp("behind") / "pump"
    shutil.copytree(PUMP, made, ignore=shutil.ignore_patterns("*.results"))
    for name, base, more in (
        ("a", "log", ""),
        ("b", "tubular", ""),
        ("a_own", "log", OWN),
        ("b_own", "tubular", OWN),
    ):
        text = HEAD.format(base=base, name=name.replace("_", " ")) + more
        (made / f"{name}.yaml").write_text(text, encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def designs(folder: Path) -> dict[str, Design]:
    names = ("a", "b", "a_own", "b_own", "system")
    return {name: pulse1d.load(folder / f"{name}.yaml") for name in names}


@pytest.fixture(scope="module")
def both(folder: Path, designs: dict[str, Design]) -> Result:
    """Two parts behind one system and open."""
    result = invoke(
        folder / "a.yaml", folder / "b.yaml", "--downstream", folder / "a_own.yaml", "--bare",
        "--speeds", 2500, "--output", folder / "results", "--plot", folder / "two.svg",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    return result


@pytest.fixture(scope="module")
def record(folder: Path, both: Result) -> dict[str, Any]:
    result = invoke(
        folder / "a.yaml", folder / "b.yaml", "--downstream", folder / "a_own.yaml", "--bare",
        "--speeds", 2500, "--output", folder / "results", "--json",
    )  # fmt: skip
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def marched(design: Design, folder: Path, setting: Setting = STATED) -> CaseSweep:
    return sweep(design, [SPEED], output=folder, setting=setting)


def test_a_swapped_system_is_the_stated_one_to_the_last_bit(
    folder: Path, designs: dict[str, Design], both: Result
) -> None:
    """The case that states the system of ``a own`` itself, with its end and its wall spelt out."""
    stated = folder / "b_as_a.yaml"
    stated.write_text(
        HEAD.format(base="b", name="b as a")
        + "downstream:\n"
        + "  section: {shape: round, bore: 50 mm}\n"
        + "  pieces:\n"
        + "    - {kind: step, name: downstream wall, to: {shape: round, bore: 50 mm},\n"
        + "       surface: green sand cast}\n"
        + OWN.partition("pieces:\n")[2]
        + "  outlet: {flanged: true}\n",
        encoding="utf-8",
    )
    own = pulse1d.load(stated)
    swapped = behind(designs["b"], designs["a_own"])
    assert swapped.case.downstream == own.case.downstream
    (mine,) = marched(swapped, folder / "results").answers
    (theirs,) = marched(own, folder / "results").answers
    for one, other in zip(mine.cylinders, theirs.cylinders, strict=True):
        assert one.trapped == other.trapped
        assert one.imep == other.imep
        assert np.array_equal(one.p_port, other.p_port)
    assert np.array_equal(mine.outlet_mdot, theirs.outlet_mdot)


def test_an_open_outlet_is_the_case_without_a_system(designs: dict[str, Design]) -> None:
    bare = behind(designs["a_own"], None)
    assert bare.case == designs["a"].case.model_copy(update={"about": bare.case.about})
    assert behind(designs["a"], None) is designs["a"]
    renamed = replace(bare, case=bare.case.model_copy(update={"about": designs["a"].case.about}))
    assert provenance(renamed).key == provenance(designs["a"]).key  # so it is the same run


def test_a_system_keeps_its_end_and_wall_wherever_it_goes(designs: dict[str, Design]) -> None:
    """The log is flanged at its end and of sand, the tube has a free end and is smooth."""
    a, b = designs["a"], designs["b"]
    assert not same([system(designs["a_own"]), system(designs["b_own"])])
    for design in (a, b, designs["b_own"]):
        swapped = behind(design, designs["a_own"])
        assert same([system(swapped), system(designs["a_own"])])
        assert swapped.network.layout.outlet.flanged
        # walls of the lengths behind the outlet: equivalent sand roughness of green sand, 250 um
        out = swapped.network.legs[swapped.network.ends.index("outlet")]
        last = out.pieces[-1].elements[0].steps[0]
        assert last.eps == pytest.approx(250e-6, rel=1e-12)  # a unit read from text
    assert behind(a, designs["a_own"]).case.downstream == designs["a_own"].case.downstream
    assert behind(designs["a_own"], designs["a_own"]) is designs["a_own"]


def test_other_names_are_no_other_system(designs: dict[str, Design]) -> None:
    a = designs["a_own"]
    own = a.case.downstream
    assert own is not None
    pieces = tuple(piece.model_copy(update={"name": "x"}) for piece in own.pieces)
    case = a.case.model_copy(update={"downstream": own.model_copy(update={"pieces": pieces})})
    assert same([system(a), system(replace(a, case=case))])
    longer = own.pieces[0].model_copy(update={"length": 0.31})
    other = own.model_copy(update={"pieces": (longer, *own.pieces[1:])})
    changed = replace(a, case=a.case.model_copy(update={"downstream": other}))
    assert not same([system(a), system(changed)])


def test_the_network_is_that_of_the_new_system(designs: dict[str, Design]) -> None:
    _ = designs["a"].network, designs["a"].digest  # built, and not to be kept
    swapped = behind(designs["a"], designs["system"])
    more = system(designs["system"])
    assert more is not None
    length = sum(piece.path_length() for piece in more.pieces)
    out = designs["a"].network.ends.index("outlet")
    grown = swapped.network.legs[out].length - designs["a"].network.legs[out].length
    assert grown == pytest.approx(length, rel=1e-12)  # sums in another order
    assert swapped.digest != designs["a"].digest


def test_every_run_has_its_own_key_and_says_what_it_was(
    folder: Path, designs: dict[str, Design], record: dict[str, Any]
) -> None:
    found = [case["key"] for case in record["cases"]]
    found += [provenance(designs[name]).key for name in ("a_own", "b_own", "system")]
    assert len(set(found)) == len(found)
    saved = {path.stem: load(path).attrs for path in (folder / "results").glob("*.nc")}
    told = [saved[f"cycle-{case['key']}"]["case"] for case in record["cases"]]
    assert told == [
        "a, behind the downstream system of a own", "b, behind the downstream system of a own",
        "a, outlet open", "b, outlet open",
    ]  # fmt: skip
    first = saved[f"cycle-{record['cases'][0]['key']}"]
    assert {"a.yaml", "a_own.yaml", "log.yaml"} <= set(json.loads(first["case_text"]))


def test_the_record_tells_both_settings(record: dict[str, Any]) -> None:
    cases = {(case["case"], case["setting"]): case for case in record["cases"]}
    assert list(cases) == [("a", "behind"), ("b", "behind"), ("a", "open"), ("b", "open")]
    assert all(case["reused"] == 1 for case in cases.values())
    here, there = cases["a", "behind"]["downstream"], cases["b", "behind"]["downstream"]
    assert here == there
    assert here["pieces"] == 3
    assert here["length_m"] == pytest.approx(0.45, rel=1e-12)  # a sum of two lengths
    assert cases["a", "open"]["downstream"] is None
    for told, setting in zip(record["differences"], ("behind", "open"), strict=True):
        assert (told["base"], told["case"], told["setting"]) == ("a", "b", setting)
        assert told["same_downstream"] is True
        (row,) = told["speeds"]
        mine, theirs = (cases[name, setting]["speeds"][0] for name in "ab")
        assert row["torque"] == theirs["torque_nm"] - mine["torque_nm"]
    for name in "ab":
        back = {cases[name, s]["speeds"][0]["back_pressure_pa"] for s in ("behind", "open")}
        assert len(back) == 2  # not one run told twice


def test_text_and_picture_tell_both_settings(both: Result, folder: Path) -> None:
    assert max(len(line) for line in both.stdout.splitlines()) <= 80
    words = " ".join(both.stdout.split())
    assert "Warning" not in words
    assert words.count("the system of a own (3 pieces, 450 mm)") == 2
    assert "b less a (the base), behind the same system" in words
    assert "b less a (the base), outlet open" in words
    assert words.count("Engine as above.") == 1
    assert "Torque of b less that of a at 2500 rev/min: " in words
    drawn = (folder / "two-speeds.svg").read_text(encoding="utf-8")
    for label in ("a, behind the same system", "b, outlet open"):
        assert label in drawn
    assert "behind the same system" in (folder / "two.svg").read_text(encoding="utf-8")


def test_a_case_without_a_system_is_run_and_told_once(folder: Path, both: Result) -> None:
    result = invoke(
        folder / "a.yaml", folder / "a_own.yaml", "--bare", "--speeds", 2500, "--output",
        folder / "results", "--plot", folder / "own.svg",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    words = " ".join(result.stdout.split())
    assert "outlet open: the same run, for nothing follows this outlet" in words
    assert words.count("Warning: what follows the outlet differs") == 1
    assert "a own less a (the base), outlet open" in words
    saved = [line for line in result.stderr.splitlines() if line.startswith("saved: ")]
    assert len(saved) == len(set(saved)) == 3
    drawn = (folder / "own-speeds.svg").read_text(encoding="utf-8")
    assert "a own, outlet open" in drawn
    assert "a, outlet open" not in drawn


def compared(folder: Path, *designs: Design) -> str:
    """What is said of two designs, all of them with the answers of one run."""
    (answer,) = marched(behind(designs[0], None), folder / "results").answers
    base, other = (CaseSweep(d, (answer,), 0, (), folder, provenance(d)) for d in designs)
    return " ".join("\n".join(comparison([(base, other)])).split())


def test_a_warning_stands_where_the_systems_differ_and_only_there(
    folder: Path, designs: dict[str, Design], both: Result
) -> None:
    a, b, a_own, b_own = (designs[name] for name in ("a", "b", "a_own", "b_own"))
    said = compared(folder, a, b_own)
    assert "Warning: what follows the outlet differs (3 pieces, 450 mm against none)" in said
    assert "--downstream CASE" in said
    assert "--bare" in said
    assert "but not the same ones" in compared(folder, a_own, b_own)  # sand and tube
    assert "Warning" not in compared(folder, a, b)
    assert "Warning" not in compared(folder, a_own, behind(b_own, a_own))


def test_what_is_run(designs: dict[str, Design]) -> None:
    a, a_own, b_own = designs["a"], designs["a_own"], designs["b_own"]
    assert settings([a, a_own], None, False) == [(STATED, [a, a_own])]
    (first, told), (last, bare) = settings([a_own, b_own], None, True)
    assert (first.kind, first.label) == ("stated", "as each case states")
    assert told == [a_own, b_own]
    assert last == OPEN
    assert [design.case.downstream for design in bare] == [None, None]
    (alike, _), _ = settings([a_own, a_own], None, True)
    assert alike.label == "behind the same system"
    assert described(system(a_own)) == "3 pieces, 450 mm"
    assert described(system(a)) == "none"


def test_a_crossover_needs_another_bank(designs: dict[str, Design]) -> None:
    a, own = designs["a"], designs["a_own"].case.downstream
    engine = a.case.engine
    assert own is not None
    assert engine is not None
    linked = own.model_copy(update={"crossover": Crossover(kind="cross", at=0.1)})
    case = a.case.model_copy(update={"downstream": linked})
    source = replace(a, case=case)
    assert described(system(source)) == "3 pieces, 450 mm, cross"
    with pytest.raises(InputError, match=r"a\.yaml: the system of .* leads to another bank"):
        settings([a], source, False)
    paired = engine.model_copy(update={"other_bank": {"1": "4"}})
    there = replace(a, case=a.case.model_copy(update={"engine": paired}))
    ((_, (swapped,)),) = settings([there], source, False)
    assert swapped.case.downstream == linked  # the whole of it


def test_mistakes_are_named_before_anything_is_marched(folder: Path) -> None:
    one, two = folder / "a.yaml", folder / "b.yaml"
    told = faults(invoke(one, "--speeds", 2500, "--downstream", two))
    assert "b.yaml: --downstream: this case has no downstream system" in told
    assert "name a case that states `downstream:`" in told
    told = faults(invoke(one, two, "--speeds", 2500, "--bare"))
    assert "--bare: no case has a downstream system to leave away" in told
    told = faults(invoke(one, "--speeds", 2500, "--downstream", folder / "head.yaml"))
    assert "this is a head file, not a case" in told
    assert "nowhere.yaml" in faults(
        invoke(one, "--speeds", 2500, "--downstream", folder / "nowhere.yaml")
    )
