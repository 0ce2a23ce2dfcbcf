"""Do legs that should meet at a joint meet there?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pulse1d.geometry.frames import angle_between
from pulse1d.geometry.sections import SectionBase, Tube
from pulse1d.network.axis import axis_of
from pulse1d.network.layout import Meeting
from pulse1d.network.network import Network

SLACK = 5e-3
"""Distance that a fixture pulls together before a fabricator complains (judgement) [m]."""
ANGLE_SLACK = math.radians(10.0)
"""Angle between stated and built arrival worth a remark (judgement) [rad]."""


@dataclass(frozen=True)
class Closure:
    """How the legs with known ends arrive at a joint."""

    joint: str
    legs: tuple[str, ...]
    distance: tuple[float, ...]
    """From each leg's end to the joint's position, or to the ends' centre without one [m]."""
    expected: tuple[float, ...]
    """Largest distance that is still a fit: pipes side by side in a merge, plus SLACK [m]."""
    angle: tuple[float, ...]
    """Between each leg and the joint's axis; NaN where it cannot be told [rad]."""
    stated: tuple[float, ...]
    """Angle to the axis that the case states [rad]."""
    has_position: bool
    has_direction: bool
    """Whether the case states the axis; else the legs tell it, if they can."""

    @property
    def gap(self) -> float:
        """How far the worst end is beyond its fit; negative when all fit [m]."""
        return max(d - e for d, e in zip(self.distance, self.expected, strict=True))


def outside(section: SectionBase) -> float:
    """Diameter that a leg takes up beside its neighbours: a tube's outside, else the bore.

    Parameters
    ----------
    section : Section   [-]
    Returns
    -------
    D : float   [m]
    """
    return section.od if isinstance(section, Tube) else section.D_eq


def closures(network: Network) -> list[Closure]:
    """The joints at which at least one leg's end is known in space.

    Parameters
    ----------
    network : Network   [-]
    Returns
    -------
    closures : list of Closure   [-]
    Source      geometry; n equal pipes side by side in a ring stand D/(2 sin(pi/n)) off its axis
    """
    found = []
    for name, (joint, ends) in network.joints.items():
        arriving = [end for end in ends if end.at_end]
        legs = [network.legs[e.leg] for e in arriving if network.legs[e.leg].frame_end is not None]
        if not legs or (joint.position is None and len(legs) < 2):
            continue
        frames = [leg.frame_end for leg in legs if leg.frame_end is not None]
        places = np.array([frame.position for frame in frames])
        centre = np.array(joint.position) if joint.position is not None else places.mean(axis=0)
        ways = [frame.direction for frame in frames]
        stated = [leg.spec.to.angle for leg in legs if isinstance(leg.spec.to, Meeting)]
        alone = len(legs) < 2 and joint.direction is None
        axis = None if alone else axis_of(joint, ways, stated)
        ring = len(arriving) if joint.kind == "merge" else 1
        side = [
            outside(leg.section_end) / (2.0 * math.sin(math.pi / ring)) if ring > 1 else 0.0
            for leg in legs
        ]
        angles = [math.nan if axis is None else float(angle_between(way, axis)) for way in ways]
        found.append(
            Closure(
                name,
                tuple(leg.name for leg in legs),
                tuple(float(d) for d in np.linalg.norm(places - centre, axis=1)),
                tuple(s + SLACK for s in side),
                tuple(angles),
                tuple(stated),
                joint.position is not None,
                joint.direction is not None,
            )
        )
    return found
