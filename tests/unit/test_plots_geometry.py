"""Geometry pictures: true to scale, every leg where the case or its joints put it."""

from __future__ import annotations

import math
import re
import shutil
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from pulse1d.case.design import Design, load
from pulse1d.case.shown import Shown
from pulse1d.plots.bars import bars_figure
from pulse1d.plots.geometry import draw_geometry
from pulse1d.plots.placed import Placed, PlacedLeg, placed
from pulse1d.plots.plan import plan_figure
from pulse1d.plots.runners import levels, runners_figure
from pulse1d.plots.style import NARROW, WIDE
from pulse1d.plots.unrolled import unrolled
from pulse1d.plots.views import ROUND, View, best_views, silhouette, tangents
from pulse1d.plots.waterfall import waterfall_figure
from pulse1d.run.bench import predict_bench
from pulse1d.run.geometry import runner_record
from tests.figures import ALLOWED, colours, cut, overlapping, smallest

CASES = Path(__file__).parents[2] / "cases"
NAMES = ("pump/log", "pump/divided", "pump/tubular", "v8/log", "v8/tubular", "single/megaphone",
         "rig/expansion")  # fmt: skip
WIDTHS = pytest.mark.parametrize("width", [WIDE, NARROW])


def case(name: str) -> Design:
    return load(CASES / f"{name}.yaml")


@pytest.mark.parametrize("name", NAMES)
def test_a_way_rolled_out_is_as_long_as_check_says(name: str) -> None:
    design = case(name)
    for port in design.network.port_names:
        way, record = unrolled(design, port), runner_record(design, port)
        assert way.length == pytest.approx(record["length_m"], rel=1e-12)
        assert sum(s.angle for s in way.stretches) == pytest.approx(record["turn_rad"])
        assert all(a.end == b.start for a, b in pairwise(way.stretches))
        chain = design.network.chain(port) or []
        assert [name for name, _ in way.joints] == [design.network.ends[i] for i in chain[:-1]]


@WIDTHS
def test_both_axes_of_the_runners_have_one_scale(width: float) -> None:
    figure = runners_figure([case("pump/log"), case("pump/tubular")], width=width)
    assert cut(figure) == []
    assert overlapping(figure) == []
    assert smallest(figure) >= 8.0
    assert colours(figure) <= ALLOWED
    axes = figure.axes[0]
    zero, x, y = axes.transData.transform([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)])
    # drawn: rounding alone
    assert abs(x[0] - zero[0]) == pytest.approx(abs(y[1] - zero[1]), rel=1e-9)
    # a straight of the log's port 1: 18.5 mm of a D 31.5 mm high, in the case's own numbers
    (height,) = {
        round(float(np.ptp(p.get_xy()[:, 1])), 6)
        for p in axes.patches
        if abs(np.ptp(p.get_xy()[:, 0]) - 18.5) < 1e-6
    }
    assert height == pytest.approx(31.5)
    # and its bends: angles as the case has them, elbow of the log for each port, two of each tube
    angles = [t.get_text() for t in axes.texts if t.get_text().endswith("°")]
    assert angles.count("90°") == 4
    assert {"66°", "51°", "91.5°", "15°", "53°", "44.5°", "89.5°", "22.5°"} < set(angles)


@WIDTHS
@pytest.mark.parametrize("name", NAMES)
def test_a_plan_is_to_scale_with_its_texts_whole_and_apart(name: str, width: float) -> None:
    figure = plan_figure(case(name), width=width, shown=Shown("in"))
    assert cut(figure) == []
    assert overlapping(figure) == []
    assert smallest(figure) >= 8.0
    assert colours(figure) <= ALLOWED
    axes = figure.axes[0]
    zero, x, y = axes.transData.transform([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
    assert abs(x[0] - zero[0]) == pytest.approx(abs(y[1] - zero[1]), rel=1e-9)


def test_runners_end_where_the_frames_end_and_trunks_go_on_from_their_joints() -> None:
    for name in NAMES[:5]:
        design = case(name)
        network, part = design.network, placed(design)
        lines = {leg.name: leg.points for leg in part.legs}
        for leg, start, end in zip(network.legs, network.starts, network.ends, strict=True):
            points = lines[leg.name]
            length = float(np.sum(np.linalg.norm(np.diff(points, axis=0), axis=1)))
            # chords of 12 to a bend of 90 deg are 0.07 % short
            assert length == pytest.approx(leg.length, rel=1e-3)
            if leg.frame_end is not None:
                assert points[-1] == pytest.approx(leg.frame_end.position, abs=1e-12)
            else:
                assert points[0] == pytest.approx(part.joints[start], abs=1e-12)
                if end != "outlet" and start.startswith("log") and end.startswith("log"):
                    # the case says where both lie, and how long the log between is
                    assert points[-1] == pytest.approx(part.joints[end], abs=1e-9)


def test_what_is_not_stated_is_said() -> None:
    assert placed(case("pump/tubular")).notes == ()
    (said,) = placed(case("pump/log")).notes
    assert said == "outlet elbow: bend plane not stated, drawn down."
    (said,) = placed(case("v8/log")).notes
    assert said == "outlet neck: bend plane not stated, drawn along the row."


def test_a_joint_states_where_the_leg_behind_it_points(tmp_path: Path) -> None:
    """Both arms of the log meet the tee at 90 deg: they could lead up as well as down."""
    text = (CASES / "v8/log.yaml").read_text()
    shutil.copy(CASES / "v8/head.yaml", tmp_path)
    assert ", direction: [0, -1, 0]}" in text
    for stated, way in (("[0, -1, 0]", [0.0, -1.0, 0.0]), ("[0, 3, 4]", [0.0, 0.6, 0.8])):
        path = tmp_path / "log.yaml"
        path.write_text(text.replace("direction: [0, -1, 0]", f"direction: {stated}"))
        part = placed(load(path))
        neck = next(leg for leg in part.legs if leg.name == "outlet neck")
        assert tangents(neck.points)[0] == pytest.approx(way)
        assert not any("no direction stated" in note for note in part.notes)
    path.write_text(text.replace(", direction: [0, -1, 0]}", "}"))
    part = placed(load(path))
    neck = next(leg for leg in part.legs if leg.name == "outlet neck")
    assert tangents(neck.points)[0] == pytest.approx([0.0, -1.0, 0.0])
    assert any("outlet neck: no direction stated, drawn down" in note for note in part.notes)
    # of the plan alone: gas and engine see the same design
    assert load(path).digest == case("v8/log").digest


def test_ports_without_places_stand_in_a_row(tmp_path: Path) -> None:
    text = (CASES / "pump/head.yaml").read_text()
    cuts = [line for line in text.splitlines() if "position:" not in line]
    (tmp_path / "head.yaml").write_text("\n".join(cuts))
    log = (CASES / "pump/log.yaml").read_text()
    (tmp_path / "log.yaml").write_text(re.sub(r", position: \[.*\]", "", log))
    part = placed(load(tmp_path / "log.yaml"))
    starts = np.array([leg.points[0] for leg in part.legs if leg.is_runner])
    assert np.ptp(np.diff(starts[:, 0])) < 1e-12
    assert np.all(np.diff(starts[:, 0]) > 0.0)
    assert part.notes[0].startswith("Places of ports are not stated")
    figure = plan_figure(load(tmp_path / "log.yaml"))
    assert any("not stated" in text.get_text() for text in figure.axes[0].texts)


PIPE = PlacedLeg("p", np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 2.0]]), np.array([0.4, 0.4]), True)
CIRCLE = 0.5 * ROUND * math.sin(2.0 * math.pi / ROUND) * 0.2**2
"""Area of the ring that stands for a circle of 0.4."""


