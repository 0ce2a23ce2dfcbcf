"""Places for labels beside their points, clear of lines and of each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.plots.look import LEAST, LETTER

Array = NDArray[np.float64]
STEPS = (0.07, 0.2, 0.38)
"""Distances that are tried [in]."""
SIDES = ((1, 1), (1, -1), (-1, 1), (-1, -1))
"""Right above first, of a point."""
ON_LABEL = 40.0
"""What it costs to cover a label, where covering a point of a line costs 1 (judgement)."""
OUTSIDE = 25.0


def clear_places(points: Array, sizes: Array, lines: Array, room: tuple[float, float]) -> Array:
    """Where labels go, the first ones first.

    Parameters
    ----------
    points : (n, 2) array   What is labelled [in]
    sizes : (n, 2) array   Width and height of each label [in]
    lines : (m, 2) array   Points of lines, to be left open [in]
    room : (2,) tuple   Width and height of the axes, from 0 [in]
    Returns
    -------
    corners : (n, 2) array   Lower left corner of each label [in]
    """
    taken: list[Array] = []
    corners = []
    for point, size in zip(points, sizes, strict=True):
        best, least = point, np.inf
        for far, step in enumerate(STEPS):
            for n, side in enumerate(SIDES):
                gap = np.array([step * 0.6 if far else step, step])
                low = point + np.where(np.array(side) > 0, gap, -gap - size)
                high = low + size
                cost = 2.0 * far + 0.1 * n
                cost += float(np.sum(np.all((lines > low) & (lines < high), axis=1)))
                cost += ON_LABEL * sum(
                    bool(np.all(low < other[1]) and np.all(high > other[0])) for other in taken
                )
                cost += OUTSIDE * float(np.any(low < 0.0) or np.any(high > np.array(room)))
                if cost < least:
                    best, least = low, cost
        taken.append(np.array([best, best + size]))
        corners.append(best)
    return np.array(corners).reshape(-1, 2)


def label_points(
    axes: Any,
    places: Sequence[tuple[float, float, str]],
    lines: Sequence[tuple[Array, Array]],
    room: tuple[float, float],
) -> None:
    """Write labels beside points, on axes whose limits are set.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    places : sequence of (x, y, text)   [as drawn]
    lines : sequence of (x, y)   Arrays along each line [as drawn]
    room : (2,) tuple   Width and height of the axes, roughly [in]
    """
    low = np.array([axes.get_xlim()[0], axes.get_ylim()[0]])
    scale = np.array(room) / (np.array([axes.get_xlim()[1], axes.get_ylim()[1]]) - low)
    at = (np.array([place[:2] for place in places]).reshape(-1, 2) - low) * scale
    em = LEAST / 72.0
    sizes = np.array([[LETTER * em * len(text) + 0.04, 1.25 * em] for *_, text in places])
    drawn = [_dense((np.column_stack(line) - low) * scale) for line in lines]
    corners = clear_places(at, sizes.reshape(-1, 2), np.concatenate(drawn), room)
    for (x, y, text), point, corner, size in zip(places, at, corners, sizes, strict=True):
        right = corner[0] >= point[0]
        start = corner + (0.0 if right else 1.0) * np.array([size[0], 0.0]) - point
        axes.annotate(
            text.replace("$", r"\$"), (x, y), 72.0 * (start + np.array([0.0, 0.5 * size[1]])),
            textcoords="offset points", fontsize=LEAST, ha="left" if right else "right",
            va="center", zorder=5,
            arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkA": 0.0, "shrinkB": 2.0},
            bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 0.6},
        )  # fmt: skip


def _dense(line: Array, step: float = 0.04) -> Array:
    """Points along a line, one at every step [in]."""
    parts = [line[:1]]
    for a, b in pairwise(line):
        count = max(int(np.linalg.norm(b - a) / step), 1)
        parts.append(a + (b - a) * (np.arange(1, count + 1) / count)[:, None])
    return np.concatenate(parts)
