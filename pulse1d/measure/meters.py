"""Mass flow of each kind of meter from what it shows, over arrays of readings."""

from __future__ import annotations

import math

import numpy as np

from pulse1d.measure import iso5167, iso9300
from pulse1d.measure.air import Number, Stream, density
from pulse1d.measure.meter_specs import (
    CalibratedPlate,
    CriticalNozzle,
    FlowMeter,
    Meter,
    OrificePlate,
)

LOWEST = 0.3
"""Of full scale: below it the gauge's own limits grow large (common practice, no source) [-]."""
MOST = 1.1
"""Of full scale or range: no gauge is read further beyond its last mark (judgement) [-]."""


def mass_flow(meter: Meter, shown: Number, air: Stream) -> Number:
    """Mass flow that a meter shows.

    Parameters
    ----------
    meter : Meter   [SI]
    shown : float or array   Pressure across a plate, absolute pressure before a nozzle, or flow
        [Pa | kg/s | m^3/s]
    air : Stream   In front of the meter; a nozzle takes its pressure from ``shown`` [SI]
    Returns
    -------
    mdot : float or array   [kg/s]
    Limits      none enforced here; see ``check``
    Source      plates: ``pulse1d.measure.iso5167`` or their calibration, m ~ (dp rho)^(1/2);
                nozzles: ``pulse1d.measure.iso9300``
    """
    if isinstance(meter, OrificePlate):
        return iso5167.mass_flow(meter.bore, meter.pipe_bore, meter.taps, shown, air)
    if isinstance(meter, CalibratedPlate):
        return _calibrated(meter, shown, air)
    if isinstance(meter, CriticalNozzle):
        return iso9300.mass_flow(meter.throat, meter.finish, air._replace(p=shown))
    if meter.reads == "mass flow":
        return shown * np.ones_like(air.rho)
    if meter.reference is not None:
        return shown * density(meter.reference) * np.ones_like(air.rho)
    return shown * air.rho


def _calibrated(meter: CalibratedPlate, dp: Number, air: Stream) -> Number:
    dp = np.maximum(dp, 0.0)
    if meter.area is not None:
        return meter.area * np.sqrt(2.0 * dp * air.rho)
    rated = np.sqrt(meter.rated_density * air.rho)
    if meter.rated_flow is not None and meter.rated_pressure is not None:
        return meter.rated_flow * np.sqrt(dp / meter.rated_pressure) * rated
    pressures = np.array([point.pressure for point in meter.table or ()])
    areas = [point.flow / math.sqrt(point.pressure) for point in meter.table or ()]
    # beyond its ends np.interp keeps the end's area, so flow goes on with the root of pressure
    x = np.log(np.maximum(dp, 1e-9))
    return np.exp(np.interp(x, np.log(pressures), np.log(areas))) * np.sqrt(dp) * rated


def relative_u(meter: Meter, shown: float, air: Stream) -> float:
    """Standard uncertainty of a meter's flow at one reading, its gauges apart.

    Parameters
    ----------
    meter : Meter   [SI]
    shown : float   As for ``mass_flow`` [Pa | kg/s | m^3/s]
    air : Stream   In front of the meter [SI]
    Returns
    -------
    u : float   Relative, k = 1 [-]
    Source      ISO 5167-2:2003 through ``pulse1d.measure.iso5167``; else as stated, halved
    """
    if isinstance(meter, OrificePlate):
        plate = (meter.bore, meter.pipe_bore, meter.taps)
        return iso5167.expanded_uncertainty(*plate, shown, air) / 2.0
    if isinstance(meter, CriticalNozzle):
        return math.hypot(meter.uncertainty / 2.0, iso9300.real_gas_u(shown))
    return meter.uncertainty / 2.0


def check(meter: Meter, shown: float, air: Stream, p_behind: float | None) -> list[str]:
    """What is doubtful about one reading of a meter.

    Parameters
    ----------
    meter : Meter   [SI]
    shown : float   As for ``mass_flow`` [Pa | kg/s | m^3/s]
    air : Stream   In front of the meter [SI]
    p_behind : float or None   Pressure behind the meter where it is known [Pa]
    Returns
    -------
    warnings : list of str   Each with its remedy behind a semicolon [-]
    Errors      ValueError("message; remedy") when the reading cannot be turned into a flow.
    """
    if isinstance(meter, CriticalNozzle):
        return iso9300.check(
            meter.name, meter.throat, meter.finish, air._replace(p=shown), p_behind
        )
    if isinstance(meter, FlowMeter):
        if beyond := beyond_scale(meter, shown):
            raise ValueError(beyond)
        return _in_range(meter, shown)
    found = []
    if beyond := beyond_scale(meter, shown):
        raise ValueError(beyond)
    if shown >= air.p:
        raise ValueError(
            f"{meter.name} shows {shown:.0f} Pa across it, and only {air.p:.0f} Pa (absolute) "
            "stand in front of it; check the unit of the meter pressure"
        )
    if isinstance(meter, OrificePlate):
        plate = (meter.bore, meter.pipe_bore, meter.taps)
        found += iso5167.check(meter.name, *plate, shown, air)
    elif meter.table is not None:
        ends = (meter.table[0].pressure, meter.table[-1].pressure)
        if not ends[0] <= shown <= ends[1]:
            found.append(
                f"{meter.name} shows {shown:.0f} Pa, outside its table of {ends[0]:.0f} to "
                f"{ends[1]:.0f} Pa; use another range"
            )
    if meter.full_scale is not None and not LOWEST <= shown / meter.full_scale <= 1.0:
        found.append(
            f"{meter.name} reads {100.0 * shown / meter.full_scale:.0f} % of its full scale; "
            "use the range that brings it between 30 and 100 %"
        )
    return found


def beyond_scale(meter: Meter, shown: float) -> str:
    """Whether a meter shows more than it can.

    Parameters
    ----------
    meter : Meter   [-]
    shown : float   Its reading [Pa | kg/s | m^3/s]
    Returns
    -------
    text : str   "message; remedy"; empty where it can [-]
    """
    top, what = None, ""
    if isinstance(meter, OrificePlate | CalibratedPlate):
        top, what = meter.full_scale, "full scale"
    elif isinstance(meter, FlowMeter):
        top, what = meter.high, "high"
    if top is None or shown <= MOST * top:
        return ""
    return (
        f"{meter.name} cannot read {100.0 * shown / top:.0f} % of its {what}; look at the number, "
        f"its decimal sign and the column's unit, or put {what!r} of the meter right"
    )


def _in_range(meter: FlowMeter, shown: float) -> list[str]:
    low, high = meter.low, meter.high
    if (low is None or shown >= low) and (high is None or shown <= high):
        return []
    return [f"{meter.name} reads outside its range; use another meter"]
