"""A mismatch over warm-up and cool-down: how far it swings."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from pulse1d.durability.metal import Material
from pulse1d.durability.strain import REFERENCE


class Swing(NamedTuple):
    """A mismatch over a cycle: its two ends, and when."""

    most: float
    """Largest, a grown more than b [-]."""
    least: float
    """Smallest [-]."""
    at_most: int
    """Place in the record [-]."""
    at_least: int
    """Place in the record [-]."""

    @property
    def range(self) -> float:
        """From smallest to largest [-]."""
        return self.most - self.least


def mismatch_swing(
    material_a: Material, T_a: ArrayLike, material_b: Material, T_b: ArrayLike
) -> Swing:
    """Ends of a mismatch over a warm-up and cool-down.

    Parameters
    ----------
    material_a, material_b : Material   [-]
    T_a, T_b : (n,) array   Temperatures over time, the stress-free start among them [K]
    Returns
    -------
    swing : Swing   [-]
    Source      definition
    """
    a, b = np.asarray(T_a, dtype=float), np.asarray(T_b, dtype=float)
    gap = material_a.alpha_mean(a) * (a - REFERENCE) - material_b.alpha_mean(b) * (b - REFERENCE)
    i, j = int(np.argmax(gap)), int(np.argmin(gap))
    return Swing(float(gap[i]), float(gap[j]), i, j)
