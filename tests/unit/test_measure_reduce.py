"""The reduction of a session: corrections, cancellations, warnings, uncertainty."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.errors import InputError
from pulse1d.measure import Header, Reading, Session
from pulse1d.measure.reduce import Reduction, budget, monte_carlo, reduce

INCH, CFM = 249.09, 4.7195e-4
DRY = {"pressure": 101325.0, "temperature": 293.15, "humidity": 0.0}
R_DRY = 287.05
PLATES = {"range 4": 2.0e-3, "range 3": 1.5e-3, "range 1": 2.0e-4}
"""Effective area of the invented bench's plates [m^2]."""


def header(direction: str = "blown", inlet: str = "room", **more: Any) -> Header:
    meters = [
        {"name": name, "kind": "calibrated plate", "area": area} for name, area in PLATES.items()
    ]
    set_up = {
        "direction": direction,
        "fixed end": "port",
        "test pressure": 28.0 * INCH,
        "adapter": {"shape": "port"},
        "meter inlet": inlet,
    }
    head = {
        "format": "pulse1d readings 1",
        "about": {"bench": "invented", "date": "2026-03-02"},
        "parts": {"log": {"name": "pump log"}, "tube": {"name": "tubes"}},
        "set-up": set_up,
        "meters": meters,
        "room": DRY,
    }
    return Header.model_validate({**head, **more})


def read(order: int, what: str = "part", part: str = "log", **more: Any) -> Reading:
    """A row; its meter shows 3 inH2O unless stated."""
    row = {
        "line": order + 20,
        "order": order,
        "what": what,
        "part": part,
        "port": "1" if part else "",
        "remount": 1,
        "meter": "range 4",
        "test_pressure": 28.0 * INCH,
        "meter_reading": 3.0 * INCH,
        "T_part": 293.15,
        "T_meter": 293.15,
        "p_room": 101325.0,
        "humidity": 0.0,
    }
    return Reading(**{**row, **more})


def session(*rows: Reading, head: Header | None = None) -> Session:
    return Session(head or header(), rows)


def ratio(reduction: Reduction) -> list[float]:
    return [1.0, -1.0] + [0.0] * (len(reduction.rows) - 2)


# --- a forward calculation of its own: effective areas to gauge readings ---


def nozzle(area: float, p_up: float, p_down: float, T: float) -> float:
    """Isentropic mass flow, gamma 1.4 [kg/s]."""
    r = p_down / p_up
    return area * p_up * math.sqrt(7.0 / (R_DRY * T) * (r ** (2.0 / 1.4) - r ** (2.4 / 1.4)))


def shown(mdot: float, plate: float, p: float, T: float) -> float:
    """Pressure across a plate that passes mdot [Pa]."""
    return (mdot / plate) ** 2 / (2.0 * p / (R_DRY * T))


@pytest.mark.parametrize("direction", ["blown", "sucked"])
@pytest.mark.parametrize("inlet", ["room", "chamber"])
def test_an_invented_bench_is_read_back(direction: str, inlet: str) -> None:
    """Known areas, leak read at another pressure, drift of 1 %, warm air: all come back."""
    p_room, T_part, T_meter, dp_leak = 99.0e3, 300.0, 290.0, 20.0 * INCH
    sign = 1.0 if direction == "blown" else -1.0

    def row(order: int, what: str, area: float, drift: float, dp: float, part: str) -> Reading:
        p_up = max(p_room, p_room + sign * dp)
        leak = 0.002 * math.sqrt(dp / (28.0 * INCH))
        mdot = leak if what == "leak" else nozzle(area, p_up, p_up - dp, T_part) * drift + leak
        meter = "range 1" if what == "leak" else "range 4"
        p_meter = p_room + (sign * dp if inlet == "chamber" else 0.0)
        return read(
            order,
            what,
            part,
            meter=meter,
            test_pressure=dp,
            meter_reading=shown(mdot, PLATES[meter], p_meter, T_meter),
            T_part=T_part,
            T_meter=T_meter,
            p_room=p_room,
        )

    rows = (
        row(1, "leak", 0.0, 1.0, dp_leak, "log"),
        row(2, "check", 8e-4, 1.0, 28.0 * INCH, ""),
        row(3, "part", 9e-4, 1.005, 28.0 * INCH, "log"),
        row(4, "check", 8e-4, 1.010, 28.0 * INCH, ""),
    )
    found = reduce(session(*rows, head=header(direction, inlet)))
    # gamma 1.4 against 1.3997, R 287.05 against 287.06: 1e-4 together
    assert found.rows[0].cda == pytest.approx(9e-4, rel=1e-4)
    assert found.rows[0].mdot == pytest.approx(
        nozzle(
            9e-4,
            *((p_room + 28 * INCH, p_room) if sign > 0 else (p_room, p_room - 28 * INCH)),
            T_part,
        ),
        rel=2e-4,
    )
    p_ref = 101325.0
    ends = (p_ref + 28 * INCH, p_ref) if sign > 0 else (p_ref, p_ref - 28 * INCH)
    expected = nozzle(9e-4, *ends, 293.15) / (p_ref / (R_DRY * 293.15))
    assert found.rows[0].flow == pytest.approx(expected, rel=2e-4)
    assert found.leak[("log", "1")] == pytest.approx(0.002, rel=1e-4)
    assert [order for order, _ in found.drift] == [2, 4]
    assert [r for _, r in found.drift] == pytest.approx([1.0, 1.010], rel=1e-6)  # cancels exactly


