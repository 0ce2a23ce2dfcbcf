"""What the head of a readings file says that no bench can be, though each value reads well."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from pulse1d.case.document import Document, Place
from pulse1d.errors import Problem
from pulse1d.measure.reading import Reading
from pulse1d.measure.spec import CheckPlate, FlowMeter, Instruments, Meter, RoomAir

PRESSURE = (5e4, 1.2e5)
"""Room pressure from 5500 m to below the sea's level [Pa]."""
TEMPERATURE = (233.15, 353.15)
"""Air whose humidity is known: -40 to 80 degC [K]."""
GAUGES = {"temperature": (20.0, "20 K"), "barometer": (1e4, "100 hPa")}
"""Widest limits of a gauge [SI]; beyond, its range was written instead."""
UNCERTAINTY = 0.2
"""Largest relative uncertainty of a meter or check plate, k = 2; beyond, a sample of it could be
a flow backwards."""
RANGE = "write how far the gauge may read off, not its range"
Read = Callable[[Any, Any], Any]
"""A spec made from a part of a file; None where that part is wrong."""


def head_problems(document: Document, readings: Sequence[Reading], alone: Read) -> list[Problem]:
    """Values of the head that lie beyond any bench, or beyond what was read.

    Parameters
    ----------
    document : Document   What was read [-]
    readings : sequence of Reading   The sound rows [SI]
    alone : callable   Spec and part of a file to the spec, None where the part is wrong [-]
    Returns
    -------
    problems : list of Problem   [-]
    """
    data = document.data
    problems: list[Problem] = []
    for key in ("room", "reference"):
        air = alone(RoomAir, data.get(key, {}))
        problems += _air(document, (key,), air) if air else []
    gauges = alone(Instruments, data.get("instruments", {}))
    problems += _gauges(document, gauges, readings) if gauges else []
    meters = data.get("meters")
    for index, item in enumerate(meters if isinstance(meters, list) else ()):
        meter, place = alone(Meter, item), ("meters", index)
        problems += _uncertain(document, place, getattr(meter, "uncertainty", 0.0))
        if isinstance(meter, FlowMeter) and meter.reference:
            problems += _air(document, (*place, "reference"), meter.reference)
    plate = alone(CheckPlate, data.get("check plate", {}))
    problems += _uncertain(document, ("check plate",), plate.uncertainty) if plate else []
    return problems


def _air(document: Document, place: Place, air: RoomAir) -> Iterable[Problem]:
    if not PRESSURE[0] <= air.pressure <= PRESSURE[1]:
        remedy = "a barometer reads 500 to 1200 hPa; give the station's own pressure"
        yield document.problem((*place, "pressure"), f"pressure of {place[-1]} cannot be", remedy)
    if not TEMPERATURE[0] <= air.temperature <= TEMPERATURE[1]:
        message, remedy = f"temperature of {place[-1]} cannot be", "it lies between -40 and 80 degC"
        yield document.problem((*place, "temperature"), message, remedy)


def _gauges(
    document: Document, gauges: Instruments, readings: Sequence[Reading]
) -> Iterable[Problem]:
    for name, (most, shown) in GAUGES.items():
        if getattr(gauges, name) > most:
            message = f"limit of {name} is over {shown}"
            yield document.problem(("instruments", name), message, RANGE)
    least = min(readings, key=lambda reading: reading.test_pressure, default=None)
    if least is not None and gauges.test_pressure >= least.test_pressure:
        message = f"limit of test pressure is not below what was read on line {least.line}"
        yield document.problem(("instruments", "test pressure"), message, RANGE)


def _uncertain(document: Document, place: Place, uncertainty: float) -> Iterable[Problem]:
    if uncertainty > UNCERTAINTY:
        message = f"uncertainty is over {100 * UNCERTAINTY:g} %"
        remedy = "write that of the certificate, relative to its flow, k = 2"
        yield document.problem((*place, "uncertainty"), message, remedy)
