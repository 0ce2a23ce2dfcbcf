"""How a part stands on the bench: which end is fixed, blown or sucked, and the room around it."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import model_validator

from pulse1d.gas.air import moist_air
from pulse1d.losses.entry import Entry
from pulse1d.spec import (
    AbsolutePressure,
    Fraction,
    PositiveLength,
    PressureDifference,
    Spec,
    Temperature,
)


class AirState(Spec):
    """A state of air: of the room, or the reference that volume flow is printed at."""

    pressure: AbsolutePressure = 101325.0
    temperature: Temperature = 293.15
    humidity: Fraction = 0.0
    """Relative humidity."""

    @model_validator(mode="after")
    def _holds_its_moisture(self) -> Self:
        moist_air(self.pressure, self.temperature, self.humidity)  # raises what is wrong with it
        return self


class Bench(Spec):
    """The bench set-up of a case."""

    depression: PressureDifference = 6974.52
    """Across the part, bench chamber against the room; 28 inH2O unless stated."""
    fixed_end: Literal["port", "outlet"] = "port"
    """Which end of the part is on the bench."""
    direction: Literal["blown", "sucked"] = "blown"
    """The bench pushes air into its end, or draws it out."""
    other_ports: Literal["blanked", "open"] = "blanked"
    """Ports not under test: blanked, or open to the room."""
    room: AirState = AirState()
    reference: AirState = AirState()
    """State whose density turns mass flow into the printed volume flow."""
    air_temperature: Temperature | None = None
    """Of the air that enters the part, such as behind a warm blower; None: the room's."""
    lifts: tuple[PositiveLength, ...] = ()
    """Valve lifts at which the head is put in series with the part; none: the part alone."""
    adapter: Entry = Entry(edge_radius=0.010)
    """Radiused adapter, of the port's own shape, in front of the end that air enters."""

    @property
    def port_to_outlet(self) -> bool:
        """Whether air runs from port to outlet."""
        return (self.fixed_end == "port") == (self.direction == "blown")

    @property
    def pressures(self) -> tuple[float, float]:
        """Pressure outside the ports and outside the outlet [Pa]."""
        room = self.room.pressure
        bench = room + self.depression if self.direction == "blown" else room - self.depression
        return (bench, room) if self.fixed_end == "port" else (room, bench)
