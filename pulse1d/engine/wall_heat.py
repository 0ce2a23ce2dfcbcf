"""Numbers of the wall heat law that a case asks for."""

from __future__ import annotations

from pulse1d.cylinder.annand import RADIATING, STEFAN
from pulse1d.engine.spec import Engine


def annand_of(engine: Engine) -> tuple[float, float]:
    """Annand's a and c.

    Parameters
    ----------
    engine : Engine   [-]
    Returns
    -------
    a, c : float   Both 0 where the walls follow Woschni's law [-, W/m2/K4]
    Source      Annand 1963, from memory
    """
    if engine.wall_heat_law == "woschni":
        return 0.0, 0.0
    return engine.charge_motion, RADIATING[engine.charge.ignition] * STEFAN
