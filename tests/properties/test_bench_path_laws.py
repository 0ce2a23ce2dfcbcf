"""Laws that one open path obeys whatever the sizes: budget, order, choking, direction.

Sources: conservation of mass and energy, and the order of resistances in series; no coefficient.
Where a law has an exception, the exception is named beside it.
"""

from __future__ import annotations

import json
import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pulse1d
from tests.bench_layouts import (
    GAMMA,
    INCH_WATER,
    R_AIR,
    ROOM,
    T_ROOM,
    Case,
    bores,
    design,
    directions,
    inches_of_water,
    pieces,
    predict,
    quick,
    relaxed,
    runner,
)


def flow(part: pulse1d.Design, inches: float = 28.0, **more: Any) -> float:
    result = predict(part, inches, **more)
    assert result.converged
    return float(result.mdot[0])


@st.composite
def paths(draw: st.DrawFn) -> tuple[float, list[Case]]:
    bore = draw(bores)
    return bore, draw(pieces(bore))


@quick
@given(paths(), inches_of_water, directions)
def test_budget_of_a_path(way: tuple[float, list[Case]], inches: float, direction: str) -> None:
    """Every line but a recovery costs something; the exit's line is its own velocity head.

    The sum alone would hold by construction, so the exit is worked out here from the flow.
    """
    bore, parts = way
    part = design([runner("1", bore, parts)])
    answer = predict(part, inches, direction=direction).ports[0].answer
    assert answer.converged
    assert not answer.choked
    assert sum(line.loss_pa for line in answer.budget) == pytest.approx(
        inches * INCH_WATER, rel=1e-9
    )
    assert all(line.loss_pa >= -1e-9 * inches * INCH_WATER for line in answer.budget)
    ends = [bore, part.network.legs[0].section_end.D_eq]
    area = 0.25 * math.pi * ends[direction == "blown"] ** 2
    p = ROOM if direction == "blown" else ROOM - inches * INCH_WATER
    m = abs(answer.mdot) / area * math.sqrt(R_AIR * T_ROOM / GAMMA) / p  # M sqrt(1 + .2 M^2)
    M2 = (math.sqrt(1.0 + 2.0 * (GAMMA - 1.0) * m * m) - 1.0) / (GAMMA - 1.0)
    head = p * ((1.0 + 0.5 * (GAMMA - 1.0) * M2) ** (GAMMA / (GAMMA - 1.0)) - 1.0)
    last = next(line for line in answer.budget if line.element == "exit kinetic energy")
    assert last.loss_pa == pytest.approx(head, rel=3e-4)  # gamma at the exit against GAMMA


@quick
@given(paths(), directions, st.lists(st.floats(0.01, 300.0), min_size=3, max_size=5, unique=True))
def test_flow_rises_with_depression(
    way: tuple[float, list[Case]], direction: str, depressions: list[float]
) -> None:
    part = design([runner("1", way[0], way[1])])
    results = [predict(part, inches, direction=direction) for inches in sorted(depressions)]
    assert all(result.converged for result in results)
    flows = [abs(result.mdot[0]) for result in results]
    for before, after in pairwise(flows):
        # Round-off: sucked and choked it stays level, blown the bench's pressure still rises.
        assert after >= before * (1.0 - 1e-12)


@quick
@given(paths())
def test_flow_stays_level_when_choked(way: tuple[float, list[Case]]) -> None:
    part = design([runner("1", way[0], way[1])])
    flows = [
        predict(part, inches, direction="sucked").ports[0].answer
        for inches in (250.0, 320.0, 400.0)
    ]
    choked = [answer.choked for answer in flows]
    assert choked == sorted(choked)  # once choked it stays so
    if choked[0]:
        assert flows[0].mdot == pytest.approx(flows[2].mdot, rel=1e-10)  # root's own round-off
        assert flows[0].mach_max == pytest.approx(1.0, abs=0.01)  # gamma at the throat
    if not choked[2]:
        assert abs(flows[2].mdot) > abs(flows[0].mdot)


@quick
@given(paths(), st.floats(1.01, 2.0), inches_of_water, directions)
def test_larger_sections_flow_more(
    way: tuple[float, list[Case]], factor: float, inches: float, direction: str
) -> None:
    """All bores scaled up, lengths and radii kept."""
    bore, parts = way

    def scaled(parts: list[Case]) -> list[Case]:
        larger = json.loads(json.dumps(parts))
        for piece in larger:
            if "to" in piece:
                was = float(piece["to"]["bore"].split()[0])
                piece["to"]["bore"] = f"{factor * was} mm"
            if piece["kind"] == "weld bead":
                piece["height"] = f"{factor * float(piece['height'].split()[0])} mm"
            if piece["kind"] == "bend":
                piece["radius"] = f"{factor * float(piece['radius'].split()[0])} mm"
        return larger

    small, large = (
        abs(flow(design([runner("1", b, p)]), inches, direction=direction))
        for b, p in ((bore, parts), (factor * bore, scaled(parts)))
    )
    assert large > small


@quick
@given(paths(), st.floats(0.01, 10.0), inches_of_water, directions)
def test_a_loss_never_adds_flow(
    way: tuple[float, list[Case]], K: float, inches: float, direction: str
) -> None:
    bore, parts = way
    plain, more = (
        abs(flow(design([runner("1", bore, p)]), inches, direction=direction))
        for p in (parts, [*parts, {"kind": "loss", "K": K}])
    )
    assert more < plain


@relaxed
@given(paths(), st.sampled_from(["port", "outlet"]), directions)
def test_direction(way: tuple[float, list[Case]], fixed: str, direction: str) -> None:
    """Blown at the port or sucked at the outlet runs port to outlet; the others run back."""
    part = design([runner("1", way[0], way[1])], bench={"fixed end": fixed})
    forward = (fixed == "port") == (direction == "blown")
    found = flow(part, direction=direction)
    assert (found > 0.0) == forward
    # Less than an ideal nozzle of the widest end: 130 kg/m2/s at 28 inH2O.
    widest = max(section_.D_eq for section_ in leg_sections(part))
    assert 0.0 < abs(found) < 131.0 * 0.25 * math.pi * widest**2


def leg_sections(part: pulse1d.Design) -> list[Any]:
    leg = part.network.legs[0]
    return [leg.section_start, *(piece.section_out for piece in leg.pieces)]
