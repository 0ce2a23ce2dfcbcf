"""The case file: what a design is, how it stands on the bench, and how it is solved."""

from __future__ import annotations

from typing import Annotated, Literal, Self, TypeVar

from pydantic import Field, model_validator

from pulse1d.durability.spec import Durability
from pulse1d.engine.spec import Engine
from pulse1d.gas.spec import DryAir, GasSpec, resolve
from pulse1d.losses.catalogue import Piece
from pulse1d.losses.outlet import Outlet
from pulse1d.losses.restriction import Restriction
from pulse1d.losses.step import SectionStep
from pulse1d.losses.surface import Surface
from pulse1d.losses.valve_seat import ValveSeat
from pulse1d.network.crossover import Crossover
from pulse1d.network.layout import (
    Duct,
    Joint,
    Layout,
    Name,
    Port,
    Runner,
    SurfaceName,
    Tolerances,
    Trunk,
    Wall,
)
from pulse1d.spec import (
    Fraction,
    PositiveLength,
    PositiveRatio,
    Ratio,
    Spec,
    Temperature,
    VolumeFlow,
)
from pulse1d.steady.conditions import Bench
from pulse1d.waves.pulse_spec import Pulse

FORMAT = "pulse1d case 1"
LegSpec = TypeVar("LegSpec", Runner, Trunk)

CellLength = Annotated[PositiveLength, Field(ge=1e-4, le=1.0)]
"""Below 0.1 mm a run takes days; a cell of 1 m shows no wave."""
Courant = Annotated[PositiveRatio, Field(le=1.0)]
Limiter = Literal["mc", "van leer", "van albada", "minmod", "none", "first order"]
"""How slopes inside a cell are bounded, as ``pulse1d.waves.edges`` knows them."""


class About(Spec):
    """What a reader should know of the design."""

    name: str = Field(min_length=1, max_length=80)
    notes: str = ""


HeadFlow = Annotated[ValveSeat | Restriction, Field(discriminator="kind")]


class HeadPassage(Duct):
    """The port's own duct between valve and flange."""

    wall_temperature: Temperature = 473.15
    """On the engine; coolant stands behind it, some way behind (judgement)."""


class Head(Spec):
    """The cylinder head: its ports, and what it passes when it is on the bench too."""

    name: str = ""
    ports: tuple[Port, ...] = Field(min_length=1, max_length=64)
    flow: HeadFlow | None = None
    """What valve and port pass: a table by lift, or one measured restriction."""
    passage: HeadPassage | None = None
    """Its losses count where the flow table covers the valve only."""

    @property
    def passage_costs(self) -> bool:
        """Whether the passage's losses are its own, not part of the flow table."""
        return not (isinstance(self.flow, ValveSeat) and self.flow.covers == "valve and port")


class Downstream(Duct):
    """What follows the outlet, as one more length of pieces."""

    outlet: Outlet | None = None
    """How it ends; None: as the part's own outlet."""
    crossover: Crossover | None = None
    """Where the other bank's pipe meets this one."""

    @model_validator(mode="after")
    def _crossover_lies_on_it(self) -> Self:
        length = sum(piece.path_length() for piece in self.pieces)
        if self.crossover is not None and self.crossover.at >= length:
            raise ValueError(
                f"the crossover stands {1e3 * self.crossover.at:.4g} mm behind the part's outlet, "
                f"the pieces end {1e3 * length:.4g} mm behind it; move it, or add pieces"
            )
        return self


class Correction(Spec):
    """What a calibration does to one cause of doubt."""

    cause: str
    """Key as printed by the variance shares, such as "bend K"; or the name of one element."""
    factor: Annotated[PositiveRatio, Field(ge=0.01, le=100.0)] | None = None
    """On positive coefficients."""
    offset: Annotated[Ratio, Field(ge=-100.0, le=100.0)] | None = None
    """Added to coefficients that may cross zero, as a joint's."""
    sigmas: Annotated[Ratio, Field(ge=-20.0, le=20.0)] | None = None
    """Shift of the cause by this many of its own standard deviations, as ``fit`` estimates it."""
    spread: Fraction = 1.0
    """What the calibration leaves of the cause's standard deviation."""


