"""Cylinders as the kernel takes them: their parameters and their gas at the start."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.cylinder.crank import volume
from pulse1d.waves.boundaries import valve_cylinder as columns
from pulse1d.waves.end_states import gas_of
from pulse1d.waves.kinds import ENERGY, MASS, MASS_Y, PRESSURE_NOW, T_NOW, VOLUME, Mode
from pulse1d.waves.pipes import Cylinder

Array = NDArray[np.float64]


def cylinder_parameters(item: Cylinder) -> Array:
    """One row of the kernel's cylinder parameters.

    Parameters
    ----------
    item : Cylinder   [SI, deg]
    Returns
    -------
    par : (23,) array   [SI, deg]
    Errors      ValueError for a cylinder that cannot turn.
    """
    if not item.speed > 0.0:
        raise ValueError(f"a speed of {60.0 * item.speed:g} rev/min is not above 0")
    if not item.rod > 0.5 * item.stroke:
        raise ValueError("the connecting rod is shorter than the crank; give rod above stroke/2")
    if not item.ratio > 1.0:
        raise ValueError(f"a compression ratio of {item.ratio:g} is not above 1")
    if np.shape(item.areas) != (4, 720) or np.any(np.asarray(item.areas) < 0.0):
        raise ValueError("areas are a table of 4 rows of 720 values, none below 0")
    par = np.zeros(columns.CYLINDER_PARAMETERS)
    par[columns.BORE], par[columns.STROKE] = item.bore, item.stroke
    par[columns.ROD], par[columns.RATIO] = item.rod, item.ratio
    par[columns.DEG_PER_S], par[columns.THETA_0] = 360.0 * item.speed, item.start
    par[columns.BURN_START : columns.WIEBE_M + 1] = item.burn
    par[columns.PREMIXED : columns.PREMIXED_M + 1] = item.premixed
    par[columns.HEAT], par[columns.FUEL] = item.heat, item.fuel
    par[columns.T_WALLS], par[columns.WALL_FACTOR] = item.T_walls, item.wall_factor
    par[columns.ANNAND_A], par[columns.ANNAND_C] = item.annand
    par[columns.P_IN], par[columns.T_IN] = item.inlet
    par[columns.INLET_CLOSES : columns.EXHAUST_OPENS + 1] = item.events
    return par


def fill_cylinder(item: Cylinder, par: Array, now: Array, gases: Any, mode: Mode) -> None:
    """Gas in a cylinder at the start.

    Parameters
    ----------
    item : Cylinder   [SI, deg]
    par, now : (9,), (21,) arrays   Parameters and state of its node, filled [SI]
    gases, mode : as in ``pulse1d.waves.assemble``
    """
    V = volume(item.start, item.bore, item.stroke, item.rod, item.ratio)
    R, _, e = gas_of(item.T, item.Y, int(mode), *gases)
    par[VOLUME] = V
    now[MASS] = item.p * V / (R * item.T)
    now[ENERGY], now[MASS_Y] = now[MASS] * e, now[MASS] * item.Y
    now[PRESSURE_NOW], now[T_NOW] = item.p, item.T
