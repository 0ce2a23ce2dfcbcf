"""What every point of a study must keep."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from pulse1d.case.schema import Case
from pulse1d.study.axes import Point
from pulse1d.study.paths import SpecPlace, Spot
from pulse1d.study.room import stretches
from pulse1d.study.spec import Box
from pulse1d.study.targets import Target

SLACK = 1e-9
"""Of a limit [-], of a box [m]: a value equal to it in another unit still keeps it."""
Term = Spot | Target


@dataclass(frozen=True)
class Limit:
    """A limit on a sum, in each of its places."""

    reason: str
    """What a point that breaks it is told."""
    least: float
    most: float
    """[SI]; infinite where there is none."""
    sums: tuple[tuple[Term, ...], ...]

    def broken_by(self, point: Point, values: Mapping[SpecPlace, Any]) -> bool:
        """Whether a point breaks it.

        Parameters
        ----------
        point : Point   [SI]
        values : mapping   What the point puts where in the case [SI]
        Returns
        -------
        broken : bool   [-]
        """
        totals = [math.fsum(_value(term, point, values) for term in row) for row in self.sums]
        least, most = self.least - SLACK * abs(self.least), self.most + SLACK * abs(self.most)
        return any(not least <= total <= most for total in totals)


@dataclass(frozen=True)
class Room:
    """A box that the part must stay inside, with the outside of its legs."""

    reason: str
    box: Box

    def broken_by(self, case: Case) -> bool:
        """Whether a case leaves the box.

        Parameters
        ----------
        case : Case   [-]
        Returns
        -------
        broken : bool   False, too, for pieces that do not fit: those are told elsewhere [-]
        """
        sides = [side or (-math.inf, math.inf) for side in (self.box.x, self.box.y, self.box.z)]
        low, high = np.transpose(sides)
        try:
            found = [one for _, one in stretches(case)]
        except ValueError:
            return False
        position = np.concatenate([one.position for one in found])
        reach = np.concatenate([one.reach for one in found])
        return bool(
            np.any(position - reach < low - SLACK) or np.any(position + reach > high + SLACK)
        )


Rule = Limit | Room


def _value(term: Term, point: Point, values: Mapping[SpecPlace, Any]) -> float:
    if isinstance(term, Target):
        return float(term.number(point))
    return float(values.get(term.place, term.value))
