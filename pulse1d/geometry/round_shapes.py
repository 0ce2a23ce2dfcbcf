"""Sections without corners: round, tube, flat-sided oval, ellipse."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Literal, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import model_validator

from pulse1d.geometry.arcs import Corner, contour, even_corners
from pulse1d.geometry.base import SectionBase, bore_in_mm, in_mm
from pulse1d.spec import PositiveLength


class Round(SectionBase):
    """A circular section given by its bore."""

    shape: Literal["round"] = "round"
    bore: PositiveLength

    @cached_property
    def area(self) -> float:
        return 0.25 * math.pi * float(self.bore) ** 2

    @property
    def perimeter(self) -> float:
        return math.pi * float(self.bore)

    @property
    def extent(self) -> tuple[float, float]:
        return self.bore, self.bore

    @property
    def flatness(self) -> float:
        return 0.0

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        return contour(even_corners(self.bore, self.bore, 0.5 * self.bore), n)

    def describe(self) -> str:
        return f"round {bore_in_mm(self.bore)} mm"


class Tube(SectionBase):
    """A round tube as bought, by outside diameter and wall; the gas sees od - 2 wall."""

    shape: Literal["tube"] = "tube"
    od: PositiveLength
    wall: PositiveLength

    @model_validator(mode="after")
    def _hollow(self) -> Self:
        if 2.0 * self.wall >= self.od:
            raise ValueError(
                f"a wall of {in_mm(self.wall)} mm leaves no bore in a tube of {in_mm(self.od)} mm; "
                "give the outside diameter as od, and a wall below half of it"
            )
        return self

    @property
    def bore(self) -> float:
        """Inside diameter [m]."""
        return float(self.od - 2.0 * self.wall)

    @cached_property
    def area(self) -> float:
        return 0.25 * math.pi * float(self.bore) ** 2

    @property
    def perimeter(self) -> float:
        return math.pi * float(self.bore)

    @property
    def extent(self) -> tuple[float, float]:
        return self.bore, self.bore

    @property
    def flatness(self) -> float:
        return 0.0

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        return contour(even_corners(self.bore, self.bore, 0.5 * self.bore), n)

    def describe(self) -> str:
        return f"tube {in_mm(self.od)} x {in_mm(self.wall)} mm (bore {bore_in_mm(self.bore)} mm)"


class Oval(SectionBase):
    """A flat-sided oval: two half circles joined by straights along the longer side."""

    shape: Literal["oval"] = "oval"
    width: PositiveLength
    height: PositiveLength

    @cached_property
    def area(self) -> float:
        d, straight = min(self.extent), float(abs(self.width - self.height))
        return 0.25 * math.pi * d**2 + d * straight

    @property
    def perimeter(self) -> float:
        return math.pi * min(self.extent) + 2.0 * float(abs(self.width - self.height))

    @property
    def extent(self) -> tuple[float, float]:
        return self.width, self.height

    @property
    def flatness(self) -> float:
        """Share of the area that lies between the straights [-]."""
        return float(min(self.extent) * abs(self.width - self.height)) / self.area

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        return contour(even_corners(self.width, self.height, 0.5 * min(self.extent)), n)

    def describe(self) -> str:
        return f"oval {in_mm(self.width)} x {in_mm(self.height)} mm"


def second_integral(aspect: float) -> float:
    """Complete elliptic integral of the second kind, E(m) at m = 1 - aspect^2.

    By the arithmetic-geometric mean; scipy's function gives the same to round-off, but its import
    would cost every start a sixth of a second.

    Parameters
    ----------
    aspect : float   Shorter over longer axis [-], above 0 .. 1
    Returns
    -------
    E : float   pi/2 for a circle, towards 1 for a flat line [-]
    Source      Abramowitz & Stegun ch. 17.6, from memory
    """
    a, b, power = 1.0, aspect, 0.5
    left = 1.0 - power * (1.0 - aspect * aspect)
    while a - b > 1e-15 * a:
        c = 0.5 * (a - b)
        a, b, power = 0.5 * (a + b), math.sqrt(a * b), 2.0 * power
        left -= power * c * c
    return 0.5 * math.pi * left / a


class Ellipse(SectionBase):
    """A true ellipse."""

    shape: Literal["ellipse"] = "ellipse"
    width: PositiveLength
    height: PositiveLength

    @cached_property
    def area(self) -> float:
        return 0.25 * math.pi * float(self.width * self.height)

    @cached_property
    def perimeter(self) -> float:
        """4 a E(1 - b^2/a^2) [m], by ``second_integral``."""
        return 2.0 * max(self.extent) * second_integral(self.aspect)

    @property
    def extent(self) -> tuple[float, float]:
        return self.width, self.height

    @property
    def flatness(self) -> float:
        """One half [-]: see ``friction_multiplier``."""
        return 0.5

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        a, b = 0.5 * self.width, 0.5 * self.height
        return contour((Corner(0.0, 0.0, a, b),) * 4, n)

    def describe(self) -> str:
        return f"ellipse {in_mm(self.width)} x {in_mm(self.height)} mm"
