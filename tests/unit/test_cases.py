"""Every case that ships loads, has legs that meet where they should, and gives its own figures."""

from __future__ import annotations

import itertools
import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import pulse1d
from pulse1d.geometry.frames import Frame, angle_between
from pulse1d.geometry.sections import Section, Tube
from pulse1d.network.closure import closures
from pulse1d.network.layout import Meeting
from pulse1d.run.expect import failures

FOLDER = Path(__file__).parents[2] / "cases"
CASES = sorted(
    str(path.relative_to(FOLDER))
    for path in FOLDER.glob("*/*.yaml")
    if "broken" not in path.parent.name
    and path.name != "head.yaml"
    and not path.name.startswith("study")
    and not path.name.startswith("readings")
)
LEAN = math.radians(3.0)
"""How far a leg may arrive from the angle that the case states: what a jig shows at a glance."""
TOUCH = 0.5e-3
"""Overlap of neighbouring tubes at a merge that grinding takes away [m]."""
MEET = 5e-3
"""Between a trunk's length and the distance of the joints at its ends [m]."""


@cache
def loaded(name: str) -> pulse1d.Design:
    return pulse1d.load(FOLDER / name)


def outside(section: Section) -> float:
    """Diameter that a leg takes beside another one [m]."""
    return section.od if isinstance(section, Tube) else section.D_eq


def arrivals(name: str, kind: str) -> list[tuple[str, list[tuple[Frame, Section, float]]]]:
    """Joints of a kind whose arriving legs have known ends: each end and its stated angle."""
    found = []
    for joint, (spec, ends) in loaded(name).network.joints.items():
        legs = [loaded(name).network.legs[end.leg] for end in ends if end.at_end]
        rows = [
            (leg.frame_end, leg.section_end, leg.spec.to.angle)
            for leg in legs
            if leg.frame_end is not None and isinstance(leg.spec.to, Meeting)
        ]
        if spec.kind == kind and rows:
            found.append((joint, rows))
    return found


def test_both_shops_ship_their_cases() -> None:
    assert {name.split("/")[0] for name in CASES} >= {"pump", "v8"}


@pytest.mark.parametrize("name", CASES)
def test_gives_the_figures_that_it_expects(name: str) -> None:
    result = pulse1d.predict_bench(loaded(name), samples=0)
    assert result.converged
    assert {row.port for row in loaded(name).case.expect} == {p.answer.port for p in result.ports}
    assert failures(result) == []


@pytest.mark.parametrize("name", CASES)
def test_legs_end_where_their_joint_stands(name: str) -> None:
    """Within 5 mm of their place: on a branch's point, or side by side around a merge's."""
    network = loaded(name).network
    found = closures(network)
    assert found or not network.joints
    for closure in found:
        assert closure.has_position
        assert closure.gap <= 0.0, closure.joint


@pytest.mark.parametrize("name", CASES)
def test_legs_of_a_merge_arrive_at_their_angle_and_leave_room(name: str) -> None:
    for joint, rows in arrivals(name, "merge"):
        axis = np.sum([frame.direction for frame, _, _ in rows], axis=0)
        for frame, _, stated in rows:
            assert angle_between(frame.direction, axis) == pytest.approx(stated, abs=LEAN), joint
        for (here, a, _), (there, b, _) in itertools.combinations(rows, 2):
            apart = float(np.linalg.norm(here.position - there.position))
            assert apart >= 0.5 * (outside(a) + outside(b)) - TOUCH, joint


@pytest.mark.parametrize("name", CASES)
def test_legs_of_a_branch_arrive_at_their_angle(name: str) -> None:
    """Where the next joint of the log stands tells the way that the log runs."""
    network = loaded(name).network
    places = {j.name: j.position for j in network.layout.joints if j.kind == "branch"}
    onward = dict(zip(network.starts, network.ends, strict=True))
    for joint, rows in arrivals(name, "branch"):
        here, there = places.get(joint), places.get(onward[joint])
        if here is None or there is None:
            continue
        axis = np.subtract(there, here)
        for frame, _, stated in rows:
            assert angle_between(frame.direction, axis) == pytest.approx(stated, abs=LEAN), joint


@pytest.mark.parametrize("name", CASES)
def test_straight_trunks_between_branches_are_as_long_as_their_distance(name: str) -> None:
    network = loaded(name).network
    places = {j.name: j.position for j in network.layout.joints if j.kind == "branch"}
    for leg, start, end in zip(network.legs, network.starts, network.ends, strict=True):
        a, b = places.get(start), places.get(end)
        if a is not None and b is not None and not any(p.spec.kind == "bend" for p in leg.pieces):
            assert leg.length == pytest.approx(math.dist(a, b), abs=MEET)
