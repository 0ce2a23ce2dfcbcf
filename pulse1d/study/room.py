"""Where the legs of a case run in space, and whether they fit a box."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.schema import Case
from pulse1d.geometry.base import SectionBase
from pulse1d.geometry.frames import Frame
from pulse1d.geometry.sections import Section, Tube
from pulse1d.losses.bend import Bend
from pulse1d.losses.catalogue import Piece
from pulse1d.losses.mitre import Mitre
from pulse1d.network.closure import outside
from pulse1d.network.layout import Leg, Meeting
from pulse1d.network.legs import advance
from pulse1d.network.network import node_of_start, start_frame

STEP = math.radians(5.0)
"""Between points along a bend: the chord lies 0.1 % of the radius inside the arc [rad]."""


Points = NDArray[np.float64]


@dataclass(frozen=True)
class Stretch:
    """Points of a leg's centre line, and how far the leg reaches about each along x, y and z."""

    position: Points
    reach: Points
    """(k, 3) [m]."""


def stretches(case: Case) -> Iterator[tuple[str, Stretch]]:
    """Points along every leg whose start is known, with the space that the leg takes there.

    Piece by piece: the start of a straight one, the whole of a bend; then the leg's end.

    A trunk starts in the middle of the legs that arrive, and goes on in their mean direction.
    What follows the part downstream does not count.

    Parameters
    ----------
    case : Case   [-]
    Returns
    -------
    stretches : iterator of (leg's start, Stretch)   [m]
    Errors      ValueError for pieces that do not fit each other.
    Source      geometry; the mean direction is that of the axis for legs even about it
    """
    ports = {port.name: start_frame(port) for port in case.head.ports}
    arrived: dict[str, list[Frame]] = {}
    waiting: list[tuple[Leg, str]] = []
    for runner in case.runners:
        frame = ports.get(runner.port)
        if frame is not None:
            yield from _along(case, runner, frame, node_of_start(runner), arrived)
    waiting = [(trunk, node_of_start(trunk)) for trunk in case.trunks]
    while waiting:
        open_ends = {_end(trunk) for trunk, _ in waiting}
        ready = [pair for pair in waiting if pair[1] in arrived and pair[1] not in open_ends]
        ready = ready or [pair for pair in waiting if pair[1] in arrived][:1]
        if not ready:
            return
        for trunk, start in ready:
            yield from _along(case, trunk, _middle(arrived[start]), start, arrived)
        waiting = [pair for pair in waiting if pair not in ready]


def _end(leg: Leg) -> str:
    return leg.to.joint if isinstance(leg.to, Meeting) else leg.to


def _along(
    case: Case, leg: Leg, frame: Frame, name: str, arrived: dict[str, list[Frame]]
) -> Iterator[tuple[str, Stretch]]:
    section: Section = leg.section
    for piece in leg.pieces:
        if isinstance(piece, Bend):
            yield name, _stretch(case, section, *_arc(frame, piece))
        else:
            yield name, _stretch(case, section, frame.position, frame.direction)
        section = piece.section_out(section)
        frame = _advance(frame, piece)
    yield name, _stretch(case, section, frame.position, frame.direction)
    arrived.setdefault(_end(leg), []).append(frame)


def _advance(frame: Frame, piece: Piece) -> Frame:
    onward = (
        advance(frame, piece) if isinstance(piece, Bend | Mitre) or piece.path_length() else frame
    )
    assert onward is not None
    return onward


def _arc(frame: Frame, piece: Bend) -> tuple[Points, Points]:
    """Points and directions along a bend, from its start to its end."""
    angles = np.linspace(0.0, piece.angle, math.ceil(piece.angle / STEP) + 1)[:, None]
    c, s = np.cos(angles), np.sin(angles)
    turn = piece.rotation
    side = math.cos(turn) * frame.normal + math.sin(turn) * frame.binormal
    place = frame.position + piece.radius * (s * frame.direction + (1.0 - c) * side)
    return place, c * frame.direction + s * side


def _stretch(case: Case, section: SectionBase, place: Points, direction: Points) -> Stretch:
    wall = 0.0 if isinstance(section, Tube) else (case.wall.thickness or 0.0)
    radius = 0.5 * outside(section) + wall
    across = radius * np.sqrt(np.maximum(0.0, 1.0 - direction**2))
    return Stretch(np.atleast_2d(place), np.atleast_2d(across))


def _middle(frames: list[Frame]) -> Frame:
    position = np.mean([frame.position for frame in frames], axis=0)
    direction = np.sum([frame.direction for frame in frames], axis=0)
    size = float(np.linalg.norm(direction))
    direction = direction / size if size > 1e-6 else frames[0].direction
    normal = frames[0].normal - (frames[0].normal @ direction) * direction
    across = float(np.linalg.norm(normal))
    if across < 1e-6:
        normal = frames[0].binormal - (frames[0].binormal @ direction) * direction
        across = float(np.linalg.norm(normal))
    return Frame(position, direction, normal / across)
