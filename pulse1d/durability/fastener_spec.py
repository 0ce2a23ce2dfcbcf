"""What a case says of the bolts or studs that hold the flange."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from pulse1d.durability.own_material import MaterialName
from pulse1d.spec import Force, Length, PositiveLength, Spec

Size = Literal["M6", "M8", "M10", "M12"]


class Sleeve(Spec):
    """A tube under the bolt's head that makes it longer."""

    length: PositiveLength
    outside: PositiveLength
    inside: PositiveLength
    material: MaterialName = "steel"

    @model_validator(mode="after")
    def _has_a_wall(self) -> Self:
        if not self.inside < self.outside:
            raise ValueError(
                f"a sleeve of {1e3 * self.outside:.4g} mm outside has no wall around "
                f"{1e3 * self.inside:.4g} mm; the outside is the larger"
            )
        return self


class Fasteners(Spec):
    """Studs or bolts of a port's flange, all alike."""

    size: Size
    material: MaterialName
    preload: Annotated[Force, Field(gt=0.0)]
    """Of one, right after tightening."""
    grip: PositiveLength | None = None
    """Clamped thickness under the sleeve; None: the flange's."""
    count_a_port: Annotated[int, Field(ge=1, le=8)] = 2
    embedding: Length = 12e-6
    """What faces and gasket settle by (judgement: 12 um with a gasket)."""
    sleeve: Sleeve | None = None
