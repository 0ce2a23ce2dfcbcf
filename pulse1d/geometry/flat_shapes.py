"""Sections with flat sides: the D of a port floor and roof, the rectangle."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Literal, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import model_validator

from pulse1d.geometry.arcs import Corner, contour, even_corners
from pulse1d.geometry.base import SectionBase, corners_in_mm, in_mm
from pulse1d.geometry.round_shapes import Ellipse
from pulse1d.spec import Length, PositiveLength

FIT = 1.0 + 1e-9
"""Slack on corner radii: far above round-off of unit conversion, far below any that matters."""


class DShape(SectionBase):
    """A flat floor with rounded corners, upright sides and an arched roof.

    The roof is a half circle over the full width when the height leaves room for it above the
    floor corners; on a lower section it is a half ellipse that springs from them, with no
    upright sides.
    """

    shape: Literal["D"] = "D"
    width: PositiveLength
    height: PositiveLength
    corner_radius: Length = 0.0

    @model_validator(mode="after")
    def _corners_fit(self) -> Self:
        if self.corner_radius > 0.5 * self.width * FIT or self.corner_radius >= self.height:
            raise ValueError(
                f"a corner radius of {in_mm(self.corner_radius)} mm does not fit the floor of a D "
                f"of {in_mm(self.width)} x {in_mm(self.height)} mm; give at most half the width, "
                "and less than the height"
            )
        return self

    @property
    def rise(self) -> float:
        """Height of the roof above its springing line [m]."""
        return float(min(0.5 * self.width, self.height - self.corner_radius))

    @cached_property
    def area(self) -> float:
        roof = 0.25 * math.pi * self.width * self.rise
        corners = (2.0 - 0.5 * math.pi) * self.corner_radius**2
        return float(roof + self.width * (self.height - self.rise) - corners)

    @cached_property
    def perimeter(self) -> float:
        roof = 0.5 * Ellipse(width=self.width, height=2.0 * self.rise).perimeter
        sides = 2.0 * (self.height - self.rise - self.corner_radius)
        floor = self.width - 2.0 * self.corner_radius + math.pi * self.corner_radius
        return float(roof + sides + floor)

    @property
    def extent(self) -> tuple[float, float]:
        return self.width, self.height

    @property
    def flatness(self) -> float:
        """Share of the area outside the floor's corner quarters and the roof [-].

        A half-circle roof counts as a corner quarter does; a flattened one tends to the 1/2 of
        an ellipse.
        """
        roof = 0.125 * math.pi * self.rise * float(self.width + 2.0 * self.rise)
        corners = 0.5 * math.pi * float(self.corner_radius**2)
        return max(0.0, 1.0 - (roof + corners) / self.area)

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        a, r = 0.5 * self.width, self.corner_radius
        roof = Corner(0.0, 0.5 * self.height - self.rise, a, self.rise)
        y = r - 0.5 * self.height
        return contour((roof, roof, Corner(r - a, y, r, r), Corner(a - r, y, r, r)), n)

    def describe(self) -> str:
        return f"D {in_mm(self.width)} x {in_mm(self.height)} mm{corners_in_mm(self.corner_radius)}"


class Rectangle(SectionBase):
    """A rectangle, its corners rounded by one radius."""

    shape: Literal["rectangle"] = "rectangle"
    width: PositiveLength
    height: PositiveLength
    corner_radius: Length = 0.0

    @model_validator(mode="after")
    def _corners_fit(self) -> Self:
        if self.corner_radius > 0.5 * min(self.extent) * FIT:
            raise ValueError(
                f"a corner radius of {in_mm(self.corner_radius)} mm is more than half the shorter "
                f"side of {in_mm(self.width)} x {in_mm(self.height)} mm; give at most "
                f"{in_mm(0.5 * min(self.extent))} mm, which is a flat-sided oval"
            )
        return self

    @cached_property
    def area(self) -> float:
        return float(self.width * self.height - (4.0 - math.pi) * self.corner_radius**2)

    @property
    def perimeter(self) -> float:
        return float(2.0 * (self.width + self.height) - (8.0 - 2.0 * math.pi) * self.corner_radius)

    @property
    def extent(self) -> tuple[float, float]:
        return self.width, self.height

    @property
    def flatness(self) -> float:
        """Share of the area outside the corner quarters [-]; meets the oval and the circle."""
        return max(0.0, 1.0 - math.pi * float(self.corner_radius**2) / self.area)

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        return contour(even_corners(self.width, self.height, self.corner_radius), n)

    def describe(self) -> str:
        sizes = f"{in_mm(self.width)} x {in_mm(self.height)} mm"
        return f"rectangle {sizes}{corners_in_mm(self.corner_radius)}"
