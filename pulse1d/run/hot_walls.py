"""Walls of a pipe on the running engine: hot, and its heat transfer raised by the pulses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.pipes import Net
from pulse1d.waves.walls import H_FACTOR, OUTER, T_WALL, X_IN

Array = NDArray[np.float64]

PULSING = 2.0
"""Heat transfer of pulsating exhaust flow over that of steady flow in a straight pipe: 1.9 to 2.9
(Malchow et al. 1979, Meisner & Sorenson 1986, Depcik & Assanis 2002, from memory) [-]."""
T_WALLS = 700.0
"""To start from [K]."""
KEPT, HALF = -1.0, -0.5
"""In row OUTER: a wall whose temperature is stated and stays (``pulse1d.run.wall_balance``); what
says so where such a wall ends within a cell, whose rows are means by length."""


def hot(net: Net, known: Mapping[str, Array], factor: float) -> tuple[Net, tuple[str, ...]]:
    """The network full of burned gas between hot walls.

    Parameters
    ----------
    net : Net   Exhaust side alone [SI]
    known : dict   Pipe name to temperatures to start from, of its cells that the cycle heats [K]
    factor : float   On PULSING, for bands [-]
    Returns
    -------
    net, found : Net, tuple of str   Pipes whose walls the cycle heats [SI, -]
    """
    pipes, found = {}, []
    for name, pipe in net.pipes.items():
        rows = {row: np.array(values, dtype=float) for row, values in (pipe.rows or {}).items()}
        outer = rows.setdefault(OUTER, np.zeros(pipe.cells))
        kept = outer < HALF
        share, outer[kept] = -outer[kept], KEPT
        outer[(outer > KEPT) & (outer < 0.0)] = 0.0
        rows[H_FACTOR] = np.full(pipe.cells, PULSING * factor)
        rows[X_IN][kept] = np.flatnonzero(kept) * pipe.length / pipe.cells
        rows[T_WALL][kept] /= share
        start = known.get(name)
        if start is None or len(start) != np.count_nonzero(~kept):
            start = np.full(np.count_nonzero(~kept), T_WALLS)
        rows[T_WALL][~kept] = start
        if not kept.all():
            found.append(name)
        pipes[name] = replace(pipe, Y=1.0, rows=rows)
    return replace(net, pipes=pipes), tuple(found)
