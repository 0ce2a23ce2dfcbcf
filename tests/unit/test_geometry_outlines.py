"""Overlap of outlines against closed forms."""

from __future__ import annotations

import math

import pytest

from pulse1d.errors import Pulse1dError
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
)

D = 0.04
EXACT = 1e-9
"""The promise of ``overlap`` where no curved outlines cross; round-off is far below."""
CHORDS = 1e-5
"""The promise of ``overlap`` where curved outlines cross, over the smaller area."""


def open_fraction(x: float) -> float:
    """Common area of two equal circles offset by x diameters, over the area of one."""
    return 2.0 / math.pi * (math.acos(x) - x * math.sqrt(1.0 - x * x))


@pytest.mark.parametrize(
    "section",
    [
        Round(bore=D),
        Oval(width=0.05, height=0.03),
        Ellipse(width=0.03, height=0.05),
        DShape(width=0.04, height=0.03, corner_radius=0.005),
        Rectangle(width=0.04, height=0.03, corner_radius=0.002),
        Polygon(points=((0.0, 0.0), (0.04, 0.0), (0.01, 0.03))),
    ],
)
def test_equal_coincident_sections_are_fully_open(section: SectionBase) -> None:
    joint = overlap(section, section)
    assert joint.open_1 == pytest.approx(1.0, abs=EXACT)
    assert joint.open_2 == pytest.approx(1.0, abs=EXACT)
    assert 0.0 <= joint.lip_1 <= EXACT * section.area
    assert 0.0 <= joint.depth_1 <= EXACT * section.D_eq


@pytest.mark.parametrize("x", [0.001, 0.01, 0.025, 0.05, 0.1, 0.15, 0.2, 0.5, 0.9, 0.99])
@pytest.mark.parametrize("heading", [0.0, 0.7, math.pi / 2])
def test_offset_circles(x: float, heading: float) -> None:
    shift = (x * D * math.cos(heading), x * D * math.sin(heading))
    joint = overlap(Round(bore=D), Tube(od=D + 0.004, wall=0.002), shift)
    assert joint.open_1 == pytest.approx(open_fraction(x), abs=CHORDS)


def test_offset_circles_of_unequal_bore() -> None:
    r, R, d = 0.018, 0.021, 0.008
    cos_r = (d * d + r * r - R * R) / (2.0 * d * r)
    cos_R = (d * d + R * R - r * r) / (2.0 * d * R)
    kite = 0.5 * math.sqrt((-d + r + R) * (d + r - R) * (d - r + R) * (d + r + R))
    lens = r * r * math.acos(cos_r) + R * R * math.acos(cos_R) - kite
    joint = overlap(Round(bore=2.0 * r), Round(bore=2.0 * R), (0.0, -d))
    assert joint.area == pytest.approx(lens, rel=CHORDS)


def test_concentric_circles_have_a_lip_on_one_side() -> None:
    joint = overlap(Round(bore=0.040), Round(bore=0.036))
    assert joint.open_1 == pytest.approx(0.81, abs=EXACT)
    assert joint.open_2 == pytest.approx(1.0, abs=EXACT)
    assert joint.lip_1 == pytest.approx(0.19 * joint.area_1, rel=EXACT)
    assert joint.lip_2 == 0.0
    assert joint.depth_1 == pytest.approx(0.002, rel=EXACT)
    assert joint.depth_2 == 0.0


def test_round_inside_oval_and_square_is_not_cut() -> None:
    for outer in (Oval(width=0.05, height=D), Rectangle(width=D, height=D)):
        assert overlap(Round(bore=D), outer).open_1 == pytest.approx(1.0, abs=EXACT)


def test_rectangles_offset_and_turned() -> None:
    flat = Rectangle(width=0.04, height=0.02)
    assert overlap(flat, flat, (0.01, -0.005)).area == pytest.approx(0.03 * 0.015, rel=EXACT)
    crossed = overlap(flat, flat, rotation=math.pi / 2)
    assert crossed.area == pytest.approx(0.02 * 0.02, rel=EXACT)
    # Two unit squares turned by 45 deg share a regular octagon, 2 (sqrt 2 - 1) of the square.
    square = Rectangle(width=D, height=D)
    octagon = overlap(square, square, rotation=math.pi / 4)
    assert octagon.open_1 == pytest.approx(2.0 * (math.sqrt(2.0) - 1.0), rel=EXACT)


def test_rotation_is_anticlockwise_about_the_datum_of_b() -> None:
    spot = Rectangle(width=0.004, height=0.004)
    bar = Rectangle(width=0.04, height=0.006)
    at_end = (0.015 * math.cos(0.5), 0.015 * math.sin(0.5))
    # The spot sits on the upper arm of the bar turned up by 0.5 rad, or else it misses the bar.
    covered = overlap(spot, bar, (-at_end[0], -at_end[1]), rotation=0.5)
    assert covered.open_1 == pytest.approx(1.0, abs=EXACT)
    with pytest.raises(OverlapError):
        overlap(spot, bar, (-at_end[0], -at_end[1]), rotation=-0.5)


def test_port_higher_than_runner() -> None:
    port = DShape(width=0.036, height=0.040)
    runner = Oval(width=0.036, height=0.040)
    floor_corners = (2.0 - 0.5 * math.pi) * 0.018**2
    joint = overlap(port, runner)
    # Only the two floor corners of the port stand against the face of the runner. The outlines
    # lie on each other elsewhere, so there is no chord error.
    assert joint.lip_1 == pytest.approx(floor_corners, rel=EXACT)
    assert joint.lip_2 == pytest.approx(0.0, abs=EXACT * joint.area_2)


def test_no_overlap_is_an_error_with_a_remedy() -> None:
    with pytest.raises(OverlapError, match=r"round 40\.0 mm.*41 and 0 mm.*check the offset"):
        overlap(Round(bore=D), Round(bore=D), (0.041, 0.0))
    assert issubclass(OverlapError, ValueError)
    assert issubclass(OverlapError, Pulse1dError)
