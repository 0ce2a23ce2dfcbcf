"""Where a runner goes: a frame carried along straights, bends and mitres.

Flange axes: x along the row of ports, y up, z out of the head. All turns are right-handed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Vector = NDArray[np.float64]
UNIT = 1e-9
"""Slack on unit length and right angles: far above the round-off of any chain of bends."""


@dataclass(frozen=True, eq=False)
class Frame:
    """A station of the axis: where it is, where the gas heads, which way the last bend turned.

    Parameters
    ----------
    position : (3,) array   Point on the axis [m]
    direction : (3,) array   Unit vector of forward flow [-]
    normal : (3,) array   Unit vector across it, towards the inside of the last bend [-]
    Errors      ValueError when the vectors are not of unit length or not at right angles.
    """

    position: Vector
    direction: Vector
    normal: Vector

    def __post_init__(self) -> None:
        for name in ("position", "direction", "normal"):
            vector = _vector(getattr(self, name), name)
            vector.flags.writeable = False
            object.__setattr__(self, name, vector)
        lengths = [float(np.linalg.norm(v)) for v in (self.direction, self.normal)]
        if max(abs(length - 1.0) for length in lengths) > UNIT:
            raise ValueError("direction and normal of a frame need unit length; divide by theirs")
        if abs(float(self.direction @ self.normal)) > UNIT:
            raise ValueError("the normal of a frame must be at right angles to its direction")

    @property
    def binormal(self) -> Vector:
        """Unit vector across the plane of the last bend, direction x normal, (3,) [-]."""
        return np.cross(self.direction, self.normal)


class Move(NamedTuple):
    """One row of a tube-bending sheet: a straight, then a turn of the plane, then a bend."""

    L: float = 0.0
    """Straight length before the bend [m]."""
    rotation: float = 0.0
    """Turn of the bend plane from that of the bend before [rad]."""
    angle: float = 0.0
    """Bend angle [rad]."""
    radius: float = 0.0
    """Bend radius of the axis [m]; 0 is a mitre."""


def port_frame(
    position: ArrayLike = (0.0, 0.0),
    direction: ArrayLike = (0.0, 0.0, 1.0),
    normal: ArrayLike = (1.0, 0.0, 0.0),
) -> Frame:
    """The frame in which the gas leaves a port.

    The first bend with rotation 0 turns towards ``normal``, by default along the row of ports;
    rotation 90 deg then turns it up, -90 deg down.

    Parameters
    ----------
    position : (2,) or (3,) array   On the flange: x along the row, y up, z out of the head [m]
    direction : (3,) array   Way out, any length; default square to the flange [-]
    normal : (3,) array   Side of the first bend, any length; its part along the direction is
        dropped [-]
    Returns
    -------
    frame : Frame   The start of the runner [m]
    Errors      ValueError when a vector is zero or both lie along one line.
    Source      convention, no source
    """
    place = np.atleast_1d(np.asarray(position, dtype=float))
    if place.shape == (2,):
        place = np.append(place, 0.0)
    along = _unit(_vector(direction, "direction"), "direction")
    side = _unit(_vector(normal, "normal"), "normal")
    across = side - (side @ along) * along
    # Below 1e-6 rad of the direction the side of the first bend would be left to round-off.
    if float(np.linalg.norm(across)) < 1e-6:
        raise ValueError(
            "the direction of the port lies along the normal, so the plane of the first bend is "
            "open; give a normal across the direction"
        )
    return Frame(place, along, _unit(across, "normal"))


def straight(frame: Frame, L: float) -> Frame:
    """The frame at the end of a straight.

    Parameters
    ----------
    frame : Frame   Start [m]
    L : float   Length [m], at least 0
    Returns
    -------
    frame : Frame   End [m]
    Errors      ValueError when L is negative.
    Source      geometry, no source
    """
    if not L >= 0.0:
        raise ValueError(f"a straight of {L:g} m leads backwards; give a length of 0 or more")
    return Frame(frame.position + L * frame.direction, frame.direction, frame.normal)


def bend(frame: Frame, angle: float, radius: float, rotation: float = 0.0) -> Frame:
    """The frame at the end of a bend, by length-rotation-angle practice.

    The plane is turned about the direction by ``rotation`` from that of the bend before:
    0 goes on the same way, pi turns back in the same plane (an S).

    Parameters
    ----------
    frame : Frame   Start [m]
    angle : float   Bend angle [rad], 0 .. 2 pi
    radius : float   Bend radius of the axis [m], at least 0
    rotation : float   Turn of the bend plane, right-handed about the direction [rad]
    Returns
    -------
    frame : Frame   End; its normal points to the centre of the bend [m]
    Errors      ValueError when the angle or the radius is out of range.
    Source      geometry, no source
    """
    if not 0.0 <= angle <= 2.0 * math.pi:
        raise ValueError(
            f"a bend of {math.degrees(angle):g} deg is not within 0 .. 360 deg; to turn the other "
            "way give a rotation of 180 deg"
        )
    if not radius >= 0.0:
        raise ValueError(f"a bend radius of {radius:g} m is negative; give 0 or more")
    d = frame.direction
    n = math.cos(rotation) * frame.normal + math.sin(rotation) * frame.binormal
    n = _unit(n - (n @ d) * d, "normal")
    c, s = math.cos(angle), math.sin(angle)
    end = frame.position + radius * (s * d + (1.0 - c) * n)
    onward = _unit(c * d + s * n, "direction")
    return Frame(end, onward, _unit(c * n - s * d, "normal"))


def mitre(frame: Frame, angle: float, rotation: float = 0.0) -> Frame:
    """The frame behind a mitre: a bend of no radius.

    Parameters
    ----------
    frame : Frame   Start [m]
    angle : float   Angle between the axes [rad], 0 .. pi
    rotation : float   Turn of the bend plane, right-handed about the direction [rad]
    Returns
    -------
    frame : Frame   End, at the same point [m]
    Errors      ValueError when the angle is out of range.
    Source      geometry, no source
    """
    if not 0.0 <= angle <= math.pi:
        raise ValueError(f"a mitre of {math.degrees(angle):g} deg is not within 0 .. 180 deg")
    return bend(frame, angle, 0.0, rotation)


def follow(frame: Frame, moves: Sequence[Move]) -> list[Frame]:
    """The frames after each move of a runner.

    Parameters
    ----------
    frame : Frame   Start [m]
    moves : sequence of Move   Rows of the bending sheet, k of them [m, rad]
    Returns
    -------
    frames : list of k + 1 Frame   The start, then the end of each move [m]
    Errors      ValueError when a move is out of range.
    Source      geometry, no source
    """
    frames = [frame]
    for move in moves:
        here = straight(frames[-1], move.L)
        frames.append(bend(here, move.angle, move.radius, move.rotation))
    return frames


def path_points(frame: Frame, moves: Sequence[Move], step: float = math.radians(5.0)) -> Vector:
    """Points along the axis of a runner, for sketches: ends of straights, and along bends.

    Parameters
    ----------
    frame : Frame   Start [m]
    moves : sequence of Move   Rows of the bending sheet [m, rad]
    step : float   Largest angle between points along a bend [rad], above 0
    Returns
    -------
    points : (k, 3) array   Points on the axis, first the start [m]
    Errors      ValueError when a move is out of range or the step is not above 0.
    Source      geometry, no source
    """
    if not step > 0.0:
        raise ValueError(f"an angle step of {step:g} rad makes no points; give one above 0")
    points, here = [frame.position], frame
    for move in moves:
        here = straight(here, move.L)
        if move.L > 0.0:
            points.append(here.position)
        parts = math.ceil(move.angle / step) if move.radius > 0.0 else 0
        for part in range(1, parts + 1):
            angle = move.angle * part / parts
            points.append(bend(here, angle, move.radius, move.rotation).position)
        here = bend(here, move.angle, move.radius, move.rotation)
    return np.array(points)


def gap(ends: ArrayLike) -> float:
    """How badly leg ends that should meet miss each other.

    Parameters
    ----------
    ends : (k, 3) array   Positions of the leg ends [m]
    Returns
    -------
    gap : float   Largest distance of an end from the centroid of all [m]
    Errors      ValueError when there is no end or the array is not (k, 3).
    Source      geometry, no source
    """
    places = np.asarray(ends, dtype=float)
    if places.ndim != 2 or places.shape[0] < 1 or places.shape[1] != 3:
        raise ValueError(f"leg ends of shape {places.shape} are not (k, 3) positions")
    return float(np.linalg.norm(places - places.mean(axis=0), axis=1).max())


def angle_between(u: ArrayLike, v: ArrayLike) -> float:
    """The angle between two directions, accurate near 0 and pi too.

    Parameters
    ----------
    u, v : (3,) array   Vectors of any length above 0 [-]
    Returns
    -------
    angle : float   0 .. pi [rad]
    Errors      ValueError when a vector is zero.
    Source      atan2(|u x v|, u . v), geometry, no source
    """
    a, b = _unit(_vector(u, "u"), "u"), _unit(_vector(v, "v"), "v")
    return math.atan2(float(np.linalg.norm(np.cross(a, b))), float(a @ b))


def _vector(value: ArrayLike, name: str) -> Vector:
    vector = np.array(value, dtype=float)
    if vector.shape != (3,) or not np.all(np.isfinite(vector)):
        raise ValueError(f"{name} must be three finite numbers, x, y and z")
    return vector


def _unit(vector: Vector, name: str) -> Vector:
    size = float(np.linalg.norm(vector))
    if size == 0.0:
        raise ValueError(f"{name} has no length, so it points nowhere; give another vector")
    return vector / size