def test_a_certified_check_plate_sets_the_level() -> None:
    """A bench that reads 3 % high all day: the certificate takes it out, and the meter with it."""
    first = reduce(session(read(1, "check", ""), read(2), read(3, "check", "")))
    true = first.rows[0].flow / 1.03  # part and check plate read alike here
    head = header(**{"check plate": {"flow": true, "uncertainty": 0.008}})
    found = reduce(session(read(1, "check", ""), read(2), read(3, "check", ""), head=head))
    assert found.rows[0].flow == pytest.approx(true, rel=1e-9)  # the same model both ways
    lines = dict(budget(found, np.array([1.0]))[0])
    assert lines["check plate"] == pytest.approx(0.004, rel=1e-2)  # half of 0.8 %; second order
    assert lines["meter constant"] < 1e-9  # shared with the check rows


def test_volumes_and_reference() -> None:
    head = header(reference={"pressure": 101325.0, "temperature": 273.15})
    row = reduce(session(read(1), head=head)).rows[0]
    rho_0, rho_up = 101325.0 / (R_DRY * 273.15), (101325.0 + 28.0 * INCH) / (R_DRY * 293.15)
    assert row.q_standard == pytest.approx(row.mdot / rho_0, rel=1e-4)  # R to 4e-5
    assert row.q_actual == pytest.approx(row.mdot / rho_up, rel=1e-4)


def test_blower_heat() -> None:
    """Air 10 K warmer at the part than at the meter: 1.7 % of flow (bench practice)."""
    cold, warm = (reduce(session(read(1, T_part=T))).rows[0].cda for T in (293.15, 303.15))
    assert warm / cold == pytest.approx(1.017, abs=5e-4)  # printed digits; sqrt(303.15/293.15)


@settings(max_examples=25, deadline=None)
@given(T=st.floats(278.0, 313.0), RH=st.floats(0.0, 0.9))
def test_density_cancels_on_a_classical_bench(T: float, RH: float) -> None:
    """Same air through plate and part: the area ratio is that of the pressures alone."""
    base = reduce(session(read(1))).rows[0].cda
    head = header(room={"pressure": 101325.0, "temperature": T, "humidity": RH})
    row = read(1, T_part=T, T_meter=T, humidity=RH)
    # gamma of moist air falls by up to 0.004, worth 0.75 dp/p of it
    assert reduce(session(row, head=head)).rows[0].cda == pytest.approx(base, rel=3e-4)


def test_pressure_level_cancels_but_for_compressibility() -> None:
    low, high = (
        reduce(session(read(1, p_room=p), head=header("sucked"))).rows[0].cda for p in (95e3, 105e3)
    )
    dp = 28.0 * INCH
    # sucked, the isentropic factor is 1 - 3 dp/(4 gamma p)
    factor = [1.0 - 0.75 * dp / (1.4 * p) for p in (95e3, 105e3)]
    assert low / high == pytest.approx(factor[1] / factor[0], rel=3e-4)  # its next term


@settings(max_examples=25, deadline=None)
@given(k=st.floats(0.5, 2.0))
def test_flow_scales_with_the_plate(k: float) -> None:
    meters = [{"name": "range 4", "kind": "calibrated plate", "area": 2e-3 * k}]
    scaled = reduce(session(read(1), head=header(meters=meters))).rows[0].flow
    assert scaled == pytest.approx(k * reduce(session(read(1))).rows[0].flow, rel=1e-12)


