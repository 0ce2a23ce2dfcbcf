"""When each cylinder fires."""

from __future__ import annotations

import math

from pulse1d.engine.spec import Engine

TURN = {"four-stroke": 720.0, "two-stroke": 360.0}
"""Length of a cycle [deg]."""


def firing_angle(engine: Engine, cylinder: str) -> float:
    """Crank angle at which a cylinder passes its firing top dead centre.

    Parameters
    ----------
    engine : Engine   With a firing order [-]
    cylinder : str   [-]
    Returns
    -------
    angle : float   0 for the first of the firing order [deg]
    Errors      ValueError for a cylinder that the firing order does not name.
    Source      stated angles, else even gaps
    """
    if cylinder not in engine.firing_order:
        raise ValueError(f"cylinder {cylinder!r} is not in the firing order")
    place = engine.firing_order.index(cylinder)
    if engine.firing_angles:
        return math.degrees(engine.firing_angles[place])
    return TURN[engine.cycle] * place / len(engine.firing_order)
