"""Walls of a pipe on the running engine: hot, and its heat transfer raised by the pulses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.pipes import Net, Pipe
from pulse1d.waves.walls import H_FACTOR, OUTER, T_WALL

Array = NDArray[np.float64]

PULSING = 2.0
"""Heat transfer of pulsating exhaust flow over that of steady flow in a straight pipe: 1.9 to 2.9
(Malchow et al. 1979, Meisner & Sorenson 1986, Depcik & Assanis 2002, from memory) [-]."""
T_WALLS = 700.0
"""To start from [K]."""
KEPT = -1.0
"""In row OUTER: a wall whose temperature is stated and stays (``pulse1d.run.wall_balance``)."""


def hot(net: Net, known: Mapping[str, Array], factor: float) -> tuple[Net, tuple[str, ...]]:
    """The network full of burned gas between hot walls.

    Parameters
    ----------
    net : Net   Exhaust side alone [SI]
    known : dict   Pipe name to wall temperatures to start from [K]
    factor : float   On PULSING, for bands [-]
    Returns
    -------
    net, found : Net, tuple of str   Pipes whose walls the cycle heats [SI, -]
    """
    pipes, found = {}, []
    for name, pipe in net.pipes.items():
        rows = {row: np.asarray(values, dtype=float) for row, values in (pipe.rows or {}).items()}
        narrow = rows.get(OUTER, np.zeros(pipe.cells)) > 0.0
        rows[H_FACTOR] = np.where(narrow, 1.0, PULSING * factor)
        if not is_kept(pipe):
            found.append(name)
            start = known.get(name)
            fits = start is not None and len(start) == pipe.cells
            rows[T_WALL] = start if fits else np.full(pipe.cells, T_WALLS)  # type: ignore[assignment]
        pipes[name] = replace(pipe, Y=1.0, rows=rows)
    return replace(net, pipes=pipes), tuple(found)


def is_kept(pipe: Pipe) -> bool:
    """Whether the wall of a pipe stays at what was stated.

    Parameters
    ----------
    pipe : Pipe   [-]
    Returns
    -------
    yes : bool   [-]
    """
    rows = pipe.rows or {}
    return OUTER in rows and bool(np.all(np.asarray(rows[OUTER]) == KEPT))
