"""Mesh method of characteristics: a second opinion on the wave kernel, sharing no code with it.

Riemann variables on a fixed mesh, characteristics traced back to the old time level by linear or
parabolic interpolation, entropy carried along path lines; variable area, wall friction, wall
heat, one perfect gas. Not conservative and not shock-capturing: good for waves that have not
steepened into strong shocks, and it says how much gas it made or lost.
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
