"""The engine's description: firing gaps, valve events, lifts, areas, and what it refuses."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from pulse1d.engine.burning import premixed_of
from pulse1d.engine.charge import Charge, injected
from pulse1d.engine.phases import firing_angle
from pulse1d.engine.spec import Engine, ExhaustTrain, InletTrain
from pulse1d.engine.valves import (
    exhaust_areas,
    exhaust_events,
    inlet_areas,
    inlet_events,
    lift_table,
)
from pulse1d.engine.wall_heat import annand_of
from pulse1d.losses.head import HeadFlow
from pulse1d.spec import FROM_TEXT

EXACT = 1e-9
"""Round-off of angles through radians and back [deg], or relative."""
EXHAUST = {"lift": "9 mm", "opens before bdc": "55 deg", "closes after tdc": "15 deg"}
INLET = {
    "lift": "9 mm",
    "opens before tdc": "12 deg",
    "closes after bdc": "50 deg",
    "head diameter": "40 mm",
}
V8 = ["1", "8", "4", "3", "6", "5", "7", "2"]


def engine(**more: Any) -> Engine:
    keys = {"cylinders": 4, "bore": "87.5 mm", "stroke": "100 mm", **more}
    return Engine.model_validate(keys, context=FROM_TEXT)


def exhaust(**more: Any) -> ExhaustTrain:
    return ExhaustTrain.model_validate({**EXHAUST, **more}, context=FROM_TEXT)


def inlet(**more: Any) -> InletTrain:
    return InletTrain.model_validate({**INLET, **more}, context=FROM_TEXT)


def curve(*rows: tuple[float, float]) -> list[dict[str, str]]:
    return [{"after opening": f"{angle} deg", "lift": f"{lift} mm"} for angle, lift in rows]


def gaps(order: list[str], ports: str) -> list[tuple[str, float]]:
    built = engine(cylinders=len(order), **{"firing order": order})
    return [(port, round(gap, 9)) for port, gap in built.firing_gaps(dict.fromkeys(ports, ()))]


def test_gaps_of_a_cross_plane_v8() -> None:
    """Counted from the order, 90 deg a firing: odd bank 270-180-90-180, even bank 90-180-270-180
    (common practice, no source)."""
    assert gaps(V8, "1357") == [("1", 270), ("3", 180), ("5", 90), ("7", 180)]
    assert gaps(V8, "8246") == [("8", 90), ("4", 180), ("6", 270), ("2", 180)]


def test_gaps_of_a_flat_plane_v8_are_even() -> None:
    """Banks take turns: 180 deg (common practice, no source)."""
    flat = ["1", "8", "3", "6", "7", "2", "5", "4"]
    for bank in ("1357", "2468"):
        assert {gap for _, gap in gaps(flat, bank)} == {180}


def test_stated_angles_make_the_gaps() -> None:
    odd = engine(
        cylinders=2,
        **{"firing order": ["1", "2"], "firing angles": ["0 deg", "270 deg"]},  # a 90 deg twin
    )
    found = odd.firing_gaps({"1": (), "2": ()})
    assert [round(gap, 9) for _, gap in found] == [270, 450]


def test_gaps_of_a_four_and_of_its_pairs() -> None:
    assert gaps(["1", "3", "4", "2"], "1234") == [("1", 180), ("3", 180), ("4", 180), ("2", 180)]
    assert gaps(["1", "3", "4", "2"], "14") == [("1", 360), ("4", 360)]
    assert gaps(["1", "3", "4", "2"], "12") == [("1", 540), ("2", 180)]
    assert gaps(["1"], "1") == [("1", 720)]


def test_cylinders_behind_a_shared_port() -> None:
    built = engine(**{"firing order": ["1", "3", "4", "2"]})
    found = built.firing_gaps({"outer": ("1", "4"), "inner": ("2", "3")})
    assert [port for port, _ in found] == ["outer", "inner", "outer", "inner"]
    assert [gap for _, gap in found] == pytest.approx([180.0] * 4, abs=EXACT)


def test_firing_angles_even_or_stated() -> None:
    even = engine(cylinders=8, **{"firing order": V8})
    assert [firing_angle(even, name) for name in V8] == pytest.approx(
        [0, 90, 180, 270, 360, 450, 540, 630], abs=EXACT
    )
    stated = engine(
        cylinders=2, **{"firing order": ["1", "2"], "firing angles": ["0 deg", "270 deg"]}
    )
    assert firing_angle(stated, "2") == pytest.approx(270.0, abs=EXACT)
    with pytest.raises(ValueError, match="not in the firing order"):
        firing_angle(stated, "3")


def test_valve_events_from_firing_top_centre() -> None:
    """55 deg before BDC at 180 is 125; 15 after TDC at 360 is 375; 12 before it 348; 50 after BDC
    at 540 is 590."""
    assert exhaust_events(exhaust()) == pytest.approx((125.0, 375.0), abs=EXACT)
    assert inlet_events(inlet()) == pytest.approx((348.0, 590.0), abs=EXACT)
    late = exhaust(**{"opens before bdc": "-10 deg"})
    assert exhaust_events(late)[0] == pytest.approx(190.0, abs=EXACT)


def test_smooth_lift_at_its_ends_and_middle() -> None:
    lift = lift_table(exhaust(), *exhaust_events(exhaust()))
    assert lift.shape == (720,)
    assert lift[250] == pytest.approx(9e-3, rel=EXACT)  # middle of 125 to 375
    assert lift[125] == pytest.approx(0.0, abs=1e-15)  # round-off
    assert not lift[:125].any()
    assert not lift[375:].any()
    assert lift[126] < 0.01 * lift[250]  # starts level, without a jump
    assert lift[374] == pytest.approx(lift[126], rel=EXACT)  # symmetric
    # a quarter into the event z = -1/2 and (1 - z^2)^2 = 9/16; linear between whole degrees, whose
    # second difference is below 1e-5 m
    assert 0.5 * (lift[187] + lift[188]) == pytest.approx(9e-3 * 9 / 16, abs=2e-6)
    assert (np.diff(lift[125:251]) > 0.0).all()


def test_a_stated_lift_curve_is_followed() -> None:
    train = exhaust(curve=curve((0, 0), (60, 4), (125, 8.2), (200, 3), (250, 0)))
    lift = lift_table(train, *exhaust_events(train))
    assert lift[[125, 185, 250, 325, 375]] * 1e3 == pytest.approx([0, 4, 8.2, 3, 0], abs=EXACT)
    assert lift[155] == pytest.approx(2e-3, rel=EXACT)  # half way between 0 and 4 mm
    assert lift.max() == pytest.approx(8.2e-3, rel=EXACT)  # not `lift`
    assert not lift[:125].any()
    assert not lift[376:].any()


def test_areas_of_the_head_table_at_full_lift() -> None:
    """128 CFM at 28 inH2O through an isentropic nozzle (gas dynamics, any text)."""
    rows = [{"lift": f"{x} mm", "flow": f"{q} CFM"} for x, q in ((3, 50), (6, 93), (9, 128))]
    head = HeadFlow.model_validate({"depression": "28 inH2O", "flows": rows}, context=FROM_TEXT)
    out, back = exhaust_areas(exhaust(), head)
    k, R, p0, T0 = 1.4, 287.05, 101325.0, 293.15
    r = 1.0 - 28 * 249.09 / p0
    flux = p0 / math.sqrt(R * T0) * math.sqrt(2 * k / (k - 1) * (r ** (2 / k) - r ** (1 + 1 / k)))
    area = p0 / (R * T0) * 128 * 0.3048**3 / 60 / flux
    assert out[250] == pytest.approx(area, rel=1e-3)  # three to four digits of k, R and inH2O
    assert out.argmax() == back.argmax() == 250
    assert not out[:125].any()
    assert (back <= out).all()


def test_a_lift_beyond_the_head_table_is_refused() -> None:
    rows = [{"lift": f"{x} mm", "effective area": f"{25 * x} mm^2"} for x in (4, 8)]
    head = HeadFlow.model_validate({"areas": rows}, context=FROM_TEXT)
    with pytest.raises(ValueError, match="outside the flow table"):
        exhaust_areas(exhaust(), head)


def test_inlet_areas_by_hand() -> None:
    """0.6 of the curtain pi D L, up to 0.6 x 0.75 of the head's area."""
    curtain = 0.6 * math.pi * 0.04 * 4e-3
    out, back = inlet_areas(inlet(lift="4 mm"))
    assert out[469] == pytest.approx(curtain, rel=EXACT)  # middle of 348 to 590
    assert back[469] == pytest.approx(0.9 * curtain, rel=EXACT)
    assert inlet_areas(inlet(lift="4 mm", count=2))[0][469] == pytest.approx(2 * curtain, rel=EXACT)
    throat = 0.6 * 0.75 * 0.25 * math.pi * 0.04**2
    assert inlet_areas(inlet(lift="12 mm"))[0].max() == pytest.approx(throat, rel=EXACT)


