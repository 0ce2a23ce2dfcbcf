"""Pipes and waves that the checks of the method of characteristics share."""

from __future__ import annotations

from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.moc import Pipe, Profile, Wave

P0, T0, R, GAMMA = 101325.0, 293.0, 287.0, 1.4
"""Air of the tables [Pa, K, J/kg/K, -]."""
GAS = (GAMMA, R)
Order = Literal[1, 2]
START, END = (0, "start"), (0, "end")
DIGIT = 1e-5
"""Last digit of a tabulated pressure ratio; half of it is rounding, half the rest of the ramp."""


def pipe(length: float = 0.5, cells: int = 25, bore: float = 0.025, **more: Any) -> Pipe:
    first = {"p": P0, "T": T0, **more}
    return Pipe(length, bore, bore, cells, **first)


def level(ratio: float, rise: float = 4e-3) -> Wave:
    """A wave that rises slowly enough not to shock in half a metre, and stays."""
    return Wave([0.0, rise], [P0, ratio * P0])


def hump(ratio: float, base: float, count: int = 2001) -> Wave:
    t = np.linspace(0.0, base, count)
    return Wave(t, P0 * (1.0 + (ratio - 1.0) * np.sin(np.pi * t / base) ** 2))


def X(ratio: Any) -> Any:
    return ratio ** (1.0 / 7.0)


def reflected(at: Profile, incident: float) -> float:
    """Pressure ratio of the returned wave alone, from superposition in mid-pipe."""
    return float((X(at.p[len(at.p) // 2] / P0) - X(incident) + 1.0) ** 7)


def mach(at: Profile, gas: tuple[float, float] = GAS) -> NDArray[np.float64]:
    return at.u / np.sqrt(gas[0] * gas[1] * at.T)
