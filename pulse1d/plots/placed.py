"""Every leg of a part in space: from what the case states, and where it does not, from its joints.

Flange axes: x along the row of ports, y up, z out of the head.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.geometry.frames import Frame, bend, port_frame, straight
from pulse1d.losses.bend import Bend
from pulse1d.network.axis import axis_of
from pulse1d.network.layout import Trunk
from pulse1d.network.legs import BuiltLeg, advance
from pulse1d.network.network import Network, start_frame

Array = NDArray[np.float64]
STEPS = 12
"""Points along a bend."""
ROW = 2.5
"""Distance of ports without places, of the widest opening (judgement)."""
DOWN, ALONG, OUT = (0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)


@dataclass(frozen=True, eq=False)
class PlacedLeg:
    """A leg's centre line and how wide it is."""

    name: str
    points: Array
    """(n, 3) [m]."""
    wide: Array
    """Diameter of equal area at each point, (n,) [m]."""
    is_runner: bool


@dataclass(frozen=True, eq=False)
class Placed:
    """A part in space."""

    legs: tuple[PlacedLeg, ...]
    joints: Mapping[str, Array]
    """Name to place [m]."""
    notes: tuple[str, ...]
    """What the case does not state, and what is drawn in its place."""


def placed(design: Design) -> Placed:
    """Put every leg in its place.

    Parameters
    ----------
    design : Design   [SI]
    Returns
    -------
    placed : Placed   [m]
    """
    network = design.network
    notes: list[str] = []
    lines: dict[int, tuple[Array, Array, Frame]] = {}
    stated = [p.position is not None for p in network.layout.ports if p.name in network.port_names]
    if not all(stated) and len(stated) > 1:
        notes.append("Places of ports are not stated; drawn in a row at equal distances.")
    widest = max(leg.section_start.D_eq for leg in network.legs)
    for k, name in enumerate(network.port_names):
        i = network.runner_index(name)
        port = network.port(name)
        frame = start_frame(port) if all(stated) else None
        frame = frame or port_frame((ROW * k * widest, 0.0), port.direction, port.bend_plane)
        lines[i] = along(frame, network.legs[i])
    joints: dict[str, Array] = {}
    waiting = list(network.layout.joints)
    while waiting:
        ready = [j for j in waiting if all(i in lines for i in _arriving(network, j.name))]
        joint = (ready or waiting)[0]
        waiting.remove(joint)
        ends = [lines[i][2] for i in _arriving(network, joint.name) if i in lines]
        if joint.position is not None:
            joints[joint.name] = np.array(joint.position)
        elif ends:
            joints[joint.name] = np.mean([frame.position for frame in ends], axis=0)
        else:
            joints[joint.name] = np.zeros(3)
        for i, start in enumerate(network.starts):
            if start == joint.name and i not in lines:
                frame, said = trunk_start(network, i, joints[joint.name], lines)
                notes += [f"{network.legs[i].name}: {said}."] if said else []
                lines[i] = along(frame, network.legs[i])
    legs = tuple(
        PlacedLeg(leg.name, lines[i][0], lines[i][1], not isinstance(leg.spec, Trunk))
        for i, leg in enumerate(network.legs)
        if i in lines
    )
    return Placed(legs, joints, tuple(notes))


def along(frame: Frame, leg: BuiltLeg) -> tuple[Array, Array, Frame]:
    """A leg's centre line from where it starts.

    Parameters
    ----------
    frame : Frame   Its start [m]
    leg : BuiltLeg   [SI]
    Returns
    -------
    points, wide, end : (n, 3) array, (n,) array, Frame   [m]
    """
    points, wide = [frame.position], [leg.section_start.D_eq]
    for piece in leg.pieces:
        spec = piece.spec
        first, last = piece.section_in.D_eq, piece.section_out.D_eq
        shares = np.linspace(0.0, 1.0, STEPS + 1 if isinstance(spec, Bend) else 2)
        for share in shares if piece.length > 0.0 else shares[-1:]:
            if isinstance(spec, Bend):
                there = bend(frame, spec.angle * share, spec.radius, spec.rotation)
            else:
                there = straight(frame, piece.length * float(share))
            points.append(there.position)
            wide.append(first + share * (last - first))
        onward = advance(frame, spec)
        assert onward is not None
        frame = onward
    return np.array(points), np.array(wide), frame


def trunk_start(
    network: Network, index: int, place: Array, lines: Mapping[int, tuple[Array, Array, Frame]]
) -> tuple[Frame, str]:
    """Where a trunk leaves its joint, and what about it the case does not state.

    Parameters
    ----------
    network : Network   [SI]
    index : int   Of the trunk [-]
    place : (3,) array   Of its joint [m]
    lines : mapping   Leg to centre line, widths and end, of the legs placed before [m]
    Returns
    -------
    frame, said : Frame, str   [m, -]
    """
    leg = network.legs[index]
    bends = [piece for piece in leg.pieces if hasattr(piece.spec, "rotation")]
    ahead = next((j for j in network.layout.joints if j.name == network.ends[index]), None)
    said = ""
    if ahead is not None and ahead.position is not None and not bends:
        way = np.array(ahead.position) - place
    else:
        told = _axis(network, network.starts[index], lines)
        way = np.array(DOWN) if told is None else told
        said = "no direction stated, drawn down" if told is None else ""
    if float(np.linalg.norm(way)) == 0.0:
        way = np.array(DOWN)
    way = way / np.linalg.norm(way)
    side, called = (DOWN, "down") if abs(way[1]) < 0.9 else (ALONG, "along the row")
    turns = [p for p in bends if getattr(p.spec, "angle", 0.0)]
    if turns:
        more = f"bend plane not stated, drawn {called}"
        said = f"{said}; {more}" if said else more
    return port_frame(place, way, side), said


def _arriving(network: Network, joint: str) -> list[int]:
    return [i for i, end in enumerate(network.ends) if end == joint]


def _axis(
    network: Network, joint: str, lines: Mapping[int, tuple[Array, Array, Frame]]
) -> Array | None:
    spec, ends = network.joints[joint]
    came = [end for end in ends if end.at_end and end.leg in lines]
    angles = np.arccos(np.clip([-end.direction[0] for end in came], -1.0, 1.0))
    return axis_of(spec, [lines[end.leg][2].direction for end in came], angles.tolist())