def test_which_leak_is_taken() -> None:
    rows = (
        read(1, "leak", "tube", meter="range 1", meter_reading=400.0),
        read(2, "leak", "log", port="2", meter="range 1", meter_reading=100.0),
        read(3),
        read(4, port="2"),
        read(5, part="tube", port="3"),
        read(6, "leak", "log", port="2", meter="range 1", meter_reading=25.0),
        read(7, port="2"),
    )
    leaks = reduce(session(*rows)).leak
    m = 2e-4 * math.sqrt(2.0 * 100.0 * 101325.0 / (R_DRY * 293.15))
    # port 1 of log: nearest of the part; port 2: orders 2 and 6, one each; tube: its own port 1's
    assert leaks[("log", "1")] == pytest.approx(m, rel=1e-4)
    assert leaks[("log", "2")] == pytest.approx(0.75 * m, rel=1e-4)
    assert leaks[("tube", "3")] == pytest.approx(2.0 * m, rel=1e-4)


def test_warnings_and_notes() -> None:
    leak = read(1, "leak", meter="range 1", meter_reading=400.0)
    found = reduce(session(leak, read(2, test_pressure=29.0 * INCH)))
    assert any("off the stated one; set it within 2 %" in text for text in found.rows[0].warnings)
    assert any("the leak is" in text for text in found.rows[0].warnings)
    assert any("no check plate" in text for text in found.notes)
    assert any(item.name == "drift, no check plate" for item in found.inputs)
    bare = reduce(session(read(2), read(3, meter="range 3")))
    assert any("no leak was read for log" in text for text in bare.notes)
    assert any("several meters" in text for text in bare.notes)
    assert bare.rows[0].warnings == ()


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (read(1, meter="range 9"), "'range 9' is not listed"),
        (read(1, what="blank"), "write part, leak or check"),
        (read(1, meter_reading=0.0), "a part has flow"),
        (read(1, meter_reading=2e5), "check the unit"),
        (read(1, test_pressure=-1.0), "between 0 and the barometer"),
    ],
)
def test_rows_that_cannot_be_reduced_are_all_named(row: Reading, message: str) -> None:
    with pytest.raises(InputError) as error:
        reduce(session(row, replace(row, order=2, line=22)))
    assert [problem.line for problem in error.value.problems][:2] == [21, 22]
    assert message in error.value.problems[0].message + error.value.problems[0].remedy


def test_sessions_that_cannot_be_reduced() -> None:
    with pytest.raises(InputError, match="no row reads a part"):
        reduce(session(read(1, "check", "")))
    with pytest.raises(InputError, match="stands on several rows"):
        reduce(session(read(1), read(1)))
    huge = read(1, "leak", meter_reading=2.0 * INCH)
    with pytest.raises(InputError, match="over half of the reading"):
        reduce(session(huge, read(2)))


# --- uncertainty ---


def a_b(**more: Any) -> Reduction:
    """Two parts with a leak and check rows around them."""
    rows = (
        read(1, "check", ""),
        read(2, "leak", "log", meter="range 1", meter_reading=20.0),
        read(3, part="log"),
        read(4, "leak", "tube", meter="range 1", meter_reading=20.0),
        read(5, part="tube", meter_reading=3.6 * INCH, **more),
        read(6, "check", ""),
    )
    return reduce(session(*rows))


def test_budget_of_a_ratio_by_hand() -> None:
    """The lines of a comparison that bench practice works out by hand."""
    found = a_b()
    lines, total = budget(found, np.array([1.0, -1.0]))
    u = dict(lines)
    # +-.05 in of 28, half of it in flow, rectangular, two rows: .07 % (bench practice); and the
    # last check row over the first, which weighs 0.4 in row 3 and 0.8 in row 5
    checks = (0.8 - 0.4) * 2**0.5
    one = 0.05 / 28 / 2 / 3**0.5
    # compressibility makes the half of blown flow 0.47 to 0.50; the leak's 2 % goes with it
    assert u["test pressure setting"] == pytest.approx(one * math.hypot(1, 1, checks), rel=0.05)
    # the same of the meter's 3.0 and 3.6 in; the leak's 2 % raises it as much
    one = 0.05 / 2 / 3**0.5
    by_hand = one * math.hypot(1 / 3.0, 1 / 3.6, checks / 3.0)
    assert u["meter pressure reading"] == pytest.approx(by_hand, rel=0.05)
    assert u["seating"] == pytest.approx(0.0020, rel=1e-3)  # of the ratio (bench practice)
    # a plate's constant, 1 %, is common to both
    assert u["meter constant"] < 1e-4
    assert total == pytest.approx(math.sqrt(sum(value**2 for value in u.values())), rel=1e-12)
    values = [value for _, value in lines]
    assert values == sorted(values, reverse=True)


