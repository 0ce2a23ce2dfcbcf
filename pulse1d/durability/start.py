"""What a start is, and the metal temperatures that came of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pulse1d.durability.heat_cells import Array


@dataclass(frozen=True)
class Schedule:
    """One start: gas on for warm-up and hold, then off. Outside and head stay as they are."""

    warm_up: float
    """[s]"""
    hold: float = 0.0
    """[s]"""
    cool_down: float = 0.0
    """[s]"""
    start: float = 293.15
    """Of all metal [K]."""
    motored: float = 0.0
    """Share of the gas-side coefficient kept in cool-down, by air as outside [-]."""


@dataclass(frozen=True)
class Transient:
    """Temperatures by node and instant; gas-side and outer face too where a node has layers."""

    names: tuple[str, ...]
    t: Array
    """[s]"""
    T: Array
    """Means, node x instant [K]."""
    inner: Array
    outer: Array
    heat: dict[str, float]
    """Into the metal over the whole start, by path; negative is lost [J]."""
    energy_gap: float
    """Heat stored less heat passed, over the greatest heat of one path [-]."""

    def at(self, name: str) -> Array:
        """Mean temperatures of a node [K]; ValueError for a name that is not there."""
        if name not in self.names:
            raise ValueError(f"no node is called {name!r}; known: {', '.join(self.names)}")
        return np.asarray(self.T[self.names.index(name)])


def peak_difference(transient: Transient, a: str, b: str) -> tuple[float, float]:
    """The greatest difference of two nodes' means, and when.

    Parameters
    ----------
    transient : Transient   [SI]
    a, b : str   Names of nodes [-]
    Returns
    -------
    difference : float   T_a - T_b, with its sign [K]
    when : float   [s]
    Errors      ValueError for a name that is not there.
    Source      a parabola through the three instants around the greatest one
    """
    d, t = transient.at(a) - transient.at(b), transient.t
    i = int(np.argmax(np.abs(d)))
    if 0 < i < len(t) - 1:
        x = t[i - 1 : i + 2] - t[i]
        c = np.polyfit(x, d[i - 1 : i + 2], 2)
        if c[0] != 0.0 and x[0] <= (top := -c[1] / (2.0 * c[0])) <= x[2]:
            return float(np.polyval(c, top)), float(t[i] + top)
    return float(d[i]), float(t[i])
