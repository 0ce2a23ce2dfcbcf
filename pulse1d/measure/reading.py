"""Readings as they leave the file: one row of gauges each, in SI, nothing reduced yet."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.measure.spec import Header


@dataclass(frozen=True)
class Reading:
    """One row of a session."""

    line: int
    """Where it stands in its file."""
    order: int
    """Its place in time within the session."""
    what: str
    """part | leak | check"""
    part: str
    port: str
    """Text; empty on rows without one."""
    remount: int
    meter: str
    test_pressure: float
    """Across the part [Pa]."""
    meter_reading: float
    """Pressure across a plate, absolute pressure before a nozzle, or flow [Pa | kg/s | m^3/s]."""
    T_part: float
    """Of the air that enters the part [K]."""
    T_meter: float
    """Of the air in front of the meter [K]."""
    p_room: float
    """Barometer [Pa]."""
    humidity: float
    """Relative, at the temperature of the header's room [-]."""
    note: str = ""


@dataclass(frozen=True)
class Session:
    """One day's readings."""

    header: Header
    readings: tuple[Reading, ...]
    name: str = ""
    """Stem of the file."""
