"""Overlap of two outlines that meet face to face: how far each is open to the other.

Both outlines lie in the plane of the joint, seen from outside the head, looking into the port:
x to the right, y up, so a positive rotation (anticlockwise) is right-handed about the forward
flow. Section 1 is upstream in forward flow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pulse1d.errors import Pulse1dError
from pulse1d.geometry.base import SectionBase

TURN = 360
"""Points in a full turn of an outline: the area of the overlap is then within 1e-5 of area_1."""


class OverlapError(Pulse1dError, ValueError):
    """Two outlines that leave no passage between them."""


@dataclass(frozen=True)
class Overlap:
    """The common opening of two sections, and the lips around it; areas in m^2."""

    area: float
    """Common area of the two outlines [m^2]."""
    area_1: float
    """Area of the upstream section [m^2]."""
    area_2: float
    """Area of the downstream section [m^2]."""

    @property
    def open_1(self) -> float:
        """Open fraction of section 1 [-]: the contraction that forward flow meets."""
        return self.area / self.area_1

    @property
    def open_2(self) -> float:
        """Open fraction of section 2 [-]: the contraction that reversed flow meets."""
        return self.area / self.area_2

    @property
    def lip_1(self) -> float:
        """Area of section 1 that the face of 2 blocks, facing forward flow [m^2]."""
        return self.area_1 - self.area

    @property
    def lip_2(self) -> float:
        """Area of section 2 that the face of 1 blocks, facing reversed flow [m^2]."""
        return self.area_2 - self.area

    @property
    def depth_1(self) -> float:
        """Depth of an even lip round a circle of area_1 that blocks as much as lip_1 [m]."""
        return (math.sqrt(self.area_1) - math.sqrt(self.area)) / math.sqrt(math.pi)

    @property
    def depth_2(self) -> float:
        """Depth of an even lip round a circle of area_2 that blocks as much as lip_2 [m]."""
        return (math.sqrt(self.area_2) - math.sqrt(self.area)) / math.sqrt(math.pi)


def overlap(
    a: SectionBase,
    b: SectionBase,
    offset: tuple[float, float] = (0.0, 0.0),
    rotation: float = 0.0,
) -> Overlap:
    """The common opening of section ``a`` (upstream) and section ``b`` put against it.

    Parameters
    ----------
    a : Section   Upstream section, its datum at the origin [-]
    b : Section   Downstream section [-]
    offset : (2,) tuple   Datum of b from datum of a, x and y [m]
    rotation : float   Turn of b about its own datum, anticlockwise [rad]
    Returns
    -------
    overlap : Overlap   Common area, areas of both [m^2]
    Errors      OverlapError (a ValueError) when the outlines have no area in common.
    Limits      equal coincident sections are open to 1e-9; else the area is within 1e-5 of
                the smaller section (chords of TURN points that enclose the exact areas).
    Source      plane geometry, no source
    """
    from shapely import affinity

    upstream = a.outline(TURN)
    downstream = b.outline(TURN)
    if rotation != 0.0:
        downstream = affinity.rotate(downstream, rotation, origin=(0.0, 0.0), use_radians=True)
    downstream = affinity.translate(downstream, *offset)
    common = float(upstream.intersection(downstream).area)
    if common <= 0.0:
        x, y = (1e3 * shift for shift in offset)
        raise OverlapError(
            f"{a.describe()} and {b.describe()}, {x:.4g} and {y:.4g} mm apart in x and y, do not "
            "overlap; check the offset, its unit and the datum (the middle of the bounding box)"
        )
    # Chords and exact areas differ by round-off only, so the least of the three is the overlap.
    return Overlap(min(common, a.area, b.area), a.area, b.area)
