"""Bends, mitres and their neighbours."""

from __future__ import annotations

import math
from dataclasses import replace

import fluids
import pytest

from pulse1d.geometry.sections import Oval, Rectangle, Round
from pulse1d.losses import (
    Bend,
    C_pair,
    C_pair_mitres,
    K_bend,
    K_mitre,
    Mitre,
    Station,
    bend_band,
    bend_terms,
    interaction,
    interaction_bands,
    outlet_factor,
    section_factor,
)
from pulse1d.losses.bend import MACH_FACTOR

STATION = Station(Round(bore=0.04), 15e-6)
RIGHT = math.pi / 2


@pytest.mark.parametrize("angle", [5.0, 45.0, 90.0, 180.0])
@pytest.mark.parametrize("r_over_D", [0.5, 1.0, 1.5, 5.0])
def test_bend_is_rennels(angle: float, r_over_D: float) -> None:
    for f_D in (0.01, 0.018, 0.04):
        expected = fluids.fittings.bend_rounded(
            Di=1.0, angle=angle, fd=f_D, rc=r_over_D, method="Rennels"
        )
        ours = K_bend(math.radians(angle), r_over_D, f_D, arc_friction=True)
        assert ours == pytest.approx(expected, rel=1e-12)  # the same formula, to round-off
        K0, Kf = bend_terms(math.radians(angle), r_over_D)
        without = K_bend(math.radians(angle), r_over_D, f_D)
        assert K0 + Kf * f_D == pytest.approx(without, rel=1e-15)  # round-off


def test_mitre_is_rennels() -> None:
    for angle in (10.0, 45.0, 90.0, 150.0):
        expected = fluids.fittings.bend_miter(angle)
        assert K_mitre(math.radians(angle)) == pytest.approx(expected, rel=1e-12)  # round-off


def test_bend_row_holds_arc_and_turning_loss() -> None:
    (element,) = Bend(angle="90 deg", radius="60 mm").elements(STATION)
    (step,) = element.steps
    K0, Kf = bend_terms(RIGHT, 1.5)
    assert step.L == pytest.approx(0.06 * RIGHT, rel=1e-12)  # round-off
    # Round-off of unit conversion in the radius.
    assert (step.K0, step.Kf) == pytest.approx((K0, Kf), rel=1e-12)
    assert (step.K0_rev, step.Kf_rev, step.mach) == (step.K0, step.Kf, MACH_FACTOR)
    assert (element.k_ref, element.notes) == ("upstream", ())
    assert {e.cause for e in element.effects} == {"bend K", "bend Mach factor", "friction law"}


def test_neighbours_and_user_factor_multiply() -> None:
    plain = Bend(angle=RIGHT, radius=0.06).elements(STATION)[0].steps[0]
    station = replace(STATION, C_pair=0.8, C_pair_band=0.1)
    element = Bend(angle=RIGHT, radius=0.06, K_factor=1.1).elements(station)[0]
    assert element.steps[0].Kf == pytest.approx(0.88 * plain.Kf, rel=1e-12)  # round-off
    assert "bend interaction" in {effect.cause for effect in element.effects}
    assert "multiplied by 1.1" in element.notes[0]


def test_length_behind_acts_forward_only() -> None:
    station = replace(STATION, L_after=0.08)
    step = Bend(angle=RIGHT, radius=0.06).elements(station)[0].steps[0]
    # D_h is 4 A / perimeter: round-off.
    assert step.Kf / step.Kf_rev == pytest.approx(outlet_factor(RIGHT, 1.5, 2.0), rel=1e-9)
    assert 0.6 < step.Kf / step.Kf_rev < 0.8  # two bores behind: a quarter to a third less


def test_too_tight_a_bend_says_what_to_do() -> None:
    with pytest.raises(ValueError, match=r"tighter than its own radius allows.*half the bore"):
        Bend(angle=RIGHT, radius=0.019).elements(STATION)
    assert Bend(angle=RIGHT, radius=0.02).elements(STATION)


def test_notes_outside_validity() -> None:
    def notes(bend: Bend, station: Station = STATION) -> str:
        return " ".join(bend.elements(station)[0].notes)

    assert "join consecutive bends" in notes(Bend(angle="10 deg", radius=0.06))
    assert "beyond 10" in notes(Bend(angle=RIGHT, radius=0.5))
    flat = replace(STATION, section=Rectangle(width=0.1, height=0.01))
    assert "aspect" in notes(Bend(angle=RIGHT, radius=0.2), flat)
    assert "150 deg" in " ".join(Mitre(angle="160 deg").elements(STATION)[0].notes)


def test_section_lies_in_the_stated_plane() -> None:
    station = replace(STATION, section=Oval(width=0.05, height=0.03))
    wide = Bend(angle=RIGHT, radius=0.06).elements(station)[0]
    tall = Bend(angle=RIGHT, radius=0.06, plane="height").elements(station)[0]
    K0, _ = bend_terms(RIGHT, 1.2)
    # Round-off.
    assert wide.steps[0].K0 == pytest.approx(K0 * section_factor(1.2, 0.6), rel=1e-12)
    assert tall.steps[0].Kf < wide.steps[0].Kf  # bending over the thin side is gentler
    assert "idelchik1986" in wide.source


