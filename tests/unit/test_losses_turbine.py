"""Turbine: as a nozzle, through the rows of a map, choked, its work, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from pydantic import TypeAdapter, ValidationError

from pulse1d.gas import state
from pulse1d.gas.air import dry_air
from pulse1d.geometry.sections import Round
from pulse1d.losses import Law, Restriction, Station, Turbine
from pulse1d.losses.element import COLUMN
from pulse1d.losses.laws import through_jet
from pulse1d.losses.turbine_law import expansion_of, nozzle_square, opened, through_turbine
from pulse1d.losses.turbine_map import fitted
from pulse1d.spec import FROM_TEXT
from pulse1d.steady.path import CHOKED_FLOW, CONVERGED, solve_path

Array = NDArray[np.float64]

AIR = dry_air().table
WIDE = Station(Round(bore=0.4), 1e-5)
"""So wide that velocity heads beside the turbine are below 1e-4 of the pressure."""
MAP = [
    {"expansion ratio": 1.2, "flow": "90 g/s"},
    {"expansion ratio": 1.6, "flow": "125 g/s"},
    {"expansion ratio": 2.0, "flow": "136 g/s"},
    {"expansion ratio": 2.5, "flow": "141 g/s"},
    {"expansion ratio": 3.0, "flow": "141 g/s"},
]
"""Invented; swallows less steeply than a nozzle, as stator and rotor in series do."""


def turbine(**keys: Any) -> Turbine:
    named = {key.replace("_", " "): value for key, value in keys.items()}
    return TypeAdapter(Turbine).validate_python(named, context=FROM_TEXT)


def row(piece: Turbine, station: Station = WIDE) -> Array:
    (element,) = piece.elements(station)
    return np.array(element.steps[0], dtype=float)


def test_nozzle_form_is_a_restriction() -> None:
    one = turbine(effective_area="6 cm^2", reverse_effective_area="4 cm^2").elements(WIDE)[0]
    other = Restriction(effective_area="6 cm^2", reverse_effective_area="4 cm^2").elements(WIDE)[0]
    assert one.steps == other.steps
    assert one.steps[0].law == Law.NOZZLE
    assert one.kind == "turbine"


@pytest.mark.parametrize("mdot", [1e-7, 0.01, 0.1, 0.139])
def test_a_nozzle_that_does_no_work_is_a_nozzle(mdot: float) -> None:
    """Both laws, one root by Newton on M, the other on the expansion; 1e-11: both roots to 1e-14,
    the pressure of a crawl to the round-off of 1 - x."""
    step = row(turbine(effective_area="600 mm^2", efficiency="50 %"))
    step[COLUMN["work_0"] : COLUMN["work_2"] + 1] = 0.0
    one = through_turbine(step, mdot, 1e5, 300.0, AIR)
    M, p0, M_in, M_jet = through_jet(step, False, mdot, 1e5, 300.0, AIR)
    assert one == pytest.approx((M, p0, 300.0, M_in, M_jet), rel=1e-11)


@pytest.mark.parametrize("state_given", [False, True])
def test_map_gives_its_own_rows(state_given: bool) -> None:
    """Within what the fit says that it leaves; 2e-4: the can's velocity head, and gamma at the
    static temperature in front."""
    T, p = (873.15, 2e5) if state_given else (288.15, 101325.0)
    rows = [dict(line) for line in MAP]
    if state_given:
        for line in rows:
            line |= {"inlet pressure": "200 kPa abs", "inlet temperature": "600 degC"}
    piece = turbine(map=rows, efficiency="60 %")
    (element,) = piece.elements(WIDE)
    assert piece.line is not None
    assert f"{100 * piece.line.worst:.2g} % of flow" in element.notes[0]
    assert piece.line.worst < 0.01  # an ordinary map is met to 1 %
    assert element.effects[0].size * 1.6449 == pytest.approx(
        math.hypot(0.03, piece.line.worst), rel=1e-4
    )
    steps = np.array(element.steps, dtype=float)
    for line in piece.map[:-1]:
        mdot, status, *_ = solve_path(steps, False, p, T, p / line.expansion_ratio, -1.0, AIR)
        assert status == CONVERGED
        assert abs(math.log(mdot / line.flow)) < piece.line.worst + 2e-4


def test_a_map_chokes_where_it_ends_and_later_than_a_nozzle() -> None:
    piece = turbine(map=MAP)
    steps = row(piece)[None, :]
    flows = [
        solve_path(steps, False, 1e5, 288.15, 1e5 / ratio, -1.0, AIR)[:2]
        for ratio in (1.9, 2.5, 3.2, 4.0, 10.0)
    ]
    (a, ok), (b, ok_b), *rest = flows
    assert ok == ok_b == CONVERGED
    assert b > 1.03 * a  # a nozzle would stand still from 1.89 on
    assert {status for _, status in rest} == {CHOKED_FLOW}
    # the sonic flow is found by bisection to 1e-13 of ln p0
    assert [mdot for mdot, _ in rest] == pytest.approx([rest[0][0]] * 3, rel=1e-9)
    assert rest[0][0] > b


def test_work_is_the_efficiency_times_the_ideal_fall() -> None:
    piece = turbine(map=MAP, efficiency="65 %")
    step, T0, p0 = row(piece), 900.0, 2.2e5
    for mdot in (0.02, 0.1, 0.15):
        M, p0_out, T0_out, M_in, _ = through_turbine(step, mdot, p0, T0, AIR)
        gamma = float(state.gamma(T0 / (1.0 + 0.2 * M_in**2), AIR))
        p = p0_out / (1.0 + 0.5 * (gamma - 1.0) * M * M) ** (gamma / (gamma - 1.0))
        ideal = T0 * (1.0 - (p / p0) ** ((gamma - 1.0) / gamma))
        assert T0 - T0_out == pytest.approx(0.65 * ideal, rel=1e-10)  # a power and its inverse
        flux = mdot * math.sqrt(float(AIR[0]) * T0_out) / (step[COLUMN["A_2"]] * p0_out)
        assert flux == pytest.approx(
            math.sqrt(gamma) * M
            * (1 + 0.5 * (gamma - 1) * M * M) ** (-0.5 * (gamma + 1) / (gamma - 1)),
            rel=1e-10,
        )  # fmt: skip


def test_efficiency_by_rows() -> None:
    etas = (0.5, 0.62, 0.66, 0.65, 0.62)
    rows = [{**line, "efficiency": eta} for line, eta in zip(MAP, etas, strict=True)]
    piece = turbine(map=rows)
    (element,) = piece.elements(WIDE)
    assert piece.line is not None
    assert "points of efficiency" in element.notes[0]
    assert piece.line.worst_work < 0.02
    assert all(0.0 <= w <= 1.0 for w in piece.line.work)


def test_reversed_flow_does_no_work_through_the_reversed_area() -> None:
    piece = turbine(map=MAP, efficiency="65 %", reverse_effective_area="300 mm^2")
    steps = row(piece)[None, :]
    plain = np.array(Restriction(effective_area=300e-6).elements(WIDE)[0].steps, dtype=float)
    one = solve_path(steps, True, 1e5, 288.15, 8e4, -1.0, AIR)
    other = solve_path(plain, False, 1e5, 288.15, 8e4, -1.0, AIR)
    assert one[0] == pytest.approx(other[0], rel=1e-12)  # the same law row by row


# --- laws that hold for any map -----------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(1.05, 6.0), min_size=3, max_size=9, unique=True),
    st.lists(st.floats(0.3, 1.0), min_size=9, max_size=9),
)
def test_swallowing_rises_and_its_inverse_is_its_inverse(
    ratios: list[float], rises: list[float]
) -> None:
    """Whatever the rows, the line rises from a finite area at ER 1 on; 1e-12: round-off of a
    root at the slope that the line has there."""
    ratios = sorted(ratios)
    m = 3e-5 * np.cumsum(rises[: len(ratios)])
    rows = [(ratio, float(flow), 288.15) for ratio, flow in zip(ratios, m, strict=True)]
    line = fitted(rows, [0.6] * len(ratios))
    step = np.zeros(len(COLUMN))
    for name, value in (
        ("jet", line.area), ("x_end", line.x_end), ("area_0", line.opening[0]),
        ("area_1", line.opening[1]), ("area_2", line.opening[2]),
    ):  # fmt: skip
        step[COLUMN[name]] = value
    assert 0.0 < line.opening[0] <= line.opening[1] <= line.opening[2] <= 1.0 + 1e-12
    gamma, before = 1.38, 0.0
    x_c = 1.0 - (2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0))
    for x in np.linspace(0.0, max(line.x_end, x_c), 30)[1:-1]:
        flow = opened(step, x)[0] * math.sqrt(nozzle_square(x, gamma)[0])
        assert flow >= before
        back = expansion_of(step, flow, gamma)
        again = opened(step, back)[0] * math.sqrt(nozzle_square(back, gamma)[0])
        assert again == pytest.approx(flow, rel=1e-12)
        before = flow
    assert expansion_of(step, 1.01 * before + 1.0, gamma) < 0.0  # CHOKED


# --- what is refused ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({}, "either an effective area or a map"),
        ({"effective_area": "6 cm^2", "map": MAP}, "either an effective area or a map"),
        ({"map": MAP[:2]}, "three rows"),
        ({"map": [{**MAP[0], "expansion ratio": 0.9}, *MAP[1:]]}, "greater than 1"),
        ({"map": [MAP[1], MAP[0], *MAP[2:]]}, "must rise"),
        ({"map": [{"expansion ratio": 1.1}, *MAP[1:]]}, "flow"),
        ({"map": [*MAP[:-1], {**MAP[-1], "flow": "130 g/s"}]}, "does not fall"),
        ({"map": MAP, "efficiency": "105 %"}, "less than or equal to 1"),
        ({"map": [{**MAP[0], "efficiency": 0.5}, *MAP[1:]]}, "every row"),
        ({"map": [{**MAP[0], "inlet pressure": "2 bar abs"}, *MAP[1:]]}, "both or neither"),
    ],
)
def test_what_is_refused(keys: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        turbine(**keys)


def test_a_turbine_wider_than_its_pipe_is_refused() -> None:
    with pytest.raises(ValueError, match="wider than the section"):
        turbine(effective_area="20 cm^2").elements(Station(Round(bore=0.04), 1e-5))


def test_a_plateau_that_scatters_a_little_is_taken() -> None:
    assert turbine(map=[*MAP[:-1], {**MAP[-1], "flow": "139 g/s"}]).line is not None
