"""The kinds of meter that a readings file can name, one entry a range."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    Field,
    TypeAdapter,
    ValidationError,
    ValidationInfo,
    model_validator,
)

from pulse1d.measure.air import RoomAir
from pulse1d.measure.quantities import Density
from pulse1d.spec import (
    Area,
    Fraction,
    MassFlow,
    PositiveLength,
    PressureDifference,
    Spec,
    VolumeFlow,
)

DENSITY_RATED = 1.2041
"""Dry air at 20 degC and 101.325 kPa [kg/m^3]."""


class Plate(Spec):
    """A meter that is read by the pressure across it."""

    name: str
    full_scale: PressureDifference | None = None
    """Largest pressure that its gauge reads."""


class OrificePlate(Plate):
    """A sharp-edged plate in a pipe, built and installed to ISO 5167-2.

    A plate in the wall of a chamber is no such installation: calibrate it.
    """

    kind: Literal["orifice plate"]
    bore: PositiveLength
    pipe_bore: PositiveLength
    taps: Literal["corner", "flange", "D and D/2"] = "corner"

    @model_validator(mode="after")
    def _bore_in_pipe(self) -> OrificePlate:
        beta = self.bore / self.pipe_bore
        if not BETA[0] <= beta <= BETA[1]:
            raise ValueError(
                f"the bore of plate {self.name!r} is {beta:.3f} of the pipe's, and ISO 5167-2 "
                f"covers {BETA[0]} to {BETA[1]}; give it as a calibrated plate"
            )
        return self


BETA = (0.1, 0.75)
"""Range of bore over pipe bore of ISO 5167-2 [-]."""


class RatedPoint(Spec):
    """Flow of a calibrated plate at one pressure."""

    pressure: PressureDifference
    flow: VolumeFlow


class CalibratedPlate(Plate):
    """A plate whose flow is known: by its effective area, one rated flow, or a table."""

    kind: Literal["calibrated plate"]
    area: Area | None = None
    """Cd A."""
    rated_flow: VolumeFlow | None = None
    rated_pressure: PressureDifference | None = None
    table: Annotated[tuple[RatedPoint, ...], Field(min_length=2)] | None = None
    """Rising; between its points ln flow runs straight over ln pressure."""
    rated_density: Density = DENSITY_RATED
    """Density that the rated flow or the table holds at."""
    uncertainty: Fraction = 0.01
    """Of its flow, k = 2."""

    @model_validator(mode="after")
    def _one_way(self) -> CalibratedPlate:
        rated = (self.rated_flow, self.rated_pressure)
        if None in rated and rated != (None, None):
            there = "rated flow" if self.rated_pressure is None else "rated pressure"
            other = "rated pressure" if self.rated_pressure is None else "rated flow"
            raise ValueError(f"plate {self.name!r} has a {there} but no {other}; give both")
        ways = sum(way is not None for way in (self.area, self.rated_flow, self.table))
        if ways != 1:
            raise ValueError(
                f"plate {self.name!r} is described in {ways} ways; give one of area, "
                "rated flow with rated pressure, or table"
            )
        for low, high in zip(self.table or (), (self.table or ())[1:], strict=False):
            if not (high.pressure > low.pressure and high.flow > low.flow):
                raise ValueError(
                    f"the table of plate {self.name!r} does not rise; list its points from the "
                    "lowest pressure to the highest, flow rising with pressure"
                )
        return self


class CriticalNozzle(Spec):
    """A toroidal-throat nozzle that runs choked, to ISO 9300."""

    name: str
    kind: Literal["critical nozzle"]
    throat: PositiveLength
    """Its diameter."""
    finish: Literal["as turned", "accurately machined"] = "as turned"
    uncertainty: Fraction = 0.003
    """Of its flow, k = 2."""


def _flow(value: Any, info: ValidationInfo) -> Any:
    """A flow in the dimension that its meter reads."""
    kind = MassFlow if info.data.get("reads") == "mass flow" else VolumeFlow
    try:
        return TypeAdapter(kind).validate_python(value, context=info.context)
    except ValidationError as error:
        raise ValueError(error.errors()[0]["msg"].removeprefix("Value error, ")) from error


Flow = Annotated[float, BeforeValidator(_flow)]
"""Mass flow or volume flow, by what the meter reads."""


class FlowMeter(Spec):
    """A meter that shows flow itself."""

    name: str
    kind: Literal["flow meter"]
    reads: Literal["mass flow", "actual volume flow", "standard volume flow"]
    reference: RoomAir | None = None
    """State that its standard volume flow holds at; needed for that alone."""
    uncertainty: Fraction = 0.01
    """Of its reading, k = 2."""
    low: Flow | None = None
    high: Flow | None = None
    """Ends of the range that its maker states."""

    @model_validator(mode="after")
    def _whole(self) -> FlowMeter:
        if self.reads == "standard volume flow" and self.reference is None:
            raise ValueError(
                f"meter {self.name!r} reads standard volume flow and does not say of which state; "
                "give its reference, such as {pressure: 101.325 kPa abs, temperature: 20 degC}"
            )
        if self.reads != "standard volume flow" and self.reference is not None:
            raise ValueError(
                f"meter {self.name!r} reads {self.reads} and needs no reference; delete it"
            )
        if self.low is not None and self.high is not None and not self.low < self.high:
            raise ValueError(f"the range of meter {self.name!r} is empty; give low below high")
        return self


Meter = Annotated[
    OrificePlate | CalibratedPlate | CriticalNozzle | FlowMeter, Field(discriminator="kind")
]
