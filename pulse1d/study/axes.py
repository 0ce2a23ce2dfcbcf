"""What a study varies: its parameters as axes, and points on them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Value = float | str
"""A number in SI units, or a choice that is a text."""
Point = Mapping[str, Value]
"""A value for each parameter, by name."""


@dataclass(frozen=True)
class Axis:
    """One parameter: a range, or a list of values."""

    name: str
    unit: str
    """For people; values are SI."""
    low: float
    high: float
    """Ends of the range, or least and greatest value; 0 and 0 for texts [SI]."""
    values: tuple[Value, ...] = ()
    """What may be chosen, in the study's order; none: anything between the ends."""
    labels: tuple[str, ...] = ()
    """The values as the study writes them."""
    steps: int = 5
    """Of a grid over a range."""
