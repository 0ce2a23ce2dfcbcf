"""What hangs on a collector: weight of the rest of the system, and how the engine shakes it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from pulse1d.durability.unit_loads import Array

GRAVITY = 9.80665
"""[m/s2]"""


def hung_load(
    mass: float,
    lever: ArrayLike = (0.0, 0.0, 0.0),
    shake: float = 0.0,
    up: ArrayLike = (0.0, 1.0, 0.0),
) -> Array:
    """Load on a collector from a mass that it carries, at the worst of its shaking.

    F = -m g (1 + a) up, M = lever x F

    Parameters
    ----------
    mass : float   Carried, not hung elsewhere [kg]
    lever : (3,) array   From the collector to the mass's centre [m]
    shake : float   Amplitude of vertical vibration in units of gravity, as measured at the mass [-]
    up : (3,) array   Any length [-]
    Returns
    -------
    load : (6,) array   Force and moment, as ``unit_loads.bending_strain`` takes it [N, N m]
    Errors      ValueError for a negative mass or shake, or no way up.
    Limits      the mass moves with the collector: no resonance is looked for
    Source      statics
    """
    way = np.asarray(up, dtype=float)
    size = float(np.linalg.norm(way))
    if mass < 0.0 or shake < 0.0 or size == 0.0:
        raise ValueError("a hung mass and its shake must be 0 or more, and up must have a length")
    force = -mass * GRAVITY * (1.0 + shake) * way / size
    return np.concatenate((force, np.cross(np.asarray(lever, dtype=float), force)))