class Correlation(Spec):
    """Two causes that a calibration leaves tied to each other."""

    between: tuple[str, str]
    r: Annotated[Ratio, Field(ge=-1.0, le=1.0)]


CALIBRATION_FORMAT = "pulse1d calibration 1"


class Calibration(Spec):
    """Corrections estimated from measurements, read by every prediction."""

    source: str = ""
    """What it was estimated from."""
    corrections: tuple[Correction, ...] = ()
    correlations: tuple[Correlation, ...] = ()

    @model_validator(mode="after")
    def _known(self) -> Calibration:
        causes = [correction.cause for correction in self.corrections]
        for cause in causes:
            if causes.count(cause) > 1:
                raise ValueError(f"cause {cause!r} stands twice; keep one correction of it")
        for correlation in self.correlations:
            for cause in correlation.between:
                if cause not in causes:
                    raise ValueError(
                        f"a correlation names {cause!r}, which no correction has; "
                        "name two corrected causes"
                    )
        return self


class Numerics(Spec):
    """How the case is solved, hashed apart from what it is."""

    samples: Annotated[int, Field(ge=0, le=1_000_000)] = 500
    """Samples of the uncertainty band; 0 for none."""
    seed: Annotated[int, Field(ge=0)] = 1
    cell: CellLength = 0.010
    """Cell length that the wave solver's mesh aims at."""
    cfl: Courant = 0.9
    limiter: Limiter = "mc"


class Expectation(Spec):
    """A figure that this case must give: every shipped case is its own test."""

    port: Name
    flow: VolumeFlow
    """At the bench reference state."""
    within: Fraction
    reason: str


class Case(Spec):
    """A whole case file, after `based on` and `head` files are merged in."""

    format: Literal["pulse1d case 1"]
    based_on: str | None = None
    about: About
    gas: GasSpec = DryAir()
    bench: Bench = Bench()
    head: Head
    surface: SurfaceName = Surface(name="tube")
    wall: Wall = Wall()
    tolerances: Tolerances = Tolerances()
    runners: tuple[Runner, ...] = Field(min_length=1, max_length=64)
    trunks: Annotated[tuple[Trunk, ...], Field(max_length=128)] = ()
    joints: Annotated[tuple[Joint, ...], Field(max_length=128)] = ()
    outlet: Outlet = Outlet()
    downstream: Downstream | None = None
    engine: Engine | None = None
    pulse: Pulse | None = None
    durability: Durability | None = None
    calibration: Calibration = Calibration()
    numerics: Numerics = Numerics()
    expect: tuple[Expectation, ...] = ()

    @model_validator(mode="after")
    def _gas_can_be(self) -> Self:
        room = self.bench.room
        resolve(self.gas, room.pressure, room.temperature)  # raises what is wrong with it
        return self

    def layout(self, bench: Bench) -> Layout:
        """The part as the network reads it on a bench, what follows its outlet included.

        Air that a bench blows in at the outlet enters there by the bench's adapter.
        """
        runners, trunks, outlet = self.runners, self.trunks, self.outlet
        if self.downstream is not None:
            runners = tuple(extended(leg, self.downstream) for leg in runners)
            trunks = tuple(extended(leg, self.downstream) for leg in trunks)
            outlet = self.downstream.outlet or outlet
        if bench.fixed_end == "outlet" and bench.direction == "blown":
            mouth = bench.adapter.model_dump(exclude={"kind", "name"})
            outlet = Outlet(**mouth)
        return Layout(
            ports=self.head.ports,
            runners=runners,
            trunks=trunks,
            joints=self.joints,
            surface=self.surface,
            wall=self.wall,
            tolerances=self.tolerances,
            entry=bench.adapter,
            outlet=outlet,
        )


def extended(leg: LegSpec, downstream: Downstream) -> LegSpec:
    """A leg that ends at the outlet, with what follows joined on; other legs unchanged.

    Parameters
    ----------
    leg : Runner or Trunk   A leg [-]
    downstream : Downstream   What follows the outlet [-]
    Returns
    -------
    leg : same type   [-]
    """
    if leg.to != "outlet":
        return leg
    more: tuple[Piece, ...] = (
        SectionStep(name="downstream step", to=downstream.section),
        *downstream.pieces,
    )
    return leg.model_copy(update={"pieces": (*leg.pieces, *more)})
