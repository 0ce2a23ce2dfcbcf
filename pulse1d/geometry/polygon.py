"""A section by the points of its outline."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Literal, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import model_validator

from pulse1d.geometry.base import SectionBase, in_mm
from pulse1d.spec import Coordinate


class Polygon(SectionBase):
    """An outline by its points in order, as measured from a gasket or a scan."""

    shape: Literal["polygon"] = "polygon"
    points: tuple[tuple[Coordinate, Coordinate], ...]

    @model_validator(mode="after")
    def _simple(self) -> Self:
        from shapely import LinearRing, is_valid_reason
        from shapely import Polygon as Outline

        if len(set(self.points)) < 3:
            raise ValueError("an outline needs 3 different points or more; add points in order")
        outline = Outline(self.points)
        if not LinearRing(self.points).is_simple or not outline.is_valid or outline.area == 0.0:
            raise ValueError(
                f"the outline crosses or touches itself ({is_valid_reason(outline)}, in m); "
                "list its points once round, in order"
            )
        return self

    @cached_property
    def area(self) -> float:
        return float(self.outline().area)

    @cached_property
    def perimeter(self) -> float:
        return float(self.outline().length)

    @property
    def extent(self) -> tuple[float, float]:
        width, height = np.ptp(np.array(self.points), axis=0)
        return float(width), float(height)

    @cached_property
    def aspect(self) -> float:
        """Least over greatest radius of gyration [-]: b/a for a rectangle or an ellipse."""
        least, greatest = np.linalg.eigvalsh(self._second_moments())
        # A sliver thinner than round-off may come out below zero.
        return math.sqrt(max(0.0, float(least / greatest)))

    def _second_moments(self) -> NDArray[np.float64]:
        """Integrals of xx, xy, yy over the area about its centroid, (2, 2) [m^4], by Green."""
        here = self.contour()
        ahead = np.roll(here, -1, axis=0)
        cross = here[:, 0] * ahead[:, 1] - ahead[:, 0] * here[:, 1]
        area = 0.5 * cross.sum()
        centroid = cross @ (here + ahead) / (6.0 * area)
        ends = np.einsum("k,ki,kj->ij", cross, here, here)
        ends += np.einsum("k,ki,kj->ij", cross, ahead, ahead)
        mixed = np.einsum("k,ki,kj->ij", cross, here, ahead)
        about_datum = (ends + 0.5 * (mixed + mixed.T)) / 12.0
        moments: NDArray[np.float64] = about_datum - area * np.outer(centroid, centroid)
        return moments

    @property
    def flatness(self) -> float:
        """One half [-], as for an ellipse: the shape is not known further."""
        return 0.5

    def contour(self, n: int = 180) -> NDArray[np.float64]:
        """The points as given, about the datum, anticlockwise, not closed, (k, 2) [m]."""
        points: NDArray[np.float64] = np.array(self.points)
        if self.points[0] == self.points[-1]:
            points = points[:-1]
        points = points - 0.5 * (points.min(axis=0) + points.max(axis=0))
        x, y = points.T
        turn = float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
        return points if turn > 0.0 else points[::-1]

    def describe(self) -> str:
        width, height = self.extent
        return f"outline {in_mm(width)} x {in_mm(height)} mm of {len(self.contour())} points"
