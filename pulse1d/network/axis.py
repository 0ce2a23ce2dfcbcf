"""Where a joint's axis points in space: as stated, or as its legs tell it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pulse1d.network.layout import Joint

TELLING = 0.3
"""Cosine of a leg's angle to the axis, and length of the mean of unit vectors, below which they
say nothing of where the axis points (judgement)."""

STRAIGHT = 0.9
"""Cosine above which a leg of a branch is its through run."""


def axis_of(
    joint: Joint, ways: Sequence[ArrayLike], angles: Sequence[float]
) -> NDArray[np.float64] | None:
    """Unit vector along a joint's axis, the way that the leg behind it leaves.

    Legs square to the axis could meet on either side of it: they do not tell it.

    Parameters
    ----------
    joint : Joint   Its stated direction comes first [-]
    ways : sequence of (3,) array   In which legs arrive in space [-]
    angles : sequence of float   Between each of them and the axis, as stated [rad]
    Returns
    -------
    axis : (3,) array or None   None where neither tells it [-]
    Source      mean of the legs, each weighted by the cosine of its angle
    """
    if joint.direction is not None:
        stated = np.array(joint.direction, dtype=float)
        stated /= np.max(np.abs(stated))  # squares of tiny numbers are 0
        return np.asarray(stated / np.linalg.norm(stated))
    weights = np.cos(np.array(angles, dtype=float))
    if joint.kind == "branch" and np.any(weights > STRAIGHT):
        weights = np.where(weights > STRAIGHT, weights, 0.0)
    if not np.any(np.abs(weights) > TELLING):
        return None
    mean = weights @ np.array(ways, dtype=float).reshape(-1, 3) / np.sum(np.abs(weights))
    size = math.hypot(*mean)
    return np.asarray(mean / size) if size > TELLING else None
