"""Compliance of legs against Castigliano and beam tables."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.durability.beams import compliance, compliance_6, quarter_bend
from pulse1d.durability.hung import GRAVITY, hung_load
from pulse1d.durability.stud_sway import stud_sway_strain
from pulse1d.durability.tubes import bend_flexibility, bend_peak, tube_stiffness
from pulse1d.durability.unit_loads import bending_strain
from pulse1d.geometry.frames import Move, path_points, port_frame

EI, GJ, EA = 900.0, 700.0, 3e7
R = 0.08


def bend_points(parts: int) -> np.ndarray:
    """A quarter bend as the geometry lays it out: from z to x."""
    step = 0.5 * math.pi / parts * (1.0 + 1e-9)
    return path_points(port_frame(), [Move(angle=0.5 * math.pi, radius=R)], step)


def test_quarter_bend_by_castigliano() -> None:
    """pi/4, 3 pi/4 - 2, 1/2 times R^3/EI: integrals of sin^2, (1 - cos)^2 and their product."""
    a = np.linspace(0.0, 0.5 * math.pi, 20_001)
    sin, rest = np.sin(a), 1.0 - np.cos(a)
    closed = quarter_bend(R, EI, GJ) / R**3
    trapezium = 1e-8  # (pi/2)^3/12/2e4^2
    assert closed[2, 2] * EI == pytest.approx(np.trapezoid(sin * sin, a), abs=trapezium)
    assert closed[0, 0] * EI == pytest.approx(np.trapezoid(rest * rest, a), abs=trapezium)
    assert closed[0, 2] * EI == pytest.approx(-np.trapezoid(sin * rest, a), abs=trapezium)
    out = np.trapezoid(sin * sin / EI + rest * rest / GJ, a)
    assert closed[1, 1] == pytest.approx(out, rel=1e-6)


def test_chords_of_a_quarter_bend_converge() -> None:
    """5 deg chords: 0.2 %; halved, a fourth (within 3 %: the next term)."""
    closed = quarter_bend(R, EI, GJ)
    errors = []
    for parts in (18, 36):
        found = compliance(bend_points(parts), EI, GJ)
        errors.append(float(np.abs(found - closed).max() / np.abs(closed).max()))
    assert errors[0] < 2e-3
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.03)


def test_straight_leg_free_and_held() -> None:
    """Cantilever L^3/(3 EI), guided L^3/(12 EI), stretch L/EA; exact, so round-off."""
    L = 0.3
    line = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.1], [0.0, 0.0, L]])
    free = compliance(line, EI, GJ, EA)
    assert np.diag(free) == pytest.approx([L**3 / (3 * EI)] * 2 + [L / EA], rel=1e-12)
    held = compliance(line, EI, GJ, EA, held=True)
    assert np.diag(held) == pytest.approx([L**3 / (12 * EI)] * 2 + [L / EA], rel=1e-10)


def test_elbow_out_of_its_plane() -> None:
    """Two straights at right angles, force across both: a^3/3EI + b^3/3EI + b^2 a/GJ."""
    a, b = 0.2, 0.15
    elbow = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, a], [b, 0.0, a]])
    found = compliance(elbow, EI, GJ)[1, 1]
    closed = (a**3 + b**3) / (3 * EI) + b**2 * a / GJ
    assert found == pytest.approx(closed, rel=1e-12)  # round-off


def test_stiffness_by_chord() -> None:
    """A stepped cantilever, soft at the tip: ((L^3 - b^3)/EI_1 + b^3/EI_2)/3."""
    L, b = 0.3, 0.1
    line = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, L - b], [0.0, 0.0, L]])
    found = compliance(line, [EI, 0.5 * EI])[0, 0]
    assert found == pytest.approx(((L**3 - b**3) / EI + 2 * b**3 / EI) / 3, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(
    turn=st.floats(0.0, 2.0 * math.pi),
    tilt=st.floats(0.0, math.pi),
    seed=st.integers(0, 10_000),
)
def test_compliance_turns_with_the_leg(turn: float, tilt: float, seed: int) -> None:
    """C is a tensor, symmetric, and no load gains energy; round-off of the largest entry."""
    points = np.cumsum(np.random.default_rng(seed).uniform(-0.1, 0.2, (6, 3)), axis=0)
    c, s = math.cos(turn), math.sin(turn)
    about_z = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    c, s = math.cos(tilt), math.sin(tilt)
    Q = about_z @ np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])
    C = compliance(points, EI, GJ, EA)
    turned = compliance(points @ Q.T, EI, GJ, EA)
    assert np.abs(turned - Q @ C @ Q.T).max() < 1e-11 * np.abs(C).max()
    assert np.array_equal(C, C.T)
    assert np.linalg.eigvalsh(C).min() > 0.0
    held = compliance(points, EI, GJ, EA, held=True)
    assert np.linalg.eigvalsh(C - held).min() > -1e-11 * np.abs(C).max()


def test_strain_of_a_cantilever_and_of_a_guided_leg() -> None:
    """F L r/EI at the root; a held end moved by s: 3 d s/L^2, as a swaying stud."""
    L, d, s = 0.3, 0.042, 2e-3
    line = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, L]])
    root, tip = bending_strain(line, [50.0, 0.0, 0.0], EI, d)[0]
    assert root == pytest.approx(50.0 * L * 0.5 * d / EI, rel=1e-12)
    assert tip == 0.0
    load = np.linalg.solve(compliance_6(line, EI, GJ, EA), [s, 0.0, 0.0, 0.0, 0.0, 0.0])
    both = bending_strain(line, load, EI, d, EA)[0]
    assert both == pytest.approx([stud_sway_strain(s, d, L)] * 2, rel=1e-9)  # two solves


def test_a_held_bar_bears_all_its_growth() -> None:
    line = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.2]])
    moved = [0.0, 0.0, -0.01 * 0.2, 0.0, 0.0, 0.0]
    load = np.linalg.solve(compliance_6(line, EI, GJ, EA), moved)
    # Two solves of the same system: 1e-9 is far above their round-off.
    assert bending_strain(line, load, EI, 0.042, EA).max() == pytest.approx(0.01, rel=1e-9)


@pytest.mark.parametrize("R", [0.1, 0.2])
def test_half_circle_loop_between_held_ends(R: float) -> None:
    """Castigliano: M = F R (sin - 2/pi), s = F R^3 (pi/2 - 4/pi)/EI, so the ends bear
    (2/pi)/(pi/2 - 4/pi) r s/R^2: a loop twice as large, a fourth of the strain. Chords of 5 deg
    as on the quarter bend: 0.2 %."""
    a = np.linspace(0.0, math.pi, 37)
    loop = R * np.column_stack((np.sin(a), 0.0 * a, 1.0 - np.cos(a)))
    d, s = 0.042, 2e-3
    load = np.linalg.solve(compliance_6(loop, EI, GJ, 1e15), [0.0, 0.0, s, 0.0, 0.0, 0.0])
    share = (2.0 / math.pi) / (0.5 * math.pi - 4.0 / math.pi)
    strain = bending_strain(loop, load, EI, d)
    assert strain[0, 0] == pytest.approx(share * 0.5 * d * s / R**2, rel=2e-3)
    assert strain[0, 0] == pytest.approx(strain[-1, 1], rel=1e-6)  # mirror; the solve's round-off


def test_tube_and_its_bends() -> None:
    """pi r^3 t E for a thin tube within (t/2r)^2; k = 1.65/h, not below 1 (from memory)."""
    EI_, GJ_, EA_ = tube_stiffness(0.0435, 0.0015, 150e9)
    assert EI_ == pytest.approx(math.pi * 0.021**3 * 0.0015 * 150e9, rel=0.002)
    assert EA_ == pytest.approx(math.pi * 0.042 * 0.0015 * 150e9, rel=1e-12)
    assert EI_ / GJ_ == pytest.approx(1.3)
    assert bend_flexibility(0.063, 0.0435, 0.0015) == pytest.approx(1.65 * 0.021 / 0.0015 / 3.0)
    assert bend_flexibility(0.5, 0.0435, 0.01) == 1.0
    # h = 3 t/r = 0.214: 1.8/0.358, by hand to three digits.
    assert bend_peak(0.063, 0.0435, 0.0015) == pytest.approx(5.03, abs=0.01)
    assert bend_peak(0.5, 0.0435, 0.01) == 1.0


def test_a_weight_beyond_the_end_of_a_leg() -> None:
    """Cantilever: m g (L + c) r/EI at the root; exact. Shaken by 3 g at its worst, four times."""
    L, c, d, m = 0.3, 0.2, 0.042, 6.0
    line = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, L]])
    still, shaken = (
        bending_strain(line, hung_load(m, (0.0, 0.0, c), shake), EI, d)[0, 0]
        for shake in (0.0, 3.0)
    )
    assert still == pytest.approx(m * GRAVITY * (L + c) * 0.5 * d / EI, rel=1e-12)
    assert shaken == pytest.approx(4.0 * still, rel=1e-12)
    sideways = hung_load(m, up=(2.0, 0.0, 0.0))
    assert sideways == pytest.approx([-m * GRAVITY, 0.0, 0.0, 0.0, 0.0, 0.0])
    with pytest.raises(ValueError, match="0 or more, and up must have a length"):
        hung_load(-1.0)


@pytest.mark.parametrize(
    ("points", "EI", "says"),
    [
        ([[0.0, 0.0, 0.0]], 1.0, "are no centre line"),
        ([[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]], 1.0, "two points of a centre line are one"),
        ([[0.0, 0.0, 0.0], [0.0, 0.0, 1.0]], 0.0, "EI must be above 0"),
        ([[0.0, 0.0, 0.0], [0.0, 0.0, 1.0]], [1.0, 1.0], "does not fit 1 chords"),
    ],
)
def test_bad_legs_are_refused(points: list, EI: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        compliance(points, EI)


def test_a_wall_wider_than_its_tube_is_refused() -> None:
    with pytest.raises(ValueError, match="does not make a tube"):
        tube_stiffness(0.04, 0.03, 1.0)
