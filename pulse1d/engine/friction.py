"""Friction of the engine, and what is left at the crankshaft."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pulse1d.engine.spec import Engine

BAND = 0.2
"""5-95 % half width of the friction (judgement) [-]."""
PSI = 6894.757
RATIO = 15.0
"""Compression ratio of a compression-ignition engine whose case states none (judgement) [-]."""


@dataclass(frozen=True)
class Torque:
    """What the piston gives, what friction takes, what is left."""

    indicated: float
    """[N m]"""
    friction: float
    brake: float
    power: float
    """Brake [W]."""
    bmep: float
    """[Pa]"""


def fmep(engine: Engine, speed: float) -> float:
    """Friction of a motored engine as a mean effective pressure.

    Spark: 0.97 + 0.15 n + 0.05 n^2 bar. Compression: (r - 4) psi + 48 n + 0.4 S_p^2 kPa; n in 1000
    rev/min, S_p mean piston speed in m/s, r compression ratio

    Parameters
    ----------
    engine : Engine   [SI]
    speed : float   [rev/s]
    Returns
    -------
    fmep : float   [Pa]
    Limits      +-20 % (judgement); the source counts pumping in, here a small part twice. Chambers
        with a throat rub and pump 35 kPa more
    Source      heywood1988 section 13.4, from memory: Barnes-Moss 1975; Millington & Hartles 1968,
        (r - 4) + 7 n + 1.5 (S_p/1000 ft/min)^2 psi for direct injection
    """
    n = 60.0 * speed / 1000.0
    if engine.charge.ignition == "spark":
        return 1e5 * (0.97 + 0.15 * n + 0.05 * n * n)
    ratio = RATIO if engine.compression_ratio is None else engine.compression_ratio
    return PSI * (ratio - 4.0) + 1e3 * (48.0 * n + 0.4 * (2.0 * engine.stroke * speed) ** 2)


def torque(engine: Engine, imeps: list[float], speed: float) -> Torque:
    """Torque of the cylinders that were modelled.

    Parameters
    ----------
    engine : Engine   [SI]
    imeps : list of float   Net indicated mean effective pressure of each [Pa]
    speed : float   [rev/s]
    Returns
    -------
    torque : Torque   [SI]
    Source      definition, four strokes: M = imep V / (4 pi)
    """
    swept = 0.25 * math.pi * engine.bore**2 * engine.stroke
    indicated = sum(imeps) * swept / (4.0 * math.pi)
    friction = fmep(engine, speed) * swept * len(imeps) / (4.0 * math.pi)
    brake = indicated - friction
    bmep = brake * 4.0 * math.pi / (swept * len(imeps))
    return Torque(indicated, friction, brake, brake * 2.0 * math.pi * speed, bmep)
