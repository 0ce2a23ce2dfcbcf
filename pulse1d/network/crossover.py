"""Where the pipes of two banks meet behind their manifolds."""

from __future__ import annotations

import math
from typing import Literal, Self

from pydantic import model_validator

from pulse1d.geometry.sections import Section
from pulse1d.spec import Angle, Length, PositiveLength, Spec

STEEPEST = math.radians(60.0)
"""Pipes that meet more steeply than this to their common axis are no crossover (judgement)."""


class Crossover(Spec):
    """A link between this bank's downstream pipe and the other bank's, which is its mirror image.

    A bench flows one bank: there the link is blanked and costs nothing.
    """

    kind: Literal["balance pipe", "cross", "single pipe"]
    """A pipe from side to side; two pipes that meet and part; two that end in one."""
    at: PositiveLength
    """Along the downstream pieces, from the part's outlet."""
    section: Section | None = None
    """Of the balance pipe."""
    length: Length | None = None
    """Of the balance pipe, between the axes of the two pipes."""
    angle: Angle = math.radians(15.0)
    """Of each pipe to the common axis, in a cross or in front of a single pipe."""

    @model_validator(mode="after")
    def _one_story(self) -> Self:
        balance = self.kind == "balance pipe"
        stated = (self.section is not None, bool(self.length))
        if balance and not all(stated):
            raise ValueError("a balance pipe needs its `section` and its `length`; state both")
        if not balance and any(stated):
            raise ValueError(
                f"a {self.kind} has no pipe of its own; drop `section` and `length`, "
                "or make it a balance pipe"
            )
        if not 0.0 < self.angle <= STEEPEST:
            raise ValueError(
                f"an angle of {math.degrees(self.angle):.4g} deg is not above 0 and at most "
                f"{math.degrees(STEEPEST):.0f} deg; it counts from the common axis to one pipe"
            )
        return self
