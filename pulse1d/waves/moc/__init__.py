"""Mesh method of characteristics: a second opinion on the wave kernel, sharing no code with it.

Riemann variables on a fixed mesh, characteristics traced back by linear interpolation, entropy
carried along path lines; variable area, wall friction, wall heat, one perfect gas. First order,
not conservative and not shock-capturing: good for waves that have not steepened into strong
shocks, and it says how much mass it lost.
"""

from pulse1d.waves.moc.network import (
    Closed,
    End,
    Junction,
    NonReflecting,
    Open,
    Pipe,
    Pressure,
    Vessel,
    Wave,
)
from pulse1d.waves.moc.solve import Filling, History, Profile, Trace, solve

__all__ = [
    "Closed",
    "End",
    "Filling",
    "History",
    "Junction",
    "NonReflecting",
    "Open",
    "Pipe",
    "Pressure",
    "Profile",
    "Trace",
    "Vessel",
    "Wave",
    "solve",
]
