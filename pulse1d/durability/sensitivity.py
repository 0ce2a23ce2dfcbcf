"""What a change of one size does to an answer, one at a time."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Sensitivity:
    """One size changed."""

    name: str
    base: float
    """[unit of the size]"""
    changed: float
    """[unit of the size]"""
    before: float
    """Answer at the base [unit of the answer]."""
    after: float
    """[unit of the answer]"""

    @property
    def factor(self) -> float:
        """Answer after over before [-]; nan where either is refused."""
        if math.isnan(self.before) or math.isnan(self.after) or self.before == 0.0:
            return math.nan
        return self.after / self.before

    @property
    def exponent(self) -> float:
        """How the answer goes with the size: d ln answer/d ln size [-]; nan where not defined."""
        if not self.factor > 0.0 or not self.base > 0.0 or not self.changed > 0.0:
            return math.nan
        step = math.log(self.changed / self.base)
        return math.log(self.factor) / step if step != 0.0 else math.nan


def sensitivities(
    answer: Callable[[Mapping[str, float]], float],
    base: Mapping[str, float],
    changed: Mapping[str, float],
) -> list[Sensitivity]:
    """Each named size changed alone, the strongest first.

    Parameters
    ----------
    answer : callable   Sizes by name to a number, such as a place's middle life
        [unit of the answer]
    base : mapping   Sizes as designed [units of the sizes]
    changed : mapping   The other value of those to be changed [units of the sizes]
    Returns
    -------
    rows : list of Sensitivity   [as above]
    Errors      ValueError for a changed size that the base lacks.
    Source      one-at-a-time changes
    """
    if unknown := sorted(set(changed) - set(base)):
        raise ValueError(f"no size named {', '.join(unknown)}; known: {', '.join(base)}")
    before = answer(base)
    rows = [
        Sensitivity(name, base[name], value, before, answer({**base, name: value}))
        for name, value in changed.items()
    ]

    def strength(row: Sensitivity) -> float:
        return abs(math.log(row.factor)) if row.factor > 0.0 else math.inf

    return sorted(rows, key=strength, reverse=True)
