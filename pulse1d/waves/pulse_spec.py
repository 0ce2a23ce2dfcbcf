"""The single-pulse rig of a case: a vessel bursts into one port, and stations listen."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from pulse1d.network.layout import Name
from pulse1d.spec import AbsolutePressure, AreaFromZero, Length, Spec, Temperature, Time, Volume

Duration = Annotated[Time, Field(gt=0.0, le=100.0)]
"""100 s are thousands of transits of any runner."""
OpeningRow = tuple[Time, AreaFromZero]


def _law(value: Any) -> Any:
    """One area alone is open from the start."""
    if isinstance(value, str | int | float):
        return [["0 s", value]]
    for row in value if isinstance(value, list) else ():
        if not isinstance(row, list | tuple) or len(row) != 2:
            raise ValueError(
                "a row of an opening law is a time and an area; write it like [2 ms, 200 mm^2]"
            )
    return value


def _opens(rows: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    if any(b[0] <= a[0] for a, b in pairwise(rows)):
        raise ValueError("the times of an opening law must rise; sort its rows, each time once")
    if not any(area > 0.0 for _, area in rows):
        raise ValueError("the opening never opens; give it an area above 0")
    return rows


def _some(stations: dict[str, float]) -> dict[str, float]:
    if not stations:
        raise ValueError("no station listens; name one and its distance, like {flange: 15 mm}")
    return stations


class Pulse(Spec):
    """A vessel of gas behind an opening at one port, the other ports closed."""

    port: Name
    """Port that the vessel feeds."""
    volume: Volume
    pressure: AbsolutePressure
    """In the vessel at the start."""
    temperature: Temperature = 293.15
    """In the vessel at the start."""
    opening: Annotated[
        tuple[OpeningRow, ...],
        BeforeValidator(_law),
        AfterValidator(_opens),
        Field(min_length=1, examples=["[[0 ms, 0 mm^2], [2 ms, 200 mm^2]]"]),
    ]
    """Effective area against time, linear between its rows; one area alone opens at once."""
    stations: Annotated[
        dict[Name, Length], AfterValidator(_some), Field(max_length=100, examples=["{a: 15 mm}"])
    ]
    """Name to distance from the port along the way to the outlet."""
    duration: Duration = 0.060
