"""Laws of sections, outlines and frames that hold whatever the sizes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.geometry.frames import (
    Move,
    angle_between,
    bend,
    follow,
    gap,
    path_points,
    port_frame,
    straight,
)
from pulse1d.geometry.outlines import OverlapError, overlap
from pulse1d.geometry.sections import (
    DShape,
    Ellipse,
    Oval,
    Polygon,
    Rectangle,
    Round,
    SectionBase,
    Tube,
    scaled,
)

EXACT = 1e-11
"""Closed forms and outlines up to an aspect of 40: round-off, with cancellation in thin corners."""
ROUND_OFF = 1e-12
"""A dozen moves of metre size, each good to a few ulp."""

relaxed = settings(deadline=None)
"""The machine may be busy, and the first example imports shapely."""

size = st.floats(0.005, 0.1)
share = st.floats(0.0, 1.0)


@st.composite
def stars(draw: st.DrawFn) -> Polygon:
    """An outline that goes once round its middle, dents and all."""
    radii = draw(st.lists(size, min_size=5, max_size=12))
    turns = np.arange(len(radii)) * 2.0 * math.pi / len(radii)
    points = zip(radii * np.cos(turns), radii * np.sin(turns), strict=True)
    return Polygon(points=tuple((float(x), float(y)) for x, y in points))


@st.composite
def d_shapes(draw: st.DrawFn) -> DShape:
    width, height = draw(size), draw(size)
    # 0.9: a roof of some height is left above the corners.
    radius = draw(share) * min(0.5 * width, 0.9 * height)
    return DShape(width=width, height=height, corner_radius=radius)


rounds = st.builds(lambda bore: Round(bore=bore), size)
tubes = st.builds(lambda od, wall: Tube(od=od, wall=0.45 * wall * od + 1e-6), size, share)
ovals = st.builds(lambda w, h: Oval(width=w, height=h), size, size)
ellipses = st.builds(lambda w, h: Ellipse(width=w, height=h), size, size)
rectangles = st.builds(
    lambda w, h, r: Rectangle(width=w, height=h, corner_radius=0.5 * r * min(w, h)),
    size,
    size,
    share,
)
symmetric = st.one_of(rounds, tubes, ovals, ellipses, rectangles)
sections = st.one_of(symmetric, d_shapes(), stars())


@relaxed
@given(sections, st.floats(0.1, 10.0))
def test_scaling(section: SectionBase, k: float) -> None:
    other = scaled(section, k)
    assert type(other) is type(section)
    assert other.area == pytest.approx(k * k * section.area, rel=EXACT)
    assert other.perimeter == pytest.approx(k * section.perimeter, rel=EXACT)
    assert other.D_h == pytest.approx(k * section.D_h, rel=EXACT)
    assert other.extent == pytest.approx([k * side for side in section.extent], rel=EXACT)
    assert other.friction_shape == pytest.approx(section.friction_shape, rel=EXACT)


@relaxed
@given(sections, st.integers(12, 400))
def test_outline_has_the_area_and_the_box(section: SectionBase, n: int) -> None:
    outline = section.outline(n)
    assert outline.is_valid
    assert outline.area == pytest.approx(section.area, rel=EXACT)
    left, low, right, high = outline.bounds
    # Sizes are below 0.1 m, so EXACT in metres is round-off.
    assert (right - left, high - low) == pytest.approx(section.extent, abs=EXACT)
    assert (left + right, low + high) == pytest.approx((0.0, 0.0), abs=EXACT)


@relaxed
@given(sections)
def test_no_section_beats_the_circle(section: SectionBase) -> None:
    # Isoperimetric law: perimeter >= pi D_eq; EXACT allows the round-off of a circle.
    assert section.D_h <= section.D_eq * (1.0 + EXACT)
    assert 1.0 <= section.friction_shape <= 1.10


@relaxed
@given(d_shapes(), st.floats(1.0 + 1e-6, 1.5))
def test_a_higher_d_is_larger(section: DShape, k: float) -> None:
    higher = section.model_copy(update={"height": k * section.height})
    assert higher.area > section.area
    assert higher.perimeter > section.perimeter


offsets = st.tuples(st.floats(-0.03, 0.03), st.floats(-0.03, 0.03))
angles = st.floats(-math.pi, math.pi)


@relaxed
@given(sections, sections, offsets, angles)
def test_overlap_is_symmetric_and_bounded(
    a: SectionBase, b: SectionBase, offset: tuple[float, float], rotation: float
) -> None:
    try:
        there = overlap(a, b, offset, rotation)
    except OverlapError:
        return
    assert 0.0 < there.area <= min(a.area, b.area)
    assert 0.0 <= there.lip_1 < a.area
    assert 0.0 <= there.lip_2 < b.area
    # Seen from b, a is turned and shifted the other way.
    c, s = math.cos(rotation), math.sin(rotation)
    x, y = offset
    back = (-(c * x + s * y), -(c * y - s * x))
    here = overlap(b, a, back, -rotation)
    # Turning an outline moves its points by round-off of the size, 1e-17 m; slivers aside.
    assert here.area == pytest.approx(there.area, abs=1e-9 * min(a.area, b.area))


@relaxed
@given(symmetric, symmetric, angles, st.lists(st.floats(0.0, 0.04), min_size=2, max_size=5))
def test_overlap_falls_with_offset(
    a: SectionBase, b: SectionBase, heading: float, steps: list[float]
) -> None:
    # Brunn-Minkowski: for convex outlines with a centre the common area can only fall.
    areas = []
    for step in sorted(steps):
        try:
            shift = (step * math.cos(heading), step * math.sin(heading))
            areas.append(overlap(a, b, shift).area)
        except OverlapError:
            areas.append(0.0)
    assert max(np.diff(areas)) <= 1e-12 * min(a.area, b.area)  # round-off of equal areas


moves = st.builds(
    Move, st.floats(0.0, 0.5), st.floats(-7.0, 7.0), st.floats(0.0, math.pi), st.floats(0.0, 0.3)
)
paths = st.lists(moves, min_size=1, max_size=12)


@relaxed
@given(paths)
def test_frames_stay_orthonormal(path: list[Move]) -> None:
    for frame in follow(port_frame(), path):
        axes = np.array([frame.direction, frame.normal, frame.binormal])
        assert np.allclose(axes @ axes.T, np.eye(3), rtol=0.0, atol=ROUND_OFF)
        assert np.linalg.det(axes) == pytest.approx(1.0, abs=ROUND_OFF)


@relaxed
@given(moves, st.floats(0.01, 0.99))
def test_a_bend_may_be_made_in_two(move: Move, part: float) -> None:
    start = port_frame()
    whole = bend(start, move.angle, move.radius, move.rotation)
    first = bend(start, part * move.angle, move.radius, move.rotation)
    both = bend(first, (1.0 - part) * move.angle, move.radius)
    assert np.allclose(both.position, whole.position, rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(both.direction, whole.direction, rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(both.normal, whole.normal, rtol=0.0, atol=ROUND_OFF)


@relaxed
@given(paths)
def test_the_way_back_ends_at_the_start(path: list[Move]) -> None:
    start = port_frame()
    here = follow(start, path)[-1]
    here = type(here)(here.position, -here.direction, here.normal)
    turn = 0.0
    for move in reversed(path):
        # Backwards the last bend comes first, in its own plane; the plane then turns back by the
        # rotation that led into it: the sense of turning about the axis keeps its sign.
        here = straight(bend(here, move.angle, move.radius, turn), move.L)
        turn = move.rotation
    assert np.allclose(here.position, start.position, rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(here.direction, -start.direction, rtol=0.0, atol=ROUND_OFF)


@relaxed
@given(st.floats(0.0, 0.5), st.floats(0.01, 0.3), angles)
def test_square_closes_in_any_plane(L: float, radius: float, rotation: float) -> None:
    start = port_frame()
    first = Move(L, rotation, math.pi / 2, radius)
    end = follow(start, [first, *[first._replace(rotation=0.0)] * 3])[-1]
    assert gap([start.position, end.position]) < ROUND_OFF
    assert angle_between(start.direction, end.direction) < ROUND_OFF


@relaxed
@given(moves, moves)
def test_half_turn_keeps_the_direction(one: Move, two: Move) -> None:
    start = port_frame()
    end = follow(start, [one, two._replace(rotation=math.pi, angle=one.angle)])[-1]
    assert angle_between(start.direction, end.direction) < ROUND_OFF


@relaxed
@given(paths)
def test_axis_is_as_long_as_its_moves(path: list[Move]) -> None:
    points = path_points(port_frame(), path, step=0.05)
    length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    told = sum(move.L + move.angle * move.radius for move in path)
    # Chords of a step of 0.05 rad are short by 0.05^2 / 24 = 1.04e-4 of the arc, never longer.
    assert length == pytest.approx(told, rel=1.1e-4, abs=ROUND_OFF)
    assert length <= told * (1.0 + ROUND_OFF)
