"""Wall temperatures of the pipes from the heat of a whole cycle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.run.bodies import bodies, transfer
from pulse1d.waves.assemble import Arrays
from pulse1d.waves.kinds import TAKEN, WORK, Kind
from pulse1d.waves.walls import D_H, H_SUM, OUTER, Q_SUM, T_WALL

Array = NDArray[np.float64]

STEFAN = 5.670374419e-8
"""[W/m2/K4]"""
ROUNDS = 30
MAT = 8e-3 / 0.1
"""Thermal resistance of the mat around a body of channels: 8 mm of 0.1 W/m/K (judgement)
[m2 K/W]."""


@dataclass(frozen=True)
class Outside:
    """What cools the outside of a wall, and the wall itself."""

    h: float
    """Convection [W/m2/K]."""
    emissivity: float
    T: float
    """Air and surroundings [K]."""
    thickness: float
    """[m]"""
    conductivity: float
    """[W/m/K]"""


def reset_heat(arrays: Arrays) -> None:
    """Start the integrals of heat anew, what passed the passages, and what turbines took.

    Parameters
    ----------
    arrays : Arrays   [-]
    """
    arrays.wall[0][[H_SUM, Q_SUM]] = 0.0
    for sums in (TAKEN, WORK):
        arrays.nodes[4][arrays.nodes[0] == Kind.PASSAGE, sums] = 0.0


def heat_lost(arrays: Arrays) -> float:
    """Heat that the pipes' walls took since the reset.

    Parameters
    ----------
    arrays : Arrays   [SI]
    Returns
    -------
    Q : float   [J]
    """
    return -float(np.sum(arrays.wall[0][Q_SUM] * arrays.shape[1]))


def mean_wall(arrays: Arrays) -> float:
    """Mean temperature of the walls that have one.

    Parameters
    ----------
    arrays : Arrays   [K]
    Returns
    -------
    T : float   1 without any [K]
    """
    T = arrays.wall[0][T_WALL]
    return float(T[T > 0.0].mean()) if np.any(T > 0.0) else 1.0


def balance_walls(arrays: Arrays, outside: Outside, period: float) -> None:
    """Put every wall at the temperature where it passes on what the cycle gives it.

    h_g (T_g - T_w) = (T_w - T_o) 2 k/(D ln(D_o/D)) = D_o/D [h (T_o - T_a) + e s (T_o^4 - T_a^4)],
    T_w inside, T_o outside; T_g is the mean of the gas weighted by h. A body of channels has OUTER
    in place of D_o/D, its mat in place of the wall; its cells are taken one behind the other.

    Parameters
    ----------
    arrays : Arrays   With the integrals of a whole cycle; wall temperatures are updated [SI]
    outside : Outside   [SI]
    period : float   Length of the cycle [s]
    Limits      round; no conduction along the wall, none into the head; a body of channels has one
                temperature across. A wall with OUTER below 0 keeps its own.
    Source      heat balance of a round wall, cycle mean
    """
    table = arrays.wall[0]
    hot = (table[T_WALL] > 0.0) & (table[OUTER] >= 0.0)
    if not hot.any():
        return
    sums = np.maximum(table[H_SUM, hot], 1e-30)
    D, outer, T_w = table[D_H, hot], table[OUTER, hot], table[T_WALL, hot]
    h, T_g = 0.25 * D * sums / period, T_w - table[Q_SUM, hot] / sums
    body, pipe = outer > 0.0, 1.0 + 2.0 * outside.thickness / D
    wider = np.where(body, outer, pipe)
    resistance = np.where(body, MAT / wider, 0.5 * D / outside.conductivity * np.log(pipe))
    settled = wall_temperature(h, T_g, wider, resistance, outside)
    at = np.cumsum(hot) - 1  # place of a cell among the hot ones
    for cells, capacity in bodies(arrays):
        change = 0.0  # of the gas in front of a cell, once the walls before it have settled
        for cell, i in zip(cells, at[cells], strict=True):
            mean, behind = transfer(sums[i] * arrays.shape[1][cell], capacity)
            T_in = T_w[i] + (T_g[i] - T_w[i]) / mean + change
            settled[i] = wall_temperature(mean * h[i], T_in, wider[i], resistance[i], outside)
            change = behind * change + (1.0 - behind) * (settled[i] - T_w[i])
    table[T_WALL, hot] = settled


def wall_temperature(h: Any, T_g: Any, wider: Any, resistance: Any, outside: Outside) -> Any:
    """Inside temperatures of walls between gas and surroundings.

    Parameters
    ----------
    h, T_g : float or arrays   Heat transfer coefficient and temperature of the gas [W/m2/K, K]
    wider : float or array   Outer over inner area [-]
    resistance : float or array   Of the wall, on its inner area [m2 K/W]
    outside : Outside   [SI]
    Returns
    -------
    T_w : float or array   [K]
    Source      Newton in the outside temperature
    """
    T_o = np.full(np.shape(h), 0.5 * (float(np.mean(T_g)) + outside.T))

    def passed_on(T: Any) -> Any:
        black = STEFAN * (T**4 - outside.T**4)
        return wider * (outside.h * (T - outside.T) + outside.emissivity * black)

    for _ in range(ROUNDS):
        q = passed_on(T_o)
        slope = wider * (outside.h + 4.0 * outside.emissivity * STEFAN * T_o**3)
        step = (h * (T_g - T_o - q * resistance) - q) / (h * (1.0 + slope * resistance) + slope)
        T_o = T_o + step
        if np.max(np.abs(step)) < 1e-6:
            break
    return T_o + passed_on(T_o) * resistance
