"""A monotone cubic through points, without loading an interpolation package at every start."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Monotone:
    """A cubic between each pair of points that never overshoots them."""

    def __init__(self, x: Sequence[float] | Array, y: Sequence[float] | Array) -> None:
        self.x, self.y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
        self.slope = slopes(self.x, self.y)

    def __call__(self, at: Any) -> Any:
        """Values at one place or many; the end pieces go on beyond the ends."""
        t = np.asarray(at, dtype=float)
        k = np.clip(np.searchsorted(self.x, t, side="right") - 1, 0, len(self.x) - 2)
        h = self.x[k + 1] - self.x[k]
        s = (t - self.x[k]) / h
        rise = self.y[k + 1] - self.y[k]
        d_0, d_1 = h * self.slope[k], h * self.slope[k + 1]
        return self.y[k] + s * (
            d_0 + s * (3.0 * rise - 2.0 * d_0 - d_1 + s * (d_0 + d_1 - 2.0 * rise))
        )


def slopes(x: Array, y: Array) -> Array:
    """Slopes at the points of a monotone cubic.

    Inside, the harmonic mean of the slopes beside a point, weighted by their lengths, and 0 where
    they differ in sign; at the ends the parabola through three points, kept from overshooting.

    Parameters
    ----------
    x, y : (n,) arrays   x rising, two points at least [any]
    Returns
    -------
    slopes : (n,) array   [y/x]
    Source      Fritsch & Butland 1984; ends by Moler, Numerical Computing with MATLAB 2004, 3.4
    """
    h = np.diff(x)
    d = np.diff(y) / h
    if len(d) == 1:
        return np.array([d[0], d[0]])
    found = np.zeros(len(x))
    w_1, w_2 = 2.0 * h[1:] + h[:-1], h[1:] + 2.0 * h[:-1]
    same = d[:-1] * d[1:] > 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (w_1 + w_2) / (w_1 / d[:-1] + w_2 / d[1:])
    found[1:-1] = np.where(same, mean, 0.0)
    found[0] = _end(h[0], h[1], d[0], d[1])
    found[-1] = _end(h[-1], h[-2], d[-1], d[-2])
    return found


def _end(h_0: float, h_1: float, d_0: float, d_1: float) -> float:
    slope = ((2.0 * h_0 + h_1) * d_0 - h_0 * d_1) / (h_0 + h_1)
    if slope * d_0 <= 0.0:
        return 0.0
    if d_0 * d_1 <= 0.0 and abs(slope) > 3.0 * abs(d_0):
        return 3.0 * d_0
    return float(slope)
