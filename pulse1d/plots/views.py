"""A part seen from one side: which sides show most, and the outline of a leg there."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import permutations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.plots.placed import Placed, PlacedLeg

Array = NDArray[np.float64]
AXES = ("along the row", "up", "out of the head")
SIDES = ("seen along the row", "seen from above", "seen towards the head")
ROUND = 24
"""Points around a leg."""


@dataclass(frozen=True)
class View:
    """Which axis lies across and which up; ``sign`` -1: it points down."""

    across: int
    up: int
    sign: float = 1.0

    @property
    def name(self) -> str:
        """From where, and what lies where."""
        side = SIDES[3 - self.across - self.up]
        arrow = "↑" if self.sign > 0.0 else "↓"
        return f"{side}: {AXES[self.across]} →, {AXES[self.up]} {arrow}"

    def flat(self, points: Array) -> Array:
        """Points as they are seen, (..., 3) to (..., 2) [m]."""
        return np.stack([points[..., self.across], self.sign * points[..., self.up]], axis=-1)


def best_views(part: Placed) -> tuple[View, View]:
    """The view that shows most, and the part turned about the axis across.

    Parameters
    ----------
    part : Placed   [m]
    Returns
    -------
    views : (2,) tuple of View   [-]
    """
    points = np.concatenate([leg.points for leg in part.legs])
    half = 0.5 * np.concatenate([leg.wide for leg in part.legs])[:, None]
    size = np.max(points + half, axis=0) - np.min(points - half, axis=0)
    across, up, deep = max(
        permutations(range(3)), key=lambda axes: (size[axes[0]] * size[axes[1]], size[axes[0]])
    )
    if across == 1:  # up stays up
        across, up = up, across
    return _view(across, up), _view(across, deep)


def _view(across: int, up: int) -> View:
    return View(across, up, -1.0 if (across, up) == (0, 2) else 1.0)  # from above, not below


def silhouette(leg: PlacedLeg, view: View) -> Any:
    """What a leg covers: the hulls of its round stretches joined.

    Parameters
    ----------
    leg : PlacedLeg   [m]
    view : View   [-]
    Returns
    -------
    outline : shapely geometry   [m]
    """
    from shapely.geometry import MultiPoint
    from shapely.ops import unary_union

    hulls = []
    turn = np.linspace(0.0, 2.0 * np.pi, ROUND, endpoint=False)
    circle = np.column_stack([np.cos(turn), np.sin(turn)])
    ways = tangents(leg.points)
    across = np.cross(ways, np.eye(3)[np.argmin(np.abs(ways), axis=1)])
    across /= np.linalg.norm(across, axis=1)[:, None]
    other = np.cross(ways, across)
    for k in range(len(leg.points) - 1):
        rings = [
            leg.points[n] + 0.5 * leg.wide[n] * (circle @ np.array([across[n], other[n]]))
            for n in (k, k + 1)
        ]
        hulls.append(MultiPoint(view.flat(np.concatenate(rings))).convex_hull)
    return unary_union(hulls).buffer(0.0)


def tangents(points: Array) -> Array:
    """Directions along a line, the mean of both sides' at a point; points may lie on each other.

    Parameters
    ----------
    points : (n, 3) array   Not all in one place [m]
    Returns
    -------
    ways : (n, 3) array   Unit vectors [-]
    """
    steps = np.diff(points, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    moves = np.flatnonzero(lengths > 1e-9)
    steps = steps / np.maximum(lengths, 1e-9)[:, None]
    at = np.arange(len(points))
    before = moves[np.maximum(np.searchsorted(moves, at, side="left") - 1, 0)]
    behind = moves[np.minimum(np.searchsorted(moves, at, side="left"), len(moves) - 1)]
    ways = steps[before] + steps[behind]
    size = np.linalg.norm(ways, axis=1)
    ways[size < 1e-6] = steps[behind][size < 1e-6]
    return np.asarray(ways / np.linalg.norm(ways, axis=1)[:, None])