def test_a_pipe_covers_its_length_times_its_width_from_the_side_and_a_circle_end_on() -> None:
    assert silhouette(PIPE, View(2, 1)).area == pytest.approx(0.8, rel=1e-9)
    assert silhouette(PIPE, View(0, 1)).area == pytest.approx(CIRCLE, rel=1e-9)


def test_a_bend_covers_arc_times_width() -> None:
    turn = np.linspace(0.0, 0.5 * np.pi, 91)
    points = np.column_stack([np.sin(turn), np.zeros(91), 1.0 - np.cos(turn)])
    bend = PlacedLeg("b", points, np.full(91, 0.2), True)
    # Pappus; chords of a degree
    assert silhouette(bend, View(0, 2)).area == pytest.approx(0.5 * np.pi * 0.2, rel=1e-3)


def test_the_best_view_shows_most_and_from_above_is_not_from_below() -> None:
    row = np.array([[0.0, 0.0, 0.0], [3.0, 0.0, 0.0], [3.0, 0.1, 1.0]])
    part = Placed((PlacedLeg("p", row, np.full(3, 0.2), True),), {}, ())
    above, front = best_views(part)
    assert (above.across, above.up, above.sign) == (0, 2, -1.0)
    assert above.name == "seen from above: along the row →, out of the head ↓"
    assert (front.across, front.up, front.sign) == (0, 1, 1.0)
    axes = np.eye(3)
    for view, towards in ((above, axes[1]), (front, axes[2]), (View(2, 1), -axes[0])):
        # right-handed: across x up points at who looks
        assert np.cross(axes[view.across], view.sign * axes[view.up]) == pytest.approx(towards)


def test_geometry_files_are_named_by_what_they_show(tmp_path: Path) -> None:
    drawn = draw_geometry([case("pump/log"), case("pump/tubular")], tmp_path / "g.svg")
    assert [path.name for path in drawn] == ["g.svg", "g-plan.svg", "g-plan-2.svg"]
    assert "pump log" in drawn[1].read_text()
    assert "pump tubular 1 5/8" in drawn[2].read_text()


def test_long_names_fold_and_stay_apart(tmp_path: Path) -> None:
    text = (CASES / "pump/log.yaml").read_text().split("\nengine:")[0]
    long = {
        "pump log": "a casting whose name is as long as eighty letters will let it be",
        "outlet elbow": "elbow that leads down to the flange of the pipe",
    }
    for short, name in long.items():
        text = text.replace(f"name: {short}", f"name: {name}")
    text = re.sub(r"port: ([1-4])\b", r"port: cylinder number \1", text)
    head = (CASES / "pump/head.yaml").read_text()
    head = re.sub(r"- name: ([1-4])", r"- name: cylinder number \1", head)
    (tmp_path / "head.yaml").write_text(head)
    (tmp_path / "log.yaml").write_text(text)
    design = load(tmp_path / "log.yaml")
    result = predict_bench(design, samples=0)
    for width in (WIDE, NARROW):
        for figure in (
            runners_figure([design], width=width),
            plan_figure(design, width=width),
            bars_figure([result] * 3, width=width),
            waterfall_figure(result, "cylinder number 1", width=width),
        ):
            assert cut(figure) == []
            assert overlapping(figure) == []


def test_labels_side_by_side_stand_on_lines_of_their_own() -> None:
    inch = 100.0  # a label of 3 letters is 8 pt x 0.52 x 4 = 23 wide
    assert levels([(0.0, "90°"), (10.0, "45°"), (20.0, "30°"), (60.0, "15°")], inch) == [0, 1, 2, 0]
    assert levels([(0.0, "90°"), (30.0, "45°")], inch) == [0, 0]
    assert levels([], inch) == []