def test_leak_of_half_a_cfm() -> None:
    """+-0.5 CFM on a part, rectangular, and what the leak's gauge cannot tell."""
    flow_meter = {"name": "m", "kind": "flow meter", "reads": "actual volume flow"}
    head = header(meters=[*[m.model_dump() for m in header().meters], flow_meter])
    leak = read(1, "leak", meter="m", meter_reading=1e-3)
    found = reduce(session(leak, read(2), head=head))
    Q = PLATES["range 4"] * math.sqrt(2.0 * 3.0 * INCH / (101325.0 / (R_DRY * 293.15)))
    u = dict(budget(found, np.array([1.0]))[0])["leak"]
    assert u == pytest.approx(0.5 * CFM / (Q - 1e-3) / 3**0.5, rel=1e-3)  # second order
    # a plate that shows 20 +- 12.45 Pa: half the difference of the roots is 33 % of its flow
    found = reduce(session(replace(leak, meter="range 1", meter_reading=20.0), read(2)))
    q = PLATES["range 1"] * math.sqrt(2.0 * 20.0 / (101325.0 / (R_DRY * 293.15)))
    gauge = 0.5 * q * (math.sqrt(1.0 + 12.4545 / 20.0) - math.sqrt(1.0 - 12.4545 / 20.0))
    u = dict(budget(found, np.array([1.0]))[0])["leak"]
    by_hand = math.hypot(0.5 * CFM, gauge) / (Q - q) / 3**0.5
    assert u == pytest.approx(by_hand, rel=1e-3)  # second order


def test_absolute_flow_carries_the_plate() -> None:
    u = dict(budget(a_b(), np.array([1.0, 0.0]))[0])
    assert u["meter constant"] == pytest.approx(0.005, rel=0.02)  # 1 % at k = 2; leak 1 %
    # 0.5 K of 293 K, half, rectangular
    assert u["thermometer part"] == pytest.approx(0.5 / 293.15 / 2 / 3**0.5, rel=0.02)


def test_another_range_brings_its_own_constant() -> None:
    found = a_b(meter="range 3")
    u = dict(budget(found, np.array([1.0, -1.0]))[0])
    assert u["range step"] == pytest.approx(0.0017, rel=0.05)  # of the ratio; leak 2 %
    assert u["meter constant"] == pytest.approx(0.005 * 2**0.5, rel=0.05)


def test_names_reach_as_far_as_the_error() -> None:
    one, two = (
        reduce(Session(header(), (read(1), read(2)), name)) for name in ("monday", "tuesday")
    )
    names = [{item.name for item in found.inputs} for found in (one, two)]
    shared = names[0] & names[1]
    assert "meter constant, range 4" in shared
    assert "barometer" in shared
    assert not any("row" in name or "drift" in name for name in shared)
    by_family = {item.family for item in one.inputs}
    assert {"test pressure setting", "drift, no check plate", "barometer"} <= by_family


def test_monte_carlo_agrees() -> None:
    found = a_b(meter="range 3")
    draws = monte_carlo(found.session, samples=20_000, seed=7)
    covariance = found.jacobian @ found.jacobian.T
    # 5 % is what JCGM 101 calls one digit; 20 000 draws give a deviation to 0.5 %
    assert draws.std(axis=0) == pytest.approx(np.sqrt(np.diag(covariance)), rel=0.05)
    w = np.array([1.0, -1.0])
    assert (draws @ w).std() == pytest.approx(budget(found, w)[1], rel=0.05)
    mean = np.log([row.flow for row in found.rows])
    assert draws.mean(axis=0) == pytest.approx(mean, abs=0.05 * draws.std(axis=0).min())


def test_same_seed_same_draws() -> None:
    one, two, three = (monte_carlo(session(read(1)), 50, seed) for seed in (1, 1, 2))
    assert np.array_equal(one, two)
    assert not np.array_equal(one, three)
