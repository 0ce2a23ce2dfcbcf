"""What all flow sections have in common.

Widths lie along x and heights along y. Each outline is centred on the section's datum, the
centre of its bounding box, and is seen from outside the head, looking into the port.
"""

from __future__ import annotations

import math
from abc import abstractmethod
from collections.abc import Mapping
from functools import cached_property
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from pulse1d.geometry.friction import friction_multiplier
from pulse1d.spec import Spec


class SectionBase(Spec):
    """What every section can answer; a shape adds its own area, perimeter, extent and contour."""

    @property
    @abstractmethod
    def area(self) -> float:
        """Flow area [m^2]."""

    @property
    @abstractmethod
    def perimeter(self) -> float:
        """Wetted perimeter [m]."""

    @property
    @abstractmethod
    def extent(self) -> tuple[float, float]:
        """Width and height of the bounding box [m]."""

    @property
    @abstractmethod
    def flatness(self) -> float:
        """Share of the rectangle's friction correction that applies [-]: 0 round, 1 sharp."""

    @abstractmethod
    def contour(self, n: int = 180) -> NDArray[np.float64]:
        """Points of the outline about the datum, anticlockwise, not closed, (k, 2) [m]."""

    @abstractmethod
    def describe(self) -> str:
        """Short text with the sizes in mm [-]."""

    @cached_property
    def D_h(self) -> float:
        """Hydraulic diameter 4 A / perimeter [m]."""
        return 4.0 * self.area / self.perimeter

    @cached_property
    def D_eq(self) -> float:
        """Diameter of the circle of equal area [m]."""
        return math.sqrt(4.0 * self.area / math.pi)

    @property
    def aspect(self) -> float:
        """Short side over long side [-]."""
        return min(self.extent) / max(self.extent)

    @cached_property
    def friction_shape(self) -> float:
        """Multiplier on the turbulent friction factor [-]; see ``friction_multiplier``."""
        return friction_multiplier(self.aspect, self.flatness)

    def outline(self, n: int = 180) -> Any:
        """Outline as a shapely polygon that encloses exactly ``area``.

        Parameters
        ----------
        n : int   Points in a full turn of rounded corners [-], at least 12
        Returns
        -------
        outline : shapely Polygon   About the datum [m]
        Errors      ValueError when n is below 12.
        Source      plane geometry, no source
        """
        from shapely import Polygon as Outline

        return Outline(self.contour(n))

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A checked copy with some fields changed; cached areas are not carried over."""
        fields = {name: getattr(self, name) for name in type(self).model_fields}
        return type(self)(**{**fields, **(update or {})})


def in_mm(length: float) -> str:
    """A length in mm, to four digits.

    Parameters
    ----------
    length : float   [m]
    Returns
    -------
    text : str   [mm]
    """
    return f"{1e3 * length:.4g}"


def bore_in_mm(length: float) -> str:
    """Bores above 10 mm to 0.1 mm, smaller ones (orifices) to three digits.

    Parameters
    ----------
    length : float   [m]
    Returns
    -------
    text : str   [mm]
    """
    return f"{1e3 * length:.1f}" if length >= 0.01 else f"{1e3 * length:.3g}"


def corners_in_mm(radius: float) -> str:
    """What to say of rounded corners; nothing when they are sharp.

    Parameters
    ----------
    radius : float   [m]
    Returns
    -------
    text : str   [mm]
    """
    return f", corners {in_mm(radius)} mm" if radius > 0.0 else ""
