"""Every error that a session's flows carry, as named inputs with their standard uncertainties."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt

from pulse1d.measure.air import Stream
from pulse1d.measure.meter_specs import CriticalNozzle, FlowMeter, Meter, OrificePlate
from pulse1d.measure.meters import mass_flow, relative_u
from pulse1d.measure.propagate import Input
from pulse1d.measure.reading import Reading
from pulse1d.measure.spec import Header, Instruments

ROOT_2, ROOT_3 = sqrt(2.0), sqrt(3.0)
LEAK_LIMIT = 2.35974e-4
"""+-0.5 CFM: what a leak moves by before the session fails (common practice, no source) [m^3/s]."""
U_NO_LEAK = 0.01
"""Limits of the flow of a part whose leak was not read: the largest leak that common practice lets
pass (judgement) [-]."""
U_RANGE = 0.0017 / ROOT_2
"""Of each meter, where several are used: +-0.3 %, rectangular, in the step between two (judgement)
[-]."""
U_SEATING = 0.0020 / ROOT_2
"""Seating and adapter alignment of a part that are the same at every remount: 0.2 % in the ratio of
two parts (judgement) [-]."""
U_DRIFT = 0.005
"""Of a bench between days, and from the first row of a session to its last (judgement) [-]."""

TEST = "test pressure setting"
METER = "meter pressure reading"
LEAK = "leak"
NO_CHECK = "drift, no check plate"
NOT_CERTIFIED = "drift, check plate not certified"
IN_SESSION = "drift in the session"


def row(family: str, reading: Reading) -> str:
    """Name of an input that belongs to one row.

    Parameters
    ----------
    family : str   Line of the budget [-]
    reading : Reading   [SI]
    Returns
    -------
    name : str   [-]
    """
    return f"{family}, row {reading.order}"


def gauge_limit(meter: Meter, instruments: Instruments) -> float | None:
    """Limits of the gauge that a meter is read by; None for one that shows flow itself.

    Parameters
    ----------
    meter : Meter   [SI]
    instruments : Instruments   [SI]
    Returns
    -------
    limit : float or None   [Pa]
    """
    if isinstance(meter, FlowMeter):
        return None
    if isinstance(meter, CriticalNozzle) and instruments.meter_inlet_pressure is not None:
        return instruments.meter_inlet_pressure
    return instruments.meter_pressure


def instrument_inputs(header: Header) -> list[Input]:
    """Errors of the room's instruments: one each, the same in every row.

    Parameters
    ----------
    header : Header   [SI]
    Returns
    -------
    inputs : list of Input   [-]
    Source      JCGM 100:2008, 4.3.7: within limits +-a, u = a / 3^(1/2)
    """
    limits = header.instruments
    note = "limits of the instrument, the same in every row"
    rows = (
        ("barometer", limits.barometer, "Pa"),
        ("humidity", limits.humidity, "-"),
        ("thermometer part", limits.temperature, "K"),
        ("thermometer meter", limits.temperature, "K"),
    )
    return [
        Input(name, limit / ROOT_3, "B", note, "", "rectangular", unit, "bench")
        for name, limit, unit in rows
    ]


def meter_inputs(used: Sequence[tuple[Meter, list[tuple[float, Stream]]]]) -> list[Input]:
    """Errors of the meters' constants, and the step between meters when there are several.

    Parameters
    ----------
    used : sequence of (meter, readings)   What each meter showed, and the air before it [SI]
    Returns
    -------
    inputs : list of Input   [-]
    """
    found = []
    for meter, shown in used:
        u = max(relative_u(meter, value, air) for value, air in shown)
        note = "calibration as stated, k = 2"
        if isinstance(meter, OrificePlate):
            note = "ISO 5167-2: coefficient, expansibility, diameters; the largest of its rows"
        found.append(
            Input(f"meter constant, {meter.name}", u, "B", note, "meter constant", scope="bench")
        )
        if len(used) > 1:
            note = "judgement: +-0.3 % between meters"
            name = f"range step, {meter.name}"
            found.append(
                Input(name, U_RANGE, "B", note, "range step", "rectangular", scope="bench")
            )
    return found


def leak_input(reading: Reading, meter: Meter, air: Stream, instruments: Instruments) -> Input:
    """Error of a leak row: what a leak moves by, and what its gauges cannot tell.

    Parameters
    ----------
    reading : Reading   A leak row [SI]
    meter : Meter   [SI]
    air : Stream   In front of the meter [SI]
    instruments : Instruments   [SI]
    Returns
    -------
    input : Input   [m^3/s at the meter]
    """
    limit, gauge = gauge_limit(meter, instruments), 0.0
    if limit is not None:
        high = mass_flow(meter, reading.meter_reading + limit, air)
        low = mass_flow(meter, max(reading.meter_reading - limit, 0.0), air)
        gauge = 0.5 * float((high - low) / air.rho)
    u = hypot(LEAK_LIMIT, gauge) / ROOT_3
    note = "+-0.5 CFM (common practice) and the meter gauge's limits"
    return Input(row(LEAK, reading), u, "B", note, LEAK, "rectangular", "m^3/s", "session")


def row_inputs(reading: Reading, meter: Meter, instruments: Instruments) -> list[Input]:
    """Errors of one row's own settings; gauge limits are taken as new in every row.

    Parameters
    ----------
    reading : Reading   A part or check row [SI]
    meter : Meter   [SI]
    instruments : Instruments   [SI]
    Returns
    -------
    inputs : list of Input   [-]
    Source      JCGM 100:2008, 4.3.7
    """
    found = [(TEST, instruments.test_pressure), (METER, gauge_limit(meter, instruments))]
    note = "limits of the gauge, new in every row"
    return [
        Input(row(name, reading), limit / ROOT_3, "B", note, name, "rectangular", "Pa", "row")
        for name, limit in found
        if limit is not None
    ]


def part_inputs(parts: Sequence[str], no_leak: Sequence[str]) -> list[Input]:
    """Errors that a part keeps through all its rows.

    Parameters
    ----------
    parts : sequence of str   Keys of the parts read [-]
    no_leak : sequence of str   Those whose leak is not known from any row [-]
    Returns
    -------
    inputs : list of Input   [-]
    """
    note = "judgement: alignment that no remount changes"
    seat = [
        Input(f"seating, {part}", U_SEATING, "B", note, "seating", scope="bench") for part in parts
    ]
    note = "judgement: no leak row; +-1 %"
    leak = [
        Input(
            f"leak not read, {part}", U_NO_LEAK / ROOT_3, "B", note, "leak not read", "rectangular"
        )
        for part in no_leak
    ]
    return seat + leak


def drift_inputs(header: Header, checks: int) -> list[Input]:
    """Errors of what the check plate tells or, without one, of not knowing the drift.

    Parameters
    ----------
    header : Header   [SI]
    checks : int   Number of check rows [-]
    Returns
    -------
    inputs : list of Input   [-]
    """
    plate, found = header.check_plate, []
    certified = plate is not None and plate.flow is not None and checks > 0
    if certified and plate is not None:
        note = "its certified flow, k = 2"
        found.append(Input("check plate", 0.5 * plate.uncertainty, "B", note, scope="bench"))
    else:
        why = NO_CHECK if checks == 0 else NOT_CERTIFIED
        found.append(Input(why, U_DRIFT, "B", "judgement: 0.5 % between days"))
    if checks < 2:
        found.append(Input(IN_SESSION, U_DRIFT, "B", "judgement: 0.5 % from first row to last"))
    return found
