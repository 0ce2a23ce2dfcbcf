"""Wall temperatures of the pipes from the heat of a whole cycle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.assemble import Arrays
from pulse1d.waves.walls import D_H, H_SUM, Q_SUM, T_WALL

Array = NDArray[np.float64]

STEFAN = 5.670374419e-8
"""[W/m2/K4]"""
ROUNDS = 30


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
    """Start the integrals of heat anew.

    Parameters
    ----------
    arrays : Arrays   [-]
    """
    arrays.wall[0][[H_SUM, Q_SUM]] = 0.0


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
    T_w inside, T_o outside; T_g is the mean of the gas weighted by h.

    Parameters
    ----------
    arrays : Arrays   With the integrals of a whole cycle; wall temperatures are updated [SI]
    outside : Outside   [SI]
    period : float   Length of the cycle [s]
    Limits      round; no conduction along the wall, none into the head
    Source      heat balance of a round wall, cycle mean
    """
    table = arrays.wall[0]
    hot = table[T_WALL] > 0.0
    if not hot.any():
        return
    sums = np.maximum(table[H_SUM, hot], 1e-30)
    D = table[D_H, hot]
    h = 0.25 * D * sums / period
    T_g = table[T_WALL, hot] - table[Q_SUM, hot] / sums
    T_o = np.full(len(h), 0.5 * (float(T_g.mean()) + outside.T))
    wider = 1.0 + 2.0 * outside.thickness / D
    resistance = 0.5 * D / outside.conductivity * np.log(wider)

    def passed_on(T: Array) -> Array:
        black = STEFAN * (T**4 - outside.T**4)
        return np.asarray(wider * (outside.h * (T - outside.T) + outside.emissivity * black))

    for _ in range(ROUNDS):  # Newton in the outside temperature
        q = passed_on(T_o)
        slope = wider * (outside.h + 4.0 * outside.emissivity * STEFAN * T_o**3)
        step = (h * (T_g - T_o - q * resistance) - q) / (h * (1.0 + slope * resistance) + slope)
        T_o += step
        if np.max(np.abs(step)) < 1e-6:
            break
    table[T_WALL, hot] = T_o + passed_on(T_o) * resistance
