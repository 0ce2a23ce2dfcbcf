"""What a study sets: each parameter and linked value with its places in the base case."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pulse1d.study.axes import Point, Value
from pulse1d.study.paths import SpecPlace, Spot


@dataclass(frozen=True)
class Target:
    """Places of the case that get one value, and where that value comes from."""

    name: str
    spots: tuple[Spot, ...]
    dimension: str
    """Of what the case has at the places."""
    sets: str
    """value, change or factor."""
    source: str
    """Parameter that it follows: itself, but for linked values."""
    factor: float = 1.0
    plus: float = 0.0
    """[SI]."""

    def number(self, point: Point) -> Value:
        """Value that a point gives it, before it is laid on what the base has [SI]."""
        value = point[self.source]
        return value if isinstance(value, str) else self.factor * value + self.plus

    def at(self, spot: Spot, point: Point) -> Value:
        """What the case gets at one of the places [SI]."""
        value = self.number(point)
        if isinstance(value, str) or self.sets == "value":
            return value
        old = float(spot.value)
        return old + value if self.sets == "change" else old * value


def assigned(targets: tuple[Target, ...], point: Point) -> dict[SpecPlace, Any]:
    """What a point puts where in the case.

    Parameters
    ----------
    targets : tuple of Target   Of the study [-]
    point : Point   [SI]
    Returns
    -------
    values : dict   Place in the spec to value; counts are whole [SI]
    """
    return {
        spot.place: _typed(target.at(spot, point), target.dimension)
        for target in targets
        for spot in target.spots
    }


def dimensions(targets: tuple[Target, ...]) -> Mapping[SpecPlace, str]:
    """Dimension of every place that a study sets.

    Parameters
    ----------
    targets : tuple of Target   Of the study [-]
    Returns
    -------
    dimensions : mapping   By place [-]
    """
    return {spot.place: target.dimension for target in targets for spot in target.spots}


def _typed(value: Value, dimension: str) -> Value:
    return round(value) if dimension == "count" and not isinstance(value, str) else value
