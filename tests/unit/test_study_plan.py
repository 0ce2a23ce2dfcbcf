"""Points of a plan, the box around a part, and the studies that ship."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

import pulse1d
from pulse1d.errors import InputError
from pulse1d.study.axes import Axis
from pulse1d.study.load import load_study
from pulse1d.study.objectives import limit_in
from pulse1d.study.plan import chosen, placed, points_of, steps_of
from pulse1d.study.room import stretches
from pulse1d.study.space import design_at
from pulse1d.study.speeds import speeds_of

CASES = Path(__file__).parents[2] / "cases"
CASE = """\
format: pulse1d case 1
about: {name: elbow}
head: {ports: [{name: 1, position: [10 mm, 0 mm, 0 mm]}]}
wall: {thickness: 1.5 mm}
runners:
  - port: 1
    section: {shape: round, bore: 40 mm}
    pieces: [{kind: straight, length: 100 mm}, {kind: bend, angle: 90 deg, radius: 60 mm}]
    to: {joint: knee}
trunks:
  - {from: knee, to: outlet, section: {shape: tube, od: 43 mm, wall: 1.5 mm},
     pieces: [{kind: straight, length: 200 mm}]}
joints: [{name: knee, kind: merge}]
"""
STUDY = """\
format: pulse1d study 1
about: {name: elbow}
base: case.yaml
parameters:
  length: {path: runners/1/straight 1/length, range: [80 mm, 120 mm], steps: 5}
  bend: {path: runners/1/bend 1/radius, choices: [50 mm, 60 mm, 70 mm]}
