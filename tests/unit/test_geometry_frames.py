"""Frames along a runner: known shapes of bent tube."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pulse1d.geometry.frames import (
    Frame,
    Move,
    angle_between,
    bend,
    follow,
    gap,
    mitre,
    path_points,
    port_frame,
    straight,
)

ROUND_OFF = 1e-14
"""Metre-sized positions after a handful of products: a few ulp of 1 m."""
QUARTER = math.pi / 2
X, Y, Z = np.eye(3)


def test_port_starts_on_the_flange_heading_out() -> None:
    port = port_frame((0.1, 0.02))
    assert np.array_equal(port.position, [0.1, 0.02, 0.0])
    assert np.array_equal(port.direction, Z)
    assert np.array_equal(port.normal, X)
    assert np.array_equal(port.binormal, Y)
    down = port_frame((0.1, 0.02, 0.003), direction=(0.0, -1.0, 1.0))
    assert np.allclose(down.direction, (Z - Y) / math.sqrt(2.0), rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(down.normal, X, rtol=0.0, atol=ROUND_OFF)
    leaning = port_frame(direction=(1.0, 0.0, 1.0), normal=(2.0, 0.0, 0.0))
    assert np.allclose(leaning.normal, (X - Z) / math.sqrt(2.0), rtol=0.0, atol=ROUND_OFF)


def test_straight_and_bend() -> None:
    end = bend(straight(port_frame(), 0.05), QUARTER, 0.06)
    assert np.allclose(end.position, [0.06, 0.0, 0.11], rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(end.direction, X, rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(end.normal, -Z, rtol=0.0, atol=ROUND_OFF)
    half = bend(port_frame(), math.pi / 3, 0.06)
    expected = [0.06 * (1.0 - 0.5), 0.0, 0.06 * math.sqrt(0.75)]
    assert np.allclose(half.position, expected, rtol=0.0, atol=ROUND_OFF)


def test_rotation_is_right_handed_about_the_flow() -> None:
    up = bend(port_frame(), QUARTER, 0.06, rotation=QUARTER)
    assert np.allclose(up.direction, Y, rtol=0.0, atol=ROUND_OFF)
    # The plane now holds Z and Y; a second bend turned by +90 deg about Y leaves along -Z x Y.
    again = bend(up, QUARTER, 0.06, rotation=QUARTER)
    assert np.allclose(again.direction, np.cross(Y, -Z), rtol=0.0, atol=ROUND_OFF)


def test_four_equal_bends_with_equal_straights_close() -> None:
    side = Move(L=0.07, angle=QUARTER, radius=0.05)
    start = port_frame((0.2, 0.1))
    end = follow(start, [side] * 4)[-1]
    for name in ("position", "direction", "normal"):
        assert np.allclose(getattr(end, name), getattr(start, name), rtol=0.0, atol=ROUND_OFF)


def test_half_turn_makes_an_s() -> None:
    start = port_frame()
    end = follow(start, [Move(0.0, 0.0, 0.6, 0.05), Move(0.0, math.pi, 0.6, 0.05)])[-1]
    assert np.allclose(end.direction, start.direction, rtol=0.0, atol=ROUND_OFF)
    offset, along = 2.0 * 0.05 * (1.0 - math.cos(0.6)), 2.0 * 0.05 * math.sin(0.6)
    assert np.allclose(end.position, [offset, 0.0, along], rtol=0.0, atol=ROUND_OFF)
    assert np.allclose(end.normal, -start.normal, rtol=0.0, atol=ROUND_OFF)


def test_mitre_stays_where_it_is() -> None:
    start = straight(port_frame(), 0.05)
    end = mitre(start, 0.5, rotation=0.3)
    assert np.array_equal(end.position, start.position)
    # An angle found by atan2 is good to a few ulp.
    assert angle_between(start.direction, end.direction) == pytest.approx(0.5, abs=ROUND_OFF)


def test_path_points_lie_on_the_axis() -> None:
    moves = [Move(0.05, 0.0, QUARTER, 0.06), Move(0.0, 1.0, 0.4, 0.0), Move(L=0.02)]
    start = port_frame()
    points = path_points(start, moves, step=0.01)
    assert np.array_equal(points[0], start.position)
    assert np.allclose(points[-1], follow(start, moves)[-1].position, rtol=0.0, atol=ROUND_OFF)
    length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    # Chords of step 0.01 rad are short of the arc by step^2 / 24 = 4e-6 of it.
    assert length == pytest.approx(0.07 + 0.06 * QUARTER, rel=5e-6)
    on_arc = points[2:-1]
    radius = np.hypot(on_arc[:, 0] - 0.06, on_arc[:, 2] - 0.05)
    assert np.allclose(radius, 0.06, rtol=0.0, atol=ROUND_OFF)
    assert len(points) == 1 + 1 + math.ceil(QUARTER / 0.01) + 1


def test_gap_and_angle() -> None:
    ends = [(0.0, 0.0, 0.0), (0.03, 0.0, 0.0), (0.0, 0.03, 0.0)]
    # The centroid is (10, 10, 0) mm; the two far ends are at 10 sqrt 5 mm.
    assert gap(ends) == pytest.approx(0.01 * math.sqrt(5.0), rel=ROUND_OFF)
    assert gap([(1.0, 2.0, 3.0)]) == 0.0
    assert angle_between(X, 3.0 * Y) == pytest.approx(QUARTER, abs=ROUND_OFF)
    assert angle_between(Z, -Z) == pytest.approx(math.pi, abs=ROUND_OFF)
    # acos would lose this angle altogether; atan2 keeps it to round-off of the components.
    assert angle_between(X, X + 1e-9 * Y) == pytest.approx(1e-9, rel=1e-9)


@pytest.mark.parametrize(
    ("make", "remedy"),
    [
        (lambda: straight(port_frame(), -0.1), "0 or more"),
        (lambda: bend(port_frame(), -0.1, 0.05), "rotation of 180 deg"),
        (lambda: bend(port_frame(), 0.1, -0.05), "0 or more"),
        (lambda: mitre(port_frame(), 3.2), "within 0 .. 180 deg"),
        (lambda: port_frame(direction=X), "give a normal across"),
        (lambda: port_frame(direction=(0.0, 0.0, 0.0)), "give another vector"),
        (lambda: port_frame((1.0, 2.0, 3.0, 4.0)), "three finite numbers"),
        (lambda: Frame(0.0 * X, 2.0 * X, Y), "unit length"),
        (lambda: Frame(0.0 * X, X, X), "right angles"),
        (lambda: path_points(port_frame(), [], step=0.0), "above 0"),
        (lambda: gap([(0.0, 1.0)]), "positions"),
        (lambda: angle_between(X, 0.0 * X), "points nowhere"),
        (lambda: straight(port_frame(), math.nan), "0 or more"),
    ],
)
def test_errors_tell_the_remedy(make: object, remedy: str) -> None:
    with pytest.raises(ValueError, match=remedy):
        make()  # type: ignore[operator]


def test_frames_cannot_be_changed() -> None:
    frame = port_frame()
    with pytest.raises(ValueError, match="read-only"):
        frame.position[0] = 1.0
