"""Steps, joints, gaskets and beads: the jet and its two directions."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pulse1d.geometry.sections import Oval, Rectangle, Round
from pulse1d.losses import (
    Element,
    FlangeJoint,
    Gasket,
    GasketRing,
    K_bead,
    K_contraction,
    K_offset,
    K_opening,
    Law,
    SectionStep,
    Station,
    WeldBead,
    lip_factor,
)
from pulse1d.losses.opening import Cc_weisbach, inset_area, thickness_factor

BORE = Round(bore=0.04)
STATION = Station(BORE, 15e-6)


def K_forward(element: Element) -> float:
    """Incompressible loss on the velocity head behind."""
    step = element.steps[0]
    return (step.A_2 / step.jet - 1.0) ** 2


def K_reversed(element: Element) -> float:
    step = element.steps[0]
    return (step.A_1 / step.jet_rev - 1.0) ** 2


def only(elements: tuple[Element, ...]) -> Element:
    (element,) = elements
    assert element.steps[0].law == Law.JET
    return element


def test_step_up_and_down() -> None:
    up = only(SectionStep(to=Round(bore=0.05)).elements(STATION))
    assert up.steps[0].jet == BORE.area  # Borda: the jet fills the small section
    assert K_reversed(up) == pytest.approx(K_contraction(0.64), rel=1e-12)  # round-off
    down = only(SectionStep(to=Round(bore=0.032)).elements(STATION))
    assert K_forward(down) == pytest.approx(K_contraction(0.64), rel=1e-12)
    assert (up.k_ref, down.k_ref) == ("upstream", "downstream")
    soft = only(SectionStep(to=Round(bore=0.032), edge_radius=0.004).elements(STATION))
    assert K_forward(soft) == pytest.approx(K_contraction(0.64, 0.125), rel=1e-12)
    assert K_forward(soft) < K_forward(down)


def test_step_between_equal_sections_costs_nothing() -> None:
    same = only(SectionStep(to=BORE).elements(STATION))
    assert K_forward(same) < 1e-15  # round-off
    assert same.effects == () or abs(same.effects[0].size) < 1e-10 * BORE.area


def test_contraction_band_reaches_both_ends() -> None:
    down = only(SectionStep(to=Round(bore=0.032)).elements(STATION))
    step, size = down.steps[0], down.effects[0].size
    ends = [(step.A_2 / (step.jet + z * size) - 1.0) ** 2 for z in (-1.645, 1.645)]
    K = K_forward(down)
    # Linear in the jet where the band is logarithmic in K: 2 % at the ends.
    assert sorted(ends) == pytest.approx([K * math.exp(-0.2), K * math.exp(0.2)], rel=0.02)


def test_aligned_equal_ports_cost_nothing() -> None:
    joint = only(FlangeJoint().elements(STATION))
    assert K_forward(joint) < 1e-12  # outlines are open to 1e-9
    assert [e.cause for e in joint.effects if abs(e.size) > 1e-6 * BORE.area] == [
        "joint alignment",
        "joint alignment",
    ]
    assert not any(
        abs(e.size) > 1e-6 * BORE.area
        for e in only(FlangeJoint(alignment=0.0).elements(STATION)).effects
    )


@pytest.mark.parametrize("e_over_D", [0.01, 0.05, 0.1, 0.2])
def test_offset_joint_is_the_pure_function(e_over_D: float) -> None:
    joint = only(FlangeJoint(offset=(0.04 * e_over_D, 0.0)).elements(STATION))
    # Outlines are chords: 1e-5 of the area, 1e-3 of a small blockage, and K goes with it.
    assert K_forward(joint) == pytest.approx(K_offset(e_over_D), rel=5e-3)
    assert K_reversed(joint) == pytest.approx(K_forward(joint), rel=1e-12)  # equal ports


def test_port_smaller_than_tube_is_the_good_direction() -> None:
    wider = only(FlangeJoint(to=Round(bore=0.042)).elements(STATION))
    s = BORE.area / Round(bore=0.042).area
    assert K_forward(wider) == pytest.approx((1 / s - 1) ** 2, rel=1e-6)  # Borda; chords 1e-9
    assert K_reversed(wider) > K_forward(wider)
    assert FlangeJoint(to=Round(bore=0.042)).section_out(BORE).bore == 0.042


def test_head_outline_is_the_upstream_section() -> None:
    station = replace(STATION, head=Oval(width=0.046, height=0.032))
    joint = only(FlangeJoint().elements(station))
    assert joint.steps[0].A_1 == station.head.area  # type: ignore[union-attr]
    assert joint.steps[0].A_2 == BORE.area
    turned = only(FlangeJoint(rotation="90 deg").elements(station))
    # A round opening does not care; chords of 1 deg do, by 1e-5.
    assert K_forward(turned) == pytest.approx(K_forward(joint), rel=1e-3)


def test_gasket_in_the_joint() -> None:
    ring = GasketRing(protrusion="1 mm", thickness="1.5 mm")
    joint = FlangeJoint(gasket=ring)
    (element,) = joint.elements(STATION)
    assert joint.path_length() == pytest.approx(0.0015)
    assert element.steps[1].L == joint.path_length()
    alone = Gasket(protrusion="1 mm", thickness="1.5 mm").elements(STATION)[0]
    # Two chord approximations of the same ring.
    assert K_forward(element) == pytest.approx(K_forward(alone), rel=5e-3)
    thick = Gasket(protrusion="1 mm", thickness="40 mm").elements(STATION)[0]
    assert K_forward(thick) < K_forward(alone)  # the stream lies on a long lip again
    flush = FlangeJoint(gasket=GasketRing(thickness="1.5 mm")).elements(STATION)[0]
    assert K_forward(flush) < 1e-12
    narrow = FlangeJoint(gasket=GasketRing(opening=Round(bore=0.038), thickness="1.5 mm")).elements(
        STATION
    )[0]
    assert K_forward(narrow) == pytest.approx(K_forward(element), rel=5e-3)  # 1 mm each side
    wide = Gasket(opening=Round(bore=0.05), thickness="1.5 mm").elements(STATION)[0]
    assert K_forward(wide) < 1e-12
    assert "groove" in wide.notes[0]


def test_lip_radius_helps() -> None:
    sharp, soft = (
        K_forward(only(FlangeJoint(offset=(0.004, 0.0), lip_radius=r).elements(STATION)))
        for r in (0.0, 0.002)
    )
    assert soft < 0.9 * sharp
    assert lip_factor(0.9, 0.0) == 1.0
    assert 0.0 < lip_factor(1.0, 0.1) < 1.0  # the limit at an open share of 1 is finite


def test_no_overlap_says_what_to_do() -> None:
    with pytest.raises(ValueError, match=r"flange joint: .*do not overlap; check the offset"):
        FlangeJoint(offset=(0.05, 0.0)).elements(STATION)
    shut = GasketRing(opening=Round(bore=0.001), thickness=0.001)
    with pytest.raises(ValueError, match="the gasket leaves no passage"):
        FlangeJoint(offset=(0.03, 0.0), gasket=shut).elements(STATION)
    with pytest.raises(ValueError, match="not both"):
        GasketRing(opening=BORE, protrusion=0.001, thickness=0.001)
    with pytest.raises(ValueError, match="wider than the section"):
        K_opening(2.0, 1.0, 1.0, 1.0)


def test_joint_band_reaches_from_low_to_high() -> None:
    joint = only(FlangeJoint(offset=(0.004, 0.0), alignment=0.0).elements(STATION))
    step, size = joint.steps[0], joint.effects[0].size
    ends = sorted((step.A_2 / (step.jet + z * size) - 1.0) ** 2 for z in (-1.645, 1.645))
    # The band is symmetric in the jet about the mean of K, so its ends move by some per cent.
    assert ends == pytest.approx([0.102, 0.189], rel=0.06)


def test_weld_bead() -> None:
    bead = only(WeldBead(height="0.5 mm").elements(STATION))
    assert K_forward(bead) == pytest.approx(K_bead(0.0125), rel=5e-3)  # chords of the outline
    part = only(WeldBead(height="0.5 mm", share="50 %").elements(STATION))
    assert K_forward(part) == pytest.approx(K_bead(0.0125, 0.5), rel=5e-3)
    step, size = bead.steps[0], bead.effects[0].size
    worst = (step.A_2 / (step.jet + 1.645 * size) - 1.0) ** 2
    assert 0.024 < worst < 0.032  # about 0.03 for half a millimetre in a 40 mm tube
    assert "closes" in only(WeldBead(height="4 mm").elements(STATION)).notes[0]
    with pytest.raises(ValueError, match="closes round 40"):
        WeldBead(height="25 mm").elements(STATION)


def test_inset_area() -> None:
    # Chords: 1e-3 of the blocked area, as stated.
    ring = BORE.area - math.pi * 0.019**2
    assert BORE.area - inset_area(BORE, 0.001) == pytest.approx(ring, rel=1e-3)
    box = Rectangle(width=0.04, height=0.03)
    assert inset_area(box, 0.001) == pytest.approx(0.038 * 0.028, rel=1e-9)  # straight sides


def test_thickness_and_contraction_limits() -> None:
    assert thickness_factor(0.0) == 1.0
    assert thickness_factor(5.0) == 0.0
    assert Cc_weisbach(1.0) == 1.0
    assert Cc_weisbach(0.0) == 0.617
