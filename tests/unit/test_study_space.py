"""The design at a point is the one that a case file with these values loads to."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from pydantic import BaseModel, ValidationError

import pulse1d
from pulse1d.case.problems import validate
from pulse1d.case.schema import Case
from pulse1d.errors import InputError
from pulse1d.losses.surface import OWN_BAND
from pulse1d.study.change import changed, rewritten, tree_of
from pulse1d.study.leaf import dimension_of, written
from pulse1d.study.load import load_study
from pulse1d.study.paths import Spot
from pulse1d.study.space import READ_ANEW, base_point, design_at, point_key, why_not

CASES = Path(__file__).parents[2] / "cases"
STUDY = """\
format: pulse1d study 1
about: {name: tested}
base: tubular.yaml
parameters:
  length: {path: runners/*/tail/length, sets: change, range: [-60 mm, 60 mm]}
  bend: {path: runners/*/bend 1/radius, sets: factor, range: [90 %, 120 %]}
  tube: {path: runners/*/blend/to/od, choices: [1.5 in, 1.625 in]}
  gauge: {path: runners/*/blend/to/wall, choices: [1.2 mm, 0.9 in, 0.1 in]}
  lift: {path: engine/exhaust/lift, range: [8 mm, 9 mm]}
  surface: {path: surface, choices: [tube, scaled]}
linked:
  collector: {path: trunks/collector/section/od, from: tube, factor: 1.4, plus: 1 mm}
  merge: {path: joints/collector/position/y, from: length, sets: change, factor: -1}
compute: {bench: {}}
"""
POINT = {
    "length": 0.0255, "bend": 1.1, "tube": 1.5 * 0.0254, "gauge": 0.0012, "lift": 0.0085,
    "surface": "scaled",
}  # fmt: skip


def leaves(node, place=(), field=None, inside=0):
    """Every single value of a spec."""
    if isinstance(node, BaseModel):
        for name, below in type(node).model_fields.items():
            yield from leaves(getattr(node, name), (*place, name), below)
    elif isinstance(node, tuple | dict):
        keys = node if isinstance(node, dict) else range(len(node))
        for key in keys:
            yield from leaves(node[key], (*place, key), field, inside + 1)
    else:
        yield Spot(place, field, inside, node, "")


@pytest.fixture
def folder(tmp_path):
    for name in ("head.yaml", "tubular.yaml"):
        shutil.copy(CASES / "pump" / name, tmp_path)
    (tmp_path / "study.yaml").write_text(STUDY, encoding="utf-8")
    return tmp_path


def of_kind(case):
    """One numeric value of each key that the case has, from the part's far end."""
    found = {}
    for spot in leaves(case):
        dimension = dimension_of(spot) if spot.field is not None else ""
        plain = dimension not in ("", "text") and READ_ANEW not in spot.place
        if plain and isinstance(spot.value, int | float):
            found[tuple(key for key in spot.place if isinstance(key, str))] = (spot, dimension)
    return list(found.values())


@pytest.mark.parametrize("name", ["pump/tubular.yaml", "pump/system.yaml"])
def test_a_value_put_in_is_a_value_read(name):
    """Whatever number of a case is changed, the fast way gives what the file would."""
    design = pulse1d.load(CASES / name)
    equal = refused = 0
    for spot, dimension in of_kind(design.case):
        value = spot.value + 1 if dimension == "count" else 1.01 * spot.value + 1e-4
        document = rewritten(design.document, design.case, {spot.place: written(value, dimension)})
        try:
            anew = validate(Case, document)
        except InputError:
            with pytest.raises(ValidationError):
                changed(design.case, tree_of({spot.place: value}))
            refused += 1
            continue
        assert changed(design.case, tree_of({spot.place: value})) == anew, spot.place
        equal += 1
    assert equal > 50
    assert refused < 10


def test_it_is_what_a_case_file_with_these_values_loads_to(folder):
    study = load_study(folder / "study.yaml")
    text = (folder / "tubular.yaml").read_text(encoding="utf-8")
    for old, new in (
        ("length: 84.5 mm", "length: 110 mm"), ("length: 92 mm", "length: 117.5 mm"),
        ("length: 89.5 mm", "length: 115 mm"), ("length: 69.5 mm", "length: 95 mm"),
        ("od: 1.625 in, wall: 0.065 in", "od: 1.5 in, wall: 1.2 mm"),
        ("{shape: tube, od: 2.25 in", "{shape: tube, od: 54.34 mm"),
        ("lift: 9 mm", "lift: 8.5 mm"), ("surface: tube", "surface: scaled"),
        ("[176 mm, -240 mm,", "[176 mm, -265.5 mm,"),
    ):  # fmt: skip
        assert old in text
        text = text.replace(old, new)
    for angle in ("66 deg", "91.5 deg", "53 deg", "89.5 deg"):
        text = text.replace(f"angle: {angle}, radius: 2.5 in", f"angle: {angle}, radius: 2.75 in")
    (folder / "other.yaml").write_text(text, encoding="utf-8")
    here, there = design_at(study, POINT), pulse1d.load(folder / "other.yaml")
    flows = [
        [port.answer.mdot for port in pulse1d.predict_bench(design, samples=0).ports]
        for design in (here, there)
    ]
    # sums and products of the study are rounded once more than the file's numbers
    assert flows[0] == pytest.approx(flows[1], rel=1e-12)
    assert [leg.length for leg in here.network.legs] == pytest.approx(
        [leg.length for leg in there.network.legs], rel=1e-12
    )
    assert here.case.engine.exhaust.lift == there.case.engine.exhaust.lift
    assert here.case.surface == there.case.surface
    assert study.base.case.surface.name == "tube"


