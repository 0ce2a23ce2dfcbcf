"""The metal of a design's legs: where they run in space, how wide and thick they are."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.geometry.frames import Frame, bend, straight
from pulse1d.losses.bend import Bend
from pulse1d.network.legs import BuiltLeg
from pulse1d.network.network import start_frame

Array = NDArray[np.float64]
STEPS = 12
"""Points along a piece."""


@dataclass(frozen=True)
class LegShape:
    """One leg as a beam with a wall."""

    name: str
    start: str
    """Port or joint it starts at."""
    end: str
    """Joint, or "outlet"."""
    points: Array | None
    """Along the centre line, (n, 3); None where its place in space is not stated [m]."""
    bore: float
    """Mean of area-equal diameters, by length [m]."""
    thickness: float
    """Of the wall, mean by length [m]."""
    length: float
    radii: Array
    """Bend radius of each chord, 0 where straight, (n - 1,) [m]."""
    perimeter: float
    """Of the gas at its start [m]."""

    @property
    def inertia(self) -> float:
        """Second moment of area of the wall, as round [m4]."""
        return math.pi / 64.0 * (self.outside**4 - self.bore**4)

    @property
    def outside(self) -> float:
        """Outside diameter [m]."""
        return self.bore + 2.0 * self.thickness

    @property
    def metal(self) -> float:
        """Area of the wall, as round [m2]."""
        return math.pi * self.thickness * (self.bore + self.thickness)


def leg_shapes(design: Design, rounder: float = 1.0) -> list[LegShape]:
    """Every leg of the part.

    Parameters
    ----------
    design : Design   With a wall thickness for every section [SI]
    rounder : float   Factor on every bend radius; what stands behind moves along [-]
    Returns
    -------
    shapes : list of LegShape   In the network's order [SI]
    Source      geometry
    """
    network = design.network
    places = {joint.name: joint.position for joint in design.case.joints}
    shapes = []
    for index, leg in enumerate(network.legs):
        start, end = network.starts[index], network.ends[index]
        port = getattr(leg.spec, "port", None)
        if port is not None:
            line = _along(start_frame(network.port(port)), leg, rounder)
        else:
            line = _between(places.get(start), places.get(end))
        shapes.append(_shape(design, leg, start, end, *line))
    return shapes


def _shape(
    design: Design, leg: BuiltLeg, start: str, end: str, points: Array | None, radii: Array
) -> LegShape:
    parts = [p for p in leg.pieces if p.length > 0.0]
    length = math.fsum(p.length for p in parts)
    wall = design.case.wall.thickness
    bore = thickness = 0.0
    for piece in parts:
        for section in (piece.section_in, piece.section_out):
            share = 0.5 * piece.length / length
            bore += share * section.D_eq
            own = getattr(section, "wall", wall)
            thickness += share * (math.nan if own is None else own)
    perimeter = leg.section_start.perimeter
    return LegShape(leg.name, start, end, points, bore, thickness, length, radii, perimeter)


def _along(frame: Frame | None, leg: BuiltLeg, rounder: float) -> tuple[Array | None, Array]:
    if frame is None:
        return None, np.zeros(0)
    points, radii = [frame.position], []
    for piece in leg.pieces:
        if piece.length <= 0.0:
            continue
        spec = piece.spec
        for k in range(1, STEPS + 1):
            if isinstance(spec, Bend):
                there = bend(frame, spec.angle * k / STEPS, rounder * spec.radius, spec.rotation)
            else:
                there = straight(frame, piece.length * k / STEPS)
            points.append(there.position)
            radii.append(rounder * spec.radius if isinstance(spec, Bend) else 0.0)
        frame = there
    return np.array(points), np.array(radii)


def _between(a: object, b: object) -> tuple[Array | None, Array]:
    if a is None or b is None:
        return None, np.zeros(0)
    share = np.linspace(0.0, 1.0, STEPS + 1)[:, None]
    return np.asarray(a) * (1.0 - share) + np.asarray(b) * share, np.zeros(STEPS)