PLAN
compute: {bench: {}}
"""


@pytest.fixture
def study(tmp_path):
    (tmp_path / "case.yaml").write_text(CASE, encoding="utf-8")

    def load(plan=""):
        (tmp_path / "study.yaml").write_text(STUDY.replace("PLAN", plan), encoding="utf-8")
        return load_study(tmp_path / "study.yaml")

    return load


def test_a_grid_is_every_value_with_every_other(study):
    points = points_of(study())
    lengths, bends = {p["length"] for p in points}, {p["bend"] for p in points}
    assert len(points) == 15 == len({(p["length"], p["bend"]) for p in points})
    assert sorted(bends) == pytest.approx([0.05, 0.06, 0.07], rel=1e-12)  # mm to m, rounded
    assert sorted(lengths) == pytest.approx([0.08, 0.09, 0.1, 0.11, 0.12], rel=1e-12)  # the same
    assert {0.08, 0.12} <= lengths  # the ends to the last bit


def test_the_ends_of_a_range_are_its_ends():
    steps = steps_of(Axis("a", "", 0.1, 0.7, steps=7))
    assert (steps[0], steps[-1]) == (0.1, 0.7)


@pytest.mark.parametrize("seed", [1, 2])
def test_a_latin_hypercube_has_one_point_in_every_slice(study, seed):
    points = points_of(study(f"plan: {{kind: latin hypercube, points: 30, seed: {seed}}}"))
    shares = np.array([(p["length"] - 0.08) / 0.04 for p in points])
    assert sorted(np.floor(30 * shares)) == list(range(30))
    counts = [
        sum(p["bend"] == pytest.approx(r, rel=1e-12) for p in points) for r in (0.05, 0.06, 0.07)
    ]
    assert counts == [10, 10, 10]


def test_a_sobol_sequence_fills_every_slice(study):
    """Its first 2^m points have one in each of 2^m slices (definition of a (0, m, 1) net)."""
    points = points_of(study("plan: {kind: sobol, points: 32}"))
    shares = np.array([(p["length"] - 0.08) / 0.04 for p in points])
    assert sorted(np.floor(32 * shares)) == list(range(32))


def test_the_same_seed_gives_the_same_points(study):
    plans = [f"plan: {{kind: {kind}, points: 20, seed: {seed}}}"
             for kind in ("sobol", "latin hypercube") for seed in (3, 4)]  # fmt: skip
    first, again = ([points_of(study(plan)) for plan in plans] for _ in range(2))
    assert first == again
    assert all(first[i] != first[j] for i in range(4) for j in range(i))


def test_a_point_that_comes_twice_is_there_once(study):
    plan = "plan: {kind: sobol, points: 64}"
    text = "  length: {path: runners/1/straight 1/length, values: [90 mm, 100 mm]}\n"
    loaded = study(plan)
    path = loaded.path
    lines = [
        line for line in path.read_text(encoding="utf-8").splitlines(True) if "length:" not in line
    ]
    path.write_text("".join(lines).replace("  bend:", text + "  bend:"), encoding="utf-8")
    assert len(points_of(load_study(path))) == 6


def test_one_at_a_time_starts_at_the_base(study):
    points = points_of(study("plan: {kind: one at a time}"))
    base = {"length": pytest.approx(0.1, rel=1e-12), "bend": pytest.approx(0.06, rel=1e-12)}
    assert points[0] == base
    assert len(points) == 1 + 4 + 2
    assert all((p["length"] == base["length"]) or (p["bend"] == base["bend"]) for p in points)


def test_a_list_takes_equal_shares():
    axis = Axis("a", "", 1.0, 3.0, (1.0, 2.0, 3.0), ("1", "2", "3"))
    assert [placed(axis, u) for u in (0.0, 0.33, 0.34, 0.66, 0.67, 1.0)] == [1, 1, 2, 2, 3, 3]


def test_where_an_elbow_runs(study):
    """By hand: 100 mm out of the head, round a quarter of 60 mm, then 200 mm straight down."""
    points = list(stretches(study().base.case))
    ends = np.concatenate([one.position for _, one in points])
    reach = np.concatenate([one.reach for _, one in points])
    assert ends[0] == pytest.approx([0.01, 0.0, 0.0], abs=1e-12)
    assert ends[-1] == pytest.approx([0.01, -0.26, 0.16], abs=1e-12)
    middle = ends[np.argmin(np.abs(ends[:, 1] + 0.06 * (1 - math.sqrt(0.5))))]
    assert middle == pytest.approx(
        [0.01, -0.06 * (1 - math.sqrt(0.5)), 0.1 + 0.06 * math.sqrt(0.5)]
    )
    # a tube reaches across, not along
    assert reach[0] == pytest.approx([0.0215, 0.0215, 0.0], abs=1e-9)
    assert reach[-1] == pytest.approx([0.0215, 0.0, 0.0215], abs=1e-9)


@pytest.mark.parametrize(
    ("box", "most"),
    [
        ("{z: [0 mm, 181.6 mm]}", 0.1),  # 100 + 60 + 40/2 + 1.5 is 181.5
        ("{z: [0 mm, 181.4 mm]}", 0.09),
        ("{x: [-11.6 mm, 31.6 mm]}", 0.12),  # 10 +- 21.5
        ("{y: [-260.1 mm, 21.6 mm]}", 0.12),  # 60 + 200 down, 21.5 up at the flange
    ],
)
def test_a_box_holds_the_outside(study, box, most):
    loaded = study(f"constraints:\n  - {{box: {box}}}\n  - {{most: 60 mm, of: bend}}\n"
                   "  - {least: 60 mm, of: bend}")  # fmt: skip
    kept = chosen(loaded)
    assert max(p["length"] for p in kept.points) == pytest.approx(most, rel=1e-12)  # rounded steps
    assert len(kept.points) + sum(kept.left_out.values()) == 15


def test_a_box_too_small_by_a_hair_leaves_none(study):
    with pytest.raises(InputError, match="leave no point"):
        study("constraints:\n  - {box: {x: [-11.4 mm, 31.6 mm]}}")


@pytest.mark.parametrize(
    "path", sorted((CASES / "pump").glob("study_*.yaml")), ids=lambda p: p.stem
)
def test_the_studies_that_ship_can_be_built(path):
    study = load_study(path)
    kept = chosen(study)
    assert 20 < len(kept.points) <= 60
    for point in kept.points[:: len(kept.points) // 5]:
        assert design_at(study, point).network.legs


def test_the_demo_study_holds_the_base_design():
    study = load_study(CASES / "pump" / "study_primaries.yaml")
    tube = 1.625 * 0.0254
    (point,) = [
        point for point in chosen(study).points
        if point["primary length"] == 0.0 and point["primary tube"] == tube
        and point["collector tube"] == 2.25 * 0.0254
    ]  # fmt: skip
    assert design_at(study, point).network.layout == pulse1d.load(study.base.path).network.layout


@pytest.mark.parametrize(
    ("text", "speeds"),
    [
        ("2000:4000:1000", (2000.0, 3000.0, 4000.0)),
        ("2000:4500:1000", (2000.0, 3000.0, 4000.0)),
        ([4000, 2000, 2000], (2000.0, 4000.0)),
        (3000, (3000.0,)),
        ("2500, 3000", (2500.0, 3000.0)),
    ],
)
def test_speeds(text, speeds):
    assert speeds_of(text) == speeds


@pytest.mark.parametrize(
    "text", ["", "a", "1:2", "4000:2000:500", "2000:3000:0", "100:30000:1", [True], [], 1e9, None]
)
def test_speeds_that_are_none(text):
    with pytest.raises(ValueError, match=";"):
        speeds_of(text)


@pytest.mark.parametrize(
    ("raw", "unit", "value"),
    [
        ("3 %", "1", 0.03), (0.03, "1", 0.03), ("120 N m", "N m", 120.0), ("8 kg", "kg", 8.0),
        ("2 kPa", "Pa", 2000.0), ("600 rev/min", "1/s", 10.0), ("1 m^3/s", "m3/s", 1.0),
    ],
)  # fmt: skip
def test_a_limit_in_si(raw, unit, value):
    assert limit_in(raw, unit) == pytest.approx(value, rel=1e-12)  # one product, rounded
