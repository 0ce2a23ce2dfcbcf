"""Mean flow of each port of a part from reduced readings, with its covariance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.measure.reduce import Reduction
from pulse1d.run.session import at_test_pressure

Array = NDArray[np.float64]

REMOUNT = 0.004
"""Relative standard deviation of a remount where the readings do not tell (common practice, no
source: 0.3 to 0.7 %)."""


@dataclass(frozen=True)
class PortMeans:
    """One part on one bench: mean flow by port at the stated test pressure and reference air."""

    part: str
    ports: tuple[str, ...]
    ln_flow: Array
    """ln of the volume flow in m3/s at the reference state."""
    covariance: Array
    """Of ``ln_flow``: instruments, meter, leak and drift with their correlations, and remounts."""
    remounts: tuple[int, ...]
    scatter: float
    """Relative standard deviation of one remount."""
    degrees: int
    """Degrees of freedom behind the scatter; 0 where it is assumed."""

    @property
    def flow(self) -> Array:
        """Mean flows [m3/s]."""
        return np.exp(self.ln_flow)

    @property
    def u(self) -> Array:
        """Relative standard uncertainties [-]."""
        return np.sqrt(np.diag(self.covariance))

    def of(self, kept: Sequence[int]) -> PortMeans:
        """Some of the ports, by their places."""
        return replace(
            self,
            ports=tuple(self.ports[k] for k in kept),
            ln_flow=self.ln_flow[list(kept)],
            covariance=self.covariance[np.ix_(kept, kept)],
            remounts=tuple(self.remounts[k] for k in kept),
        )


def port_means(reduction: Reduction, part: str) -> PortMeans:
    """Means over remounts, each remount first the mean of its own readings.

    Parameters
    ----------
    reduction : Reduction   [SI]
    part : str   Key of the part [-]
    Returns
    -------
    means : PortMeans   Ports in order of their first reading; none for a part without readings [SI]
    Source      JCGM 100:2008, 5.2 and 4.2 (pooled over ports)
    """
    groups: dict[str, dict[int, list[int]]] = {}
    for k, row in enumerate(reduction.rows):
        if row.reading.part == part and at_test_pressure(reduction, k):
            remounts = groups.setdefault(row.reading.port, {})
            remounts.setdefault(row.reading.remount, []).append(k)
    ln_rows = np.log([row.flow for row in reduction.rows])
    weights = np.zeros((len(groups), len(reduction.rows)))
    squares, degrees = 0.0, 0
    for i, remounts in enumerate(groups.values()):
        means = [float(np.mean(ln_rows[rows])) for rows in remounts.values()]
        squares += float(np.sum((np.array(means) - np.mean(means)) ** 2))
        degrees += len(means) - 1
        for rows in remounts.values():
            weights[i, rows] = 1.0 / (len(means) * len(rows))
    scatter = math.sqrt(squares / degrees) if degrees >= 2 else REMOUNT
    counts = tuple(len(remounts) for remounts in groups.values())
    moved = weights @ reduction.jacobian
    covariance = moved @ moved.T + np.diag([scatter**2 / n for n in counts])
    ports = tuple(groups)
    return PortMeans(
        part, ports, weights @ ln_rows, covariance, counts, scatter,
        degrees if degrees >= 2 else 0,
    )  # fmt: skip
