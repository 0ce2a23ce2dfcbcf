"""What stands at the head of a readings file: parts, set-up, instruments, air.

The meters are in ``pulse1d.measure.meter_specs``.
"""

from __future__ import annotations

import datetime
from collections import Counter
from typing import Annotated, Literal

from pydantic import Field, model_validator

from pulse1d.measure.air import RoomAir
from pulse1d.measure.meter_specs import (
    CalibratedPlate,
    CriticalNozzle,
    FlowMeter,
    Meter,
    OrificePlate,
    RatedPoint,
)
from pulse1d.measure.quantities import PressureLimit, TemperatureLimit
from pulse1d.spec import Fraction, Length, PressureDifference, Spec, VolumeFlow

__all__ = [
    "About",
    "Adapter",
    "CalibratedPlate",
    "CheckPlate",
    "CriticalNozzle",
    "FlowMeter",
    "Header",
    "Instruments",
    "Meter",
    "OrificePlate",
    "PartNote",
    "RatedPoint",
    "RoomAir",
    "SetUp",
]


class About(Spec):
    """Which bench, which day, whose hands."""

    bench: str
    date: datetime.date = Field(examples=["2026-03-02"])
    operator: str = ""
    notes: str = ""


class PartNote(Spec):
    """What a key in the column ``part`` stands for."""

    name: str
    serial: str = ""
    case: str | None = None
    """Case file of the same part, in the folder tree of the readings."""


class Adapter(Spec):
    """The piece between the bench and the end of the part that stands on it."""

    shape: str
    """In the user's words, such as "port" for the port's own shape."""
    edge_radius: Length | None = None
    """Of its inlet edge; a square edge is 0 mm."""


class SetUp(Spec):
    """How every part of the session stood on the bench."""

    direction: Literal["blown", "sucked"]
    fixed_end: Literal["port", "outlet"]
    test_pressure: PressureDifference
    """Across the part; flows are stated at it."""
    tolerance: Annotated[Fraction, Field(gt=0.0)] = 0.02
    """How far a reading may lie off the test pressure, of the test pressure."""
    several_pressures: bool = False
    """Rows are read at several test pressures on purpose, to fit the flow's exponent."""
    other_ports: Literal["blanked", "open"] = "blanked"
    adapter: Adapter
    gasket: Length | None = None
    """Its thickness; none: no gasket."""
    outlet_stub: str = "none"
    """What the part blows into, in the user's words."""
    meter_inlet: Literal["room", "chamber"]
    """Where the air in front of the meter stands: at room pressure, or the bench chamber's."""


class Instruments(Spec):
    """Limits of each instrument, +-; within them every error is taken as equally likely."""

    test_pressure: PressureLimit = 12.4545
    """0.05 inH2O unless stated."""
    meter_pressure: PressureLimit = 12.4545
    """0.05 inH2O unless stated."""
    meter_inlet_pressure: PressureLimit | None = None
    """Of the gauge in front of a critical nozzle; none: as the meter pressure's."""
    temperature: TemperatureLimit = 0.5
    barometer: PressureLimit = 100.0
    humidity: Fraction = 0.05


class CheckPlate(Spec):
    """The plate that is read before and after the parts to see the bench drift."""

    flow: VolumeFlow | None = None
    """Certified, at the test pressure and the reference state; none: only drift is corrected."""
    uncertainty: Fraction = 0.01
    """Of the certified flow, k = 2."""


class Header(Spec):
    """Everything in a readings file but its rows and the headings of its columns."""

    format: Literal["pulse1d readings 1"]
    about: About
    parts: Annotated[dict[str, PartNote], Field(min_length=1)]
    set_up: SetUp = Field(alias="set-up")
    meters: Annotated[tuple[Meter, ...], Field(min_length=1)]
    instruments: Instruments = Instruments()
    room: RoomAir = RoomAir()
    reference: RoomAir = RoomAir()
    """State whose density turns mass flow into the stated volume flow."""
    check_plate: CheckPlate | None = None

    @model_validator(mode="after")
    def _meter_names(self) -> Header:
        times = Counter(meter.name for meter in self.meters)
        twice = sorted(name for name, count in times.items() if count > 1)
        if twice:
            raise ValueError(f"two meters are named {twice[0]!r}; give each range its own name")
        return self

    def meter(self, name: str) -> Meter:
        """The meter of that name; KeyError when there is none."""
        return {meter.name: meter for meter in self.meters}[name]