def test_section_factor_meets_the_table() -> None:
    assert section_factor(1.0, 0.5) == pytest.approx(1.17, abs=1e-12)  # exact table values
    assert section_factor(3.0, 2.0) == pytest.approx(0.45, abs=1e-12)
    assert section_factor(1.5, 1.0) == 1.0
    assert section_factor(1.5, 0.5) == pytest.approx(0.5 * (1.17 + 1.45), abs=1e-12)  # half way


def test_band_widens_in_tight_shallow_bends() -> None:
    assert bend_band(RIGHT, 1.5) == pytest.approx(0.15)
    assert bend_band(math.pi, 3.0) == pytest.approx(0.15)
    assert bend_band(math.pi / 4, 1.5) == pytest.approx(0.35)
    assert bend_band(math.pi / 4, 3.0) == pytest.approx(0.15)
    assert bend_band(RIGHT, 0.5) == pytest.approx(0.40)  # sources differ by 1.5 there


def test_pairs() -> None:
    assert C_pair(2.0, 0.0) == 0.75
    assert C_pair(2.0, RIGHT) == pytest.approx(0.75, abs=1e-12)  # cosine of pi/2 to round-off
    assert C_pair(4.0, math.pi) == pytest.approx(0.95, abs=1e-12)
    assert C_pair(12.0, 0.0) == 0.875
    assert C_pair(30.0, 0.0) == 1.0


def test_mitre_pairs() -> None:
    # Published factors, two digits: cutting the corner, the worst place, and fading out.
    for spacing, factor in ((0.4, 0.26), (1.0, 1.08), (1.6, 1.75), (4.0, 1.29), (10.0, 1.04)):
        assert C_pair_mitres(spacing, math.pi) == pytest.approx(factor, abs=0.006)
    assert C_pair_mitres(20.0, math.pi) == 1.0
    assert C_pair_mitres(2.0, 0.0) == C_pair_mitres(2.0, RIGHT) == pytest.approx(1.0, abs=1e-12)
    # Half the departure for half the turn, as stated.
    assert C_pair_mitres(2.0, math.pi, math.pi / 4) == pytest.approx(1.375)
    pair = interaction([(RIGHT, 0.0, 0.0), (RIGHT, 0.0, math.pi)], [2.0])
    assert pair == pytest.approx((1.75, 1.75), rel=1e-12)  # round-off
    plain, paired = (
        Mitre(angle=RIGHT).elements(station)[0].steps[0].K0
        for station in (STATION, replace(STATION, C_pair=1.5))
    )
    assert paired == pytest.approx(1.5 * plain, rel=1e-12)  # round-off


def test_interaction_along_a_path() -> None:
    bends = [(RIGHT, 0.06, 0.0), (RIGHT, 0.06, math.pi), (RIGHT, 0.06, 0.0)]
    factors = interaction(bends, [2.0, 12.0])
    assert factors == pytest.approx((0.95, 0.5 * (0.95 + 0.875), 0.875), abs=1e-12)  # by hand
    assert interaction(bends[:1], []) == (1.0,)
    assert interaction([], []) == ()
    bands = interaction_bands(bends, [2.0, 12.0])
    # The nearest neighbour rules; 12 bores is half way out.
    assert bands == pytest.approx((0.15 / 0.95, 0.15 / 0.9125, 0.075 / 0.875), abs=1e-12)
    with pytest.raises(ValueError, match="2 spacings"):
        interaction(bends, [1.0])


def test_a_bend_cut_in_parts_costs_what_it_cost_whole() -> None:
    parts = [(RIGHT / 3, 0.06, 0.0)] * 3
    factors = interaction(parts, [0.0, 0.0], bore=0.04)
    K = sum(C * K_bend(angle, 1.5, 0.02) for C, (angle, _, _) in zip(factors, parts, strict=True))
    assert K == pytest.approx(K_bend(RIGHT, 1.5, 0.02), rel=1e-12)  # by construction, at f 0.02
    for f_D in (0.014, 0.03):
        K = sum(C * K_bend(a, 1.5, f_D) for C, (a, _, _) in zip(factors, parts, strict=True))
        # Parts and whole depend on f a little differently: 6 % over the range of runners.
        assert K == pytest.approx(K_bend(RIGHT, 1.5, f_D), rel=0.06)
    assert interaction_bands(parts, [0.0, 0.0], bore=0.04) == (0.0, 0.0, 0.0)
    # Without the bore they are three bends, each close to the next.
    assert interaction(parts, [0.0, 0.0]) == (0.75, 0.75, 0.75)


@pytest.mark.parametrize("angle", [15.0, 45.0, 90.0, 180.0])
@pytest.mark.parametrize("r_over_D", [0.5, 1.5, 10.0])
@pytest.mark.parametrize("L_over_D", [0.0, 0.3, 3.0, 15.0, 40.0])
def test_the_outlet_factor_is_the_library_s(angle: float, r_over_D: float, L_over_D: float) -> None:
    from fluids.fittings import Miller_bend_unimpeded_correction, bend_rounded_Miller_Kb

    K_b = bend_rounded_Miller_Kb(r_over_D, angle)  # by scipy's splines
    known = Miller_bend_unimpeded_correction(Kb=K_b, Di=1.0, L_unimpeded=L_over_D)
    # two evaluations of one spline: round-off
    assert outlet_factor(math.radians(angle), r_over_D, L_over_D) == pytest.approx(known, rel=1e-12)
