"""Entries, outlets, stated losses, restrictions and heads."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pydantic import ValidationError

from pulse1d.geometry.sections import Round
from pulse1d.losses import (
    A_curtain,
    A_valve_minimum,
    Cd_valve,
    CdA_of_flow,
    Entry,
    HeadFlow,
    K_entry,
    Law,
    MeasuredLoss,
    Outlet,
    Restriction,
    Station,
    Step,
    Straight,
    ValveSeat,
    mdot_nozzle,
)
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.valve_flow import REVERSE_SHARE

STATION = Station(Round(bore=0.04), 15e-6)
VALVE = {"head diameter": "36 mm"}


def row(piece: PieceBase, station: Station = STATION) -> Step:
    (element,) = piece.elements(station)
    (step,) = element.steps
    return step


def test_straight_is_friction_alone() -> None:
    step = row(Straight(length="0.8 m"))
    assert (step.L, step.K0, step.Kf, step.eps) == (0.8, 0.0, 0.0, 15e-6)
    assert Straight(length="0.8 m").path_length() == 0.8


def test_entry() -> None:
    step = row(Entry(edge_radius="4 mm"))
    # D_h to round-off.
    assert (step.K0, step.K0_rev, step.L) == (pytest.approx(K_entry(0.1), rel=1e-9), 0.0, 0.0)
    assert row(Entry()).K0 == pytest.approx(0.5, rel=1e-12)
    assert row(Entry(flanged=False)).K0 == 1.0
    assert row(Entry(flanged=False, wall="1.5 mm")).K0 < 0.65
    assert row(Entry(ideal=True)).K0 == 0.0
    assert Entry(ideal=True).elements(STATION)[0].effects == ()
    assert row(Entry(edge_radius="20 mm")).K0 == pytest.approx(0.03, rel=1e-9)  # the table's end


def test_outlet_costs_nothing_forward_and_an_entry_backwards() -> None:
    step = row(Outlet())
    assert (step.K0, step.K0_rev) == (0.0, 1.0)  # thin free tube end
    assert row(Outlet(flanged=True, edge_radius="8 mm")).K0_rev == pytest.approx(0.03, rel=1e-9)


@pytest.mark.parametrize(
    ("data", "words"),
    [({"ideal": True, "edge_radius": 0.01}, "drop them"), ({"wall": 0.001}, "flanged: false")],
)
def test_mouths_tell_one_story(data: dict[str, object], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        Entry(**data)  # type: ignore[arg-type]


def test_stated_loss() -> None:
    loss = MeasuredLoss(name="probe", K=0.3, reverse_K=0.5, at="downstream", band=0.2)
    (element,) = loss.elements(STATION)
    assert (element.name, element.k_ref, element.source) == ("probe", "downstream", "case")
    assert (element.steps[0].K0, element.steps[0].K0_rev) == (0.3, 0.5)
    assert row(MeasuredLoss(K=0.3)).K0_rev == 0.3
    assert MeasuredLoss(K=0.3, band=0.0).elements(STATION)[0].effects == ()


def test_nozzle_flow_against_the_bench_table() -> None:
    # Air, 101325 Pa, 293.15 K: published isentropic values to five digits (losses reference).
    for dp, mdot in ((2490.9, 76.42), (6227.2, 118.36), (6974.5, 124.73)):
        assert mdot_nozzle(1.0, 101325.0, 293.15, 101325.0 - dp) == pytest.approx(mdot, rel=1e-4)
    choked = mdot_nozzle(1.0, 101325.0, 293.15, 40000.0)
    assert mdot_nozzle(1.0, 101325.0, 293.15, 20000.0) == choked
    # 0.6847 p0 / sqrt(R T0): the choked flow of a diatomic gas, four digits.
    assert choked == pytest.approx(0.6847 * 101325 / math.sqrt(287.05 * 293.15), rel=1e-4)


def test_restriction_by_area_or_by_flow() -> None:
    step = row(Restriction(effective_area="600 mm^2", reverse_effective_area="500 mm^2"))
    assert step.law == Law.NOZZLE
    assert (step.jet, step.jet_rev) == pytest.approx((600e-6, 500e-6), rel=1e-12)  # units
    CdA = CdA_of_flow(0.06, 6974.5, 101325.0, 293.15)
    mdot = mdot_nozzle(CdA, 101325.0, 293.15, 101325.0 - 6974.5)
    assert mdot == pytest.approx(0.06 * 101325 / (287.05 * 293.15), rel=1e-12)  # inverse
    by_flow = Restriction(flow=0.06, depression=6974.5)
    assert row(by_flow).jet == pytest.approx(CdA, rel=1e-12)
    (wide,) = Restriction(effective_area="2000 mm^2").elements(STATION)
    assert wide.steps[0].jet == STATION.section.area
    assert "exceeds the section" in wide.notes[0]


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"flow": 0.06},
        {"flow": 0.06, "depression": 7e3, "effective_area": 1e-4},
        {"flow": 0.06, "depression": 2e5},
    ],
)
def test_restriction_needs_one_statement(data: dict[str, float]) -> None:
    with pytest.raises(ValidationError):
        Restriction(**data)  # type: ignore[arg-type]


def test_valve_area_is_continuous_and_ends_at_the_port() -> None:
    sizes = (0.036, 0.002, math.pi / 4, 0.031, 0.007)
    join = 0.002 / (math.sin(math.pi / 4) * math.cos(math.pi / 4))
    below, above = (A_valve_minimum(join * (1 + s), *sizes) for s in (-1e-9, 1e-9))
    assert below == pytest.approx(above, rel=1e-7)  # 1e-9 of lift, and the slope is near 1
    port = 0.25 * math.pi * (0.031**2 - 0.007**2)
    assert A_valve_minimum(0.02, *sizes) == pytest.approx(port, rel=1e-12)
    # The port takes over where Heywood's third range begins.
    D_m = 0.036 - 0.002
    last = math.sqrt((port / (math.pi * D_m)) ** 2 - 0.002**2) + 0.002
    assert A_valve_minimum(last * 0.999, *sizes) < port
    # 5e-3: 0.1 % of lift counts at most threefold where the passage is steep.
    assert A_valve_minimum(last * 0.999, *sizes) == pytest.approx(port, rel=5e-3)
    flat = A_valve_minimum(0.001, 0.036, 0.002, 0.0, 0.031, 0.007)
    assert flat == pytest.approx(math.pi * 0.001 * 0.032, rel=1e-12)  # a flat seat: a cylinder


def test_shipped_coefficients() -> None:
    assert Cd_valve(0.0) == Cd_valve(0.05) == pytest.approx((0.72, 0.66))
    assert Cd_valve(0.25) == pytest.approx((0.60, 0.50))  # a table point
    with pytest.raises(ValueError, match="outside the table"):
        Cd_valve(0.4)
    flow = HeadFlow.model_validate({"valve": VALVE})
    CdA, CdA_rev = flow.effective_areas(0.009)
    curtain = A_curtain(0.009, 0.036)
    assert (CdA, CdA_rev) == pytest.approx((0.60 * curtain, 0.50 * curtain), rel=1e-9)
    # Flow coefficient on the head area: production ports level off at 0.55 to 0.68 (from memory).
    top = flow.effective_areas(0.35 * 0.036)[0] / (math.pi / 4 * 0.036**2)
    assert 0.55 < top < 0.70
    two = HeadFlow.model_validate({"valve": VALVE, "valves": 2})
    assert two.effective_areas(0.009)[0] == pytest.approx(2 * CdA, rel=1e-12)


def test_stated_tables() -> None:
    by_area = HeadFlow.model_validate(
        {
            "areas": [
                {"lift": "3 mm", "effective area": "200 mm^2"},
                {
                    "lift": "6 mm",
                    "effective area": "380 mm^2",
                    "reverse effective area": "300 mm^2",
                },
            ]
        }
    )
    assert by_area.effective_areas(0.006) == pytest.approx((380e-6, 300e-6), rel=1e-9)
    assert by_area.effective_areas(0.003)[1] == pytest.approx(REVERSE_SHARE * 200e-6, rel=1e-9)
    assert by_area.effective_areas(0.0) == (0.0, 0.0)
    lifts = np.linspace(0.0, 0.006, 50)
    assert np.all(np.diff([by_area.effective_areas(lift)[0] for lift in lifts]) > 0)
    with pytest.raises(ValueError, match="outside the flow table"):
        by_area.effective_areas(0.007)
    by_coefficient = HeadFlow.model_validate(
        {"valve": VALVE, "coefficients": [{"lift": "6 mm", "forward": 0.65, "reverse": 0.6}]}
    )
    expected = 0.65 * A_curtain(0.006, 0.036)
    assert by_coefficient.effective_areas(0.006)[0] == pytest.approx(expected, rel=1e-9)
    by_flow = HeadFlow.model_validate(
        {"flows": [{"lift": "6 mm", "flow": "60 L/s"}], "depression": "28 inH2O"}
    )
    expected = CdA_of_flow(0.06, 28 * 249.09, 101325.0, 293.15)
    assert by_flow.effective_areas(0.006)[0] == pytest.approx(expected, rel=1e-9)
    assert (by_flow.half_width, by_flow.source) == (0.03, "case")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({}, "head diameter"),
        ({"flows": [{"lift": "6 mm", "flow": "60 L/s"}]}, "depression"),
        (
            {
                "valve": VALVE,
                "coefficients": [
                    {"lift": "6 mm", "forward": 0.6},
                    {"lift": "3 mm", "forward": 0.6},
                ],
            },
            "sort them",
        ),
        (
            {
                "valve": VALVE,
                "reference": "minimum area",
                "coefficients": [{"lift": "6 mm", "forward": 0.6}],
            },
            "port diameter",
        ),
    ],
)
def test_head_refusals(data: dict[str, object], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        HeadFlow.model_validate(data)


def test_valve_seat_in_a_path() -> None:
    seat = ValveSeat.model_validate({"valve": VALVE, "lift": "6 mm"})
    assert row(seat).jet == pytest.approx(seat.effective_areas(0.006)[0], rel=1e-12)
    with pytest.raises(ValueError, match="no valve lift is stated"):
        ValveSeat.model_validate({"valve": VALVE}).elements(STATION)
