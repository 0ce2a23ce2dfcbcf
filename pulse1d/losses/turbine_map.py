"""A smooth, rising effective area and an efficiency through the rows of a turbine's map."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LEAST_OPEN = 0.05
"""Least area at no expansion, over that of the last row: the flow then starts like a nozzle's."""
SMOOTH = 0.01
"""Weight of the differences between the steps of the area, where rows are few."""


@dataclass(frozen=True)
class Line:
    """What a map says, in numbers of a TURBINE step."""

    area: float
    """Effective area at the last row [m2]."""
    x_end: float
    """1 - 1/ER there."""
    opening: tuple[float, float, float]
    """Bernstein coefficients of the area over ``area``."""
    work: tuple[float, float, float]
    """Of the efficiency."""
    worst: float
    """Largest distance of a row's flow from the fit, of its logarithm."""
    worst_work: float
    """Of a row's efficiency."""

    @property
    def notes(self) -> tuple[str, ...]:
        """What the fit leaves, in words."""
        work = f" and {100.0 * self.worst_work:.2g} points of efficiency" if self.worst_work else ""
        return (
            f"the map's rows lie within {100.0 * self.worst:.2g} % of flow{work} of the line "
            "drawn through them",
        )


def bernstein(t: Array, degree: int) -> Array:
    """Bernstein polynomials.

    Parameters
    ----------
    t : (n,) array   0 .. 1 [-]
    degree : int   [-]
    Returns
    -------
    B : (n, degree + 1) array   [-]
    Source      definition
    """
    columns = [math.comb(degree, k) * t**k * (1.0 - t) ** (degree - k) for k in range(degree + 1)]
    return np.stack(columns, axis=1)


def fitted(rows: list[tuple[float, float, float]], etas: list[float]) -> Line:
    """A line through a map: an area that never falls with expansion, and an efficiency.

    A(t) = sum a_k B_k(t), a_0 <= a_1 <= a_2 <= a_3,  t = (1 - 1/ER)/(1 - 1/ER_last)

    Parameters
    ----------
    rows : list of (ER, m, T)   Expansion ratio, mdot sqrt(T0)/p0 and T0 of each row, ER rising
        [-, kg/s K^0.5/Pa, K]
    etas : list of float   Efficiency of each row [-]
    Returns
    -------
    line : Line   [SI]
    Limits      the map's gas is air; what an area falls with expansion is left to the band
    Source      least squares in ln flow to first order, by non-negative steps (Lawson & Hanson
        1974, through scipy)
    """
    from scipy.optimize import lsq_linear, nnls

    from pulse1d.gas import state
    from pulse1d.gas.air import dry_air
    from pulse1d.losses.turbine_law import nozzle_square

    air = dry_air()
    x = np.array([1.0 - 1.0 / row[0] for row in rows])
    t = x / x[-1]
    phi = [
        math.sqrt(nozzle_square(x[k], float(state.gamma(row[2], air.table)))[0])
        for k, row in enumerate(rows)
    ]
    areas = np.array([row[1] * math.sqrt(air.R) / phi[k] for k, row in enumerate(rows)])
    scale = float(areas.max())
    steps = np.cumsum(bernstein(t, 3)[:, ::-1], axis=1)[:, ::-1]
    # steps: column k is what rises from coefficient k on
    near = np.zeros((2, 4))
    near[0, 1:3], near[1, 2:] = (SMOOTH, -SMOOTH), (SMOOTH, -SMOOTH)
    matrix = np.concatenate([steps * (scale / areas)[:, None], near])
    goal = np.concatenate([1.0 - LEAST_OPEN * scale / areas, np.zeros(2)])
    rises, _ = nnls(matrix, goal)
    rises[0] += LEAST_OPEN
    coefficients = np.cumsum(rises)
    fit = scale * bernstein(t, 3) @ coefficients
    B = bernstein(t, 2)
    eta = np.array(etas)
    flat = bool(np.ptp(eta) == 0.0)
    work = np.full(3, eta[0]) if flat else lsq_linear(B, eta, (0.0, 1.0)).x
    return Line(
        float(scale * coefficients[3]),
        float(x[-1]),
        tuple(float(a / coefficients[3]) for a in coefficients[:3]),  # type: ignore[arg-type]
        tuple(float(w) for w in work),  # type: ignore[arg-type]
        float(np.abs(np.log(fit / areas)).max()),
        0.0 if flat else float(np.abs(B @ work - eta).max()),
    )