def test_edges_that_are_accepted() -> None:
    assert engine(charge={"lambda": 0.6}).charge.lambda_ == 0.6
    assert engine(charge={"lambda": 2}).charge.lambda_ == 2.0
    assert engine(charge={"fuel": "diesel", "lambda": 6, "ignition": "compression"})
    assert engine(**{"compression ratio": 30}).compression_ratio == 30.0
    assert len(exhaust(curve=curve((0, 0), (125, 9), (250.5, 0))).curve) == 3
    turns = {"firing order": ["1", "2"], "firing angles": ["0 deg", "400 deg"]}
    assert engine(cylinders=2, **turns).firing_angles[1] == pytest.approx(math.radians(400))
    with pytest.raises(ValidationError, match="stay below 360 deg"):
        engine(cylinders=2, cycle="two-stroke", **turns)


def test_what_is_left_out_follows_the_ignition() -> None:
    spark = engine()
    assert spark.charge.fuel == "gasoline"
    assert math.degrees(spark.burning.duration) == pytest.approx(55.0, rel=EXACT)
    assert spark.burning.premixed is None
    diesel = engine(charge={"ignition": "compression", "lambda": 1.5})
    assert diesel.charge.fuel == "diesel"
    assert math.degrees(diesel.burning.starts_before_tdc) == pytest.approx(8.0, rel=EXACT)
    assert (diesel.burning.form, diesel.burning.efficiency) == (0.9, 0.98)
    assert premixed_of(diesel.burning) == pytest.approx((0.12, 8.0, 2.0), rel=EXACT)


