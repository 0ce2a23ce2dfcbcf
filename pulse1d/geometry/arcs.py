"""Contours of rounded sections as points: four corners, each a quarter of an ellipse."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray


class Corner(NamedTuple):
    """A quarter ellipse: its centre and half axes; both half axes 0 is a sharp corner."""

    x: float
    y: float
    r_x: float
    r_y: float


def even_corners(width: float, height: float, radius: float) -> tuple[Corner, ...]:
    """The four equal corners of a rounded rectangle about the origin, anticlockwise.

    Parameters
    ----------
    width, height : float   Outer sizes [m]
    radius : float   Corner radius [m], valid 0 .. half the shorter size
    Returns
    -------
    corners : (4,) tuple   Upper right, upper left, lower left, lower right [m]
    Source      plane geometry, no source
    """
    x, y = 0.5 * width - radius, 0.5 * height - radius
    return tuple(
        Corner(sx * x, sy * y, radius, radius) for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    )


def contour(corners: tuple[Corner, ...], n: int) -> NDArray[np.float64]:
    """Points round a section, anticlockwise, that enclose exactly its area.

    The ends of each quarter lie on the true curve, so extent and straights are exact; the
    points between lie outside it by the factor rho that makes the chords enclose the area of the
    quarter: sin(d) ((m - 2) rho^2 + 2 rho) = m d, with m chords of d = pi/(2 m).

    Parameters
    ----------
    corners : (4,) tuple   Upper right, upper left, lower left, lower right [m]
    n : int   Points in a full turn of rounded corners [-], at least 12
    Returns
    -------
    points : (k, 2) array   x, y, not closed [m]
    Errors      ValueError when n is below 12.
    Limits      rho - 1 < 5/n^2: no point lies further off the curve, in half axes, than that.
    Source      plane geometry, no source
    """
    if n < 12:
        raise ValueError(f"{n} points do not make a round outline; ask for 12 or more")
    m = math.ceil(n / 4)
    d = 0.5 * math.pi / m
    rho = (math.sqrt(1.0 + (m - 2) * m * d / math.sin(d)) - 1.0) / (m - 2)
    radii = np.full(m + 1, rho)
    radii[[0, -1]] = 1.0
    points: list[NDArray[np.float64]] = []
    for quadrant, corner in enumerate(corners):
        c, s = _quarter(m, quadrant)
        arc = np.column_stack(
            (corner.x + corner.r_x * radii * c, corner.y + corner.r_y * radii * s)
        )
        points.append(arc if corner.r_x > 0.0 else arc[:1])
    return _without_repeats(np.concatenate(points))


def _quarter(m: int, quadrant: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Cosine and sine over a quadrant, exact 0 and 1 at its ends."""
    angle = np.linspace(0.0, 0.5 * np.pi, m + 1)
    c, s = np.cos(angle), np.sin(angle)
    c[-1] = 0.0
    for _ in range(quadrant):
        c, s = -s, c
    return c, s


def _without_repeats(points: NDArray[np.float64]) -> NDArray[np.float64]:
    size = float(np.ptp(points, axis=0).max())
    step = np.abs(points - np.roll(points, 1, axis=0)).max(axis=1)
    # 1e-12 of the size: far above round-off, far below any corner that can be made.
    kept: NDArray[np.float64] = points[step > 1e-12 * size]
    return kept
