"""What a manifold is: ports, legs of pieces, the joints where legs meet, and the outlet.

Coordinates: x along the row of ports, y up, z out of the head. A port's flow leaves along its
``direction``; bends turn first towards its ``bend plane`` (default: down).
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from pulse1d.geometry.sections import Section
from pulse1d.losses.catalogue import Piece
from pulse1d.losses.entry import Entry
from pulse1d.losses.outlet import Outlet
from pulse1d.losses.surface import Surface
from pulse1d.spec import Angle, Coordinate, Length, PositiveLength, Ratio, Spec, Temperature

Point = tuple[Coordinate, Coordinate, Coordinate]
Direction = tuple[Ratio, Ratio, Ratio]


def _name(value: Any) -> Any:
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


Name = Annotated[str, BeforeValidator(_name), Field(min_length=1, max_length=60)]


def _surface(value: Any) -> Any:
    return {"name": value} if isinstance(value, str) else value


SurfaceName = Annotated[Surface, BeforeValidator(_surface)]
"""A wall by the name of a shipped surface, or by its own statement."""


class Port(Spec):
    """A port of the head: its name, and where and how it leaves the flange."""

    name: Name
    section: Section | None = None
    """Outline of the head port at the flange; None: as the runner's own opening."""
    position: Point | None = None
    direction: Direction = (0.0, 0.0, 1.0)
    bend_plane: Direction = (0.0, -1.0, 0.0)
    cylinders: tuple[Name, ...] = ()
    """Cylinders behind the port; a siamesed port has two."""


class Meeting(Spec):
    """How a leg meets a joint."""

    joint: Name
    angle: Angle = 0.0
    """Between the leg's stream and the joint's axis, which points where the flow leaves."""
    around: Angle | None = None
    """Position around the axis; None: spread evenly in order (merge), or 0 (branch)."""


def _meeting(value: Any) -> Any:
    if isinstance(value, str) and value != "outlet":
        return {"joint": value}
    return value


Target = Annotated[Meeting | Literal["outlet"], BeforeValidator(_meeting)]


Pieces = Annotated[tuple[Piece, ...], Field(max_length=500)]
"""Of one duct, in flow order; one of a hundred is unheard of."""


class Duct(Spec):
    """A duct of pieces that starts with its section."""

    section: Section
    pieces: Pieces = ()


class Leg(Spec):
    """A path of pieces from one end to the other; every leg starts with its section."""

    section: Section
    """Section that the leg starts with; pieces keep it until one changes it."""
    surface: SurfaceName | None = None
    """Wall of this leg; None: the layout's."""
    pieces: Pieces = ()
    to: Target


class Runner(Leg):
    """A leg that starts at a port."""

    port: Name


class Trunk(Leg):
    """A leg that starts at a joint: a length of log, a collector body, the outlet pipe."""

    from_: Annotated[Meeting, BeforeValidator(_meeting)] = Field(alias="from")
    name: Name | None = None


class Joint(Spec):
    """Where legs meet: ``branch`` = a lateral on a through run, ``merge`` = legs around an axis."""

    name: Name
    kind: Literal["branch", "merge"]
    position: Point | None = None
    direction: Direction | None = None
    """The way that the leg behind it leaves; None: as its legs tell it. Losses go by `angle`."""

    @model_validator(mode="after")
    def _points_somewhere(self) -> Self:
        if self.direction is not None and not any(self.direction):
            raise ValueError(
                "`direction` has no length, so it points nowhere; write it like [0, -1, 0]"
            )
        return self


class Wall(Spec):
    """The metal of the part, for mass, heat and durability."""

    thickness: PositiveLength | None = None
    material: str | None = None
    temperature: Temperature | None = None
    """Inner wall temperature on a heated bench; None: adiabatic."""


class Tolerances(Spec):
    """5-95 % half widths of the part's dimensions; None: the default of the surface's process."""

    bore: Length | None = None
    length: Length | None = None
    bend_radius: Length | None = None


class Layout(Spec):
    """The whole part between port flange and outlet."""

    ports: tuple[Port, ...] = Field(min_length=1)
    runners: tuple[Runner, ...] = Field(min_length=1)
    trunks: tuple[Trunk, ...] = ()
    joints: tuple[Joint, ...] = ()
    surface: SurfaceName = Surface(name="tube")
    wall: Wall = Wall()
    tolerances: Tolerances = Tolerances()
    entry: Entry
    outlet: Outlet = Outlet()
