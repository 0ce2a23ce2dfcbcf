"""Bodies of channels: how what one cell's wall does to the gas reaches the cells behind it.

Gas takes a brick's temperature within a few cells, so a cell that is balanced by itself only
follows the cell in front, and a brick would take a cycle for every part of its length.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.assemble import Arrays
from pulse1d.waves.kinds import TAKEN, Kind
from pulse1d.waves.walls import OUTER

MOST = 50.0
"""Most transfer units of a cell that count."""


def bodies(arrays: Arrays) -> list[tuple[NDArray[np.int64], float]]:
    """Cells of each body of channels in the direction of its net flow, and that flow's capacity.

    Parameters
    ----------
    arrays : Arrays   With passages at the ends of its bodies, and a cycle's sums [SI]
    Returns
    -------
    bodies : list of (cells, capacity)   Mass that passed in the cycle times cp; bodies that nothing
        passed in net are left out [-, J/K]
    """
    found = []
    kind, first, _, _, now = arrays.nodes[:5]
    for where in arrays.place.values():
        if not np.all(arrays.wall[0][OUTER, where] > 0.0):
            continue
        end = np.flatnonzero((arrays.ends[0] == where.start) & ~arrays.ends[1])[0]
        node = int(np.flatnonzero(first <= end)[-1])
        passed = float(now[node, TAKEN]) if kind[node] == Kind.PASSAGE else 0.0
        if passed == 0.0:
            continue
        rho, p, T, G = (arrays.cells[k][where] for k in (0, 5, 6, 9))
        cp = float(np.mean(p / (rho * T) * (G + 1.0)))
        cells = np.arange(where.start, where.stop)
        found.append((cells if passed > 0.0 else cells[::-1], abs(passed) * cp))
    return found


def transfer(conductance: float, capacity: float) -> tuple[float, float]:
    """How much of a difference to the wall stands in the gas of a cell, and behind it.

    Parameters
    ----------
    conductance, capacity : float   Integrals over a cycle of h A and mdot cp [J/K]
    Returns
    -------
    mean, behind : float   Over the difference in front, (1 - exp(-N))/N and exp(-N) [-]
    Source      exact for steady flow past a wall of even temperature
    """
    N = min(conductance / capacity, MOST)
    return -math.expm1(-N) / N if N > 0.0 else 1.0, math.exp(-N)
