"""What one point of a study gave."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pulse1d.study.axes import Point


@dataclass(frozen=True)
class Outcome:
    """Answers of one design, or why there are none."""

    key: str
    """Hash of the point, of its study and of what is computed."""
    point: Point
    answers: dict[str, float]
    """By name [SI]."""
    failure: str = ""
    """Why it has no answers; empty when it has."""
    seconds: float = 0.0


Evaluate = Callable[[Sequence[Point]], list[Outcome]]
"""Outcomes in the order of the points."""