def test_what_is_stated_stands_whatever_the_ignition() -> None:
    """Also where it is the other ignition's default: 2 is stated, not left out."""
    given = {"form": 2, "premixed": {"share": 0}}
    diesel = engine(
        charge={"fuel": "methane", "ignition": "compression", "lambda": 2}, burning=given
    )
    assert diesel.charge.fuel == "methane"
    assert diesel.burning.form == 2.0
    assert premixed_of(diesel.burning)[0] == 0.0
    assert math.degrees(diesel.burning.duration) == pytest.approx(70.0, rel=EXACT)
    spark = engine(burning={"premixed": {"share": "10 %"}})
    assert premixed_of(spark.burning) == pytest.approx((0.1, 8.0, 2.0), rel=EXACT)


def test_fuel_that_is_injected() -> None:
    """Diesel CH1.85: 1.4625 of O2, 4.774 of air to each, by hand; a spark's comes with the air."""
    diesel = Charge.model_validate({"fuel": "diesel", "ignition": "compression", "lambda": 1.5})
    by_hand = (12.011 + 1.85 * 1.008) / (1.5 * 1.4625 * 4.774 * 28.965)
    assert injected(diesel) == pytest.approx(by_hand, rel=1e-3)  # three to four digits of air
    assert injected(Charge()) == 0.0


def test_numbers_of_annand() -> None:
    assert annand_of(engine()) == (0.0, 0.0)
    quiet = engine(**{"wall heat law": "annand", "charge motion": 0.35})
    assert annand_of(quiet) == pytest.approx((0.35, 0.075 * 5.670374e-8), rel=EXACT)
    diesel = engine(
        charge={"ignition": "compression", "lambda": 1.5}, **{"wall heat law": "annand"}
    )
    assert annand_of(diesel) == pytest.approx((0.5, 0.576 * 5.670374e-8), rel=EXACT)


@pytest.mark.parametrize(
    ("keys", "what"),
    [
        ({"lift": "0 mm"}, "greater than 0"),
        ({"curve": curve((-5, 0), (125, 9), (250, 0))}, "starts 5 deg before the opening"),
        ({"curve": curve((0, 0), (250, 0))}, "at least three rows"),
        ({"curve": curve((0, 0), (125, 0), (250, 0))}, "some lift"),
        ({"curve": curve((0, 0), (125, 9), (251.5, 0))}, "runs for 251.5 deg"),
        ({"opens before bdc": "-80 deg"}, "open for 115 deg"),
        ({"opens before bdc": "290 deg"}, "open for 485 deg"),
    ],
)
def test_an_event_that_cannot_be_is_refused(keys: dict[str, Any], what: str) -> None:
    with pytest.raises(ValidationError, match=what):
        exhaust(**keys)


def test_a_two_stroke_has_no_valve_events() -> None:
    assert engine(cycle="two-stroke").exhaust is None
    with pytest.raises(ValidationError, match="those of a four-stroke"):
        engine(cycle="two-stroke", exhaust=EXHAUST)


def test_an_overlap_just_beyond_the_longest_is_refused() -> None:
    def overlapping(angle: int) -> Engine:
        return engine(
            exhaust={**EXHAUST, "closes after tdc": f"{angle} deg"},
            inlet={**INLET, "opens before tdc": "90 deg"},
        )

    assert overlapping(89).exhaust
    with pytest.raises(ValidationError, match="open together for 182 deg"):
        overlapping(92)
