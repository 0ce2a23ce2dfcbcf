"""The frozen model that every spec is made of, and its quantity types.

In a case file every quantity carries its unit as text. From Python a plain number is taken as SI.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema

from pulse1d import units
from pulse1d.errors import UnitError

FROM_TEXT = {"from_text": True}
"""Validation context of a file reader: bare numbers are refused where a unit is needed."""


def spoken(name: str) -> str:
    """The key of a field as it stands in a case file: words with spaces."""
    return name.replace("_", " ")


class Spec(BaseModel):
    """A frozen, closed description of one thing; keys in files are its field names with spaces."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=spoken, populate_by_name=True
    )


def _read(value: Any, info: ValidationInfo, dimension: str) -> Any:
    if isinstance(value, str):
        if dimension == "absolute pressure":
            return units.parse_absolute(value)
        return units.parse(value, dimension)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnitError(f"{value!r} is not a quantity; write it like {_example(dimension)}")
    if info.context and info.context.get("from_text"):
        if dimension != "ratio":
            raise UnitError(
                f"{value!r} has no unit; a {dimension} needs one, like {_example(dimension)}"
            )
        return units.sensible(value, dimension, f"{value:g}")
    return value


def _example(dimension: str) -> str:
    if dimension == "absolute pressure":
        return "101.325 kPa abs"
    return units.EXAMPLE[dimension]


def quantity(dimension: str, **limits: float) -> Any:
    """Annotated float that reads text with a unit of ``dimension``, within ``limits`` (SI)."""

    def read(value: Any, info: ValidationInfo) -> Any:
        return _read(value, info, dimension)

    schema: dict[str, Any] = {
        "type": ["string", "number"] if dimension == "ratio" else "string",
        "description": f"{dimension} with its unit, like {_example(dimension)}",
    }
    return Annotated[
        float,
        BeforeValidator(read),
        Field(allow_inf_nan=False, **limits),  # type: ignore[call-overload]
        WithJsonSchema(schema),
    ]


Length = quantity("length", ge=0.0)
PositiveLength = quantity("length", gt=0.0)
Coordinate = quantity("length")
Area = quantity("area", gt=0.0)
AreaFromZero = quantity("area", ge=0.0)
Time = quantity("time", ge=0.0)
Volume = quantity("volume", gt=0.0)
Angle = quantity("angle")
PressureDifference = quantity("pressure", gt=0.0)
AbsolutePressure = quantity("absolute pressure", gt=0.0)
Temperature = quantity("temperature", gt=0.0)
Force = quantity("force", ge=0.0)
Mass = quantity("mass", gt=0.0)
MassFlow = quantity("mass flow", gt=0.0)
VolumeFlow = quantity("volume flow", gt=0.0)
HeatTransferCoefficient = quantity("heat transfer coefficient", ge=0.0)
CellDensity = quantity("cell density", gt=0.0)
Fraction = quantity("ratio", ge=0.0, le=1.0)
PositiveRatio = quantity("ratio", gt=0.0)
Ratio = quantity("ratio")
