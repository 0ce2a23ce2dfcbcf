"""How far flanges may slide, and what their end studs go through, by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import pulse1d
from pulse1d.durability.spec import Durability
from pulse1d.durability.strain import mismatch
from pulse1d.run.life import with_sleeve
from pulse1d.run.life_gas import gas_states
from pulse1d.run.life_heat import heat_up
from pulse1d.run.life_legs import leg_shapes
from pulse1d.run.life_metals import metals_of, needed
from pulse1d.run.life_slip import end_stud, free_length, play

PUMP = Path(__file__).parents[2] / "cases" / "pump"
GAS = {"temperature": "900 degC", "heat transfer": "150 W/m^2/K"}
BOLTS = {"size": "M8", "material": "steel 8.8", "preload": "12 kN"}


def asked(**more: object) -> Durability:
    return Durability.model_validate({"gas": GAS, **more})


def test_play_is_hole_sway_and_cut() -> None:
    split = asked(fasteners=BOLTS, flange={"kind": "split"})
    # M8 in a 9 mm hole 0.5 mm; sway by 0.1 %: 1e-3 L2/(3 d), L = 10 mm
    assert play(split) == pytest.approx(0.5e-3 + 1e-3 * 0.01**2 / 0.024, rel=1e-9)  # by hand
    longer = with_sleeve(split, 20e-3)
    assert free_length(longer) == pytest.approx(30e-3, rel=1e-12)
    assert play(longer) == pytest.approx(0.5e-3 + 1e-3 * 0.03**2 / 0.024, rel=1e-9)  # by hand
    slotted = asked(fasteners=BOLTS, flange={"kind": "slotted", "slot": "0.4 mm"})
    assert play(slotted) == pytest.approx(0.2e-3, rel=1e-12)  # half a cut
    assert play(asked()) == 0.0
    assert with_sleeve(asked(), 20e-3) == asked()
    assert with_sleeve(split, 0.0) == split


def test_end_stud_of_the_log_by_hand() -> None:
    design = pulse1d.load(PUMP / "log.yaml")
    block, metals, shapes = needed(design), metals_of(design), leg_shapes(design)
    heat = heat_up(block, shapes, gas_states(design, block.gas)[0], metals)
    slip = end_stud(block, shapes, heat, metals)
    assert slip is not None
    # three gaps of 96 mm, a port as wide as its perimeter over pi, half a bar on each side
    span = 0.288 + shapes[0].perimeter / 3.14159265 + 0.020
    assert slip.span == pytest.approx(span, rel=1e-6)
    hot = max(heat.at(f"runner {port} flange").max() for port in "1234")
    free = mismatch(metals.flange, float(hot), metals.head, block.head.temperature)
    assert slip.slip == pytest.approx(0.5 * span * free, rel=1e-6)
    assert slip.rest == max(0.0, slip.slip - 0.5e-3)


def test_legs_lie_where_the_network_puts_them() -> None:
    for name in ("log", "tubular"):
        design = pulse1d.load(PUMP / f"{name}.yaml")
        for shape, leg in zip(leg_shapes(design), design.network.legs, strict=True):
            assert shape.length == pytest.approx(leg.length, rel=1e-12)
            if leg.frame_end is not None and shape.points is not None:
                # one bend in twelve parts or in one: round-off
                assert shape.points[-1] == pytest.approx(leg.frame_end.position, abs=1e-12)