def test_the_base_point_gives_the_base(folder):
    study = load_study(folder / "study.yaml")
    point = base_point(study)
    assert point == {
        "length": 0.0, "bend": 1.0, "tube": 1.625 * 0.0254, "gauge": 0.065 * 0.0254,
        "lift": pytest.approx(0.009, rel=1e-12), "surface": "tube",  # 9 x 0.001, rounded
    }  # fmt: skip
    # the collector follows the tube, so it alone is another
    design = design_at(study, point)
    assert design.case.runners == study.base.case.runners
    assert design.case.trunks[0].section.od == pytest.approx(
        1.4 * 1.625 * 0.0254 + 0.001, rel=1e-12
    )


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"gauge": 0.9 * 0.0254, "surface": "tube"}, "leaves no bore"),
        ({"gauge": 0.9 * 0.0254, "surface": "scaled"}, "leaves no bore"),
        ({"bend": 0.2, "surface": "tube"}, "tighter"),
        ({"lift": 0.05, "surface": "tube"}, "opens further than the head was flowed"),
        ({"length": -0.08, "surface": "tube"}, "length must be greater than 0"),
    ],
)
def test_what_cannot_be_built_says_why(folder, changes, message):
    study = load_study(folder / "study.yaml")
    with pytest.raises(InputError) as caught:
        design_at(study, POINT | changes)
    assert message in str(caught.value)
    assert {problem.file for problem in caught.value.problems} == {str(folder / "study.yaml")}


def load_with(folder, *pairs, name="changed.yaml"):
    text = STUDY
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    (folder / name).write_text(text, encoding="utf-8")
    return load_study(folder / name)


def test_the_key_is_of_what_decides_the_answers(folder):
    study = load_study(folder / "study.yaml")
    same = load_with(
        folder,
        ("[-60 mm, 60 mm]", "[-50 mm, 60 mm], steps: 9"),
        (
            "compute:",
            "plan: {kind: sobol}\nobjectives:\n  - {answer: mean flow, aim: most}\ncompute:",
        ),
    )
    assert same.key == study.key
    assert point_key(same, POINT) == point_key(study, dict(reversed(POINT.items())))
    assert point_key(study, POINT | {"bend": 1.0}) != point_key(study, POINT)
    assert point_key(study, POINT | {"bend": 1}) == point_key(study, POINT | {"bend": 1.0})
    others = [
        load_with(folder, ("factor: 1.4", "factor: 1.5")),
        load_with(folder, ("sets: factor", "sets: value"), ("[90 %, 120 %]", "[2 in, 3 in]")),
        load_with(folder, ("bend 1/radius", "bend 2/radius")),
        load_with(folder, ("{bench: {}}", "{bench: {bands: true}}")),
    ]
    text = (folder / "tubular.yaml").read_text(encoding="utf-8")
    (folder / "tubular.yaml").write_text(text + "numerics: {seed: 2}\n", encoding="utf-8")
    others.append(load_study(folder / "study.yaml"))
    assert len({study.key, *(other.key for other in others)}) == 6


@pytest.mark.parametrize(
    ("rule", "allowed", "broken"),
    [
        ("{most: 20 mm, of: length}", {"length": 0.02}, {"length": 0.0201}),
        ("{most: 110 mm, of: runners/*/tail/length}", {"length": 0.0179}, {"length": 0.0181}),
        ("{least: 40 mm, of: trunks/collector/section/od}", {}, {"tube": 0.027}),
        ("{most: 39.3 mm, of: tube, plus: gauge}", {}, {"gauge": 0.0013}),
        ("{most: 150 mm, of: runners/*/tail/length, plus: trunks/collector/straight 1/length}",
         {"length": 0.0179}, {"length": 0.0181}),
        ("{most: 1.6 in, of: wall/thickness, plus: [runners/1/blend/to/od]}",
         {"tube": 1.53 * 0.0254}, {"tube": 1.54 * 0.0254}),
    ],
)  # fmt: skip
def test_limits_keep_what_they_say(folder, rule, allowed, broken):
    study = load_with(folder, ("compute:", f"constraints:\n  - {rule}\ncompute:"))
    assert why_not(study, POINT | allowed) == ""
    assert "line 15" in why_not(study, POINT | broken)


def test_a_limit_is_kept_by_what_equals_it_in_another_unit(folder):
    study = load_with(folder, ("compute:", "constraints:\n  - {most: 38.1 mm, of: tube}\ncompute:"))
    assert why_not(study, POINT) == ""


def test_an_own_roughness_makes_a_named_surface_an_own_one(folder):
    """As in a case file, the band of the name goes with its roughness."""
    study = load_with(
        folder,
        ("surface: {path: surface, choices: [tube, scaled]}",
         "surface: {path: surface/roughness, range: [0.01 mm, 0.1 mm]}"),
    )  # fmt: skip
    assert study.base.case.surface.band != OWN_BAND
    surface = design_at(study, POINT | {"surface": 5e-5}).case.surface
    assert (surface.roughness, surface.band) == (5e-5, OWN_BAND)
