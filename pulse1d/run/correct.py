"""Calibration applied to rows and joints, so that every prediction reads it the same way."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.schema import Calibration
from pulse1d.losses.element import COLUMN, K_COLUMNS, Effect
from pulse1d.network.rows import Rows

Array = NDArray[np.float64]


def corrected(rows: Rows, calibration: Calibration) -> Rows:
    """Rows with a calibration's shifts, factors and offsets on the numbers they name.

    A correction names a cause, and then acts on every number which that cause moves, or one
    element, and then acts on its coefficients.

    Parameters
    ----------
    rows : Rows   [SI]
    calibration : Calibration   [-]
    Returns
    -------
    rows : Rows   [SI]
    """
    if not calibration.corrections:
        return rows
    steps = rows.steps.copy()
    for correction in calibration.corrections:
        effects = [effect for effect in rows.effects if effect.cause == correction.cause]
        for effect in effects:
            place = effect.step, COLUMN[effect.column]
            steps[place] = shifted(steps[place], effect, correction.sigmas or 0.0)
        places = {(effect.step, COLUMN[effect.column]) for effect in effects}
        for index, element in enumerate(rows.elements):
            if element.name == correction.cause:
                for row in np.flatnonzero(rows.owner == index):
                    places |= {(int(row), COLUMN[name]) for name in K_COLUMNS}
        for place in places:
            steps[place] = steps[place] * (correction.factor or 1.0) + (correction.offset or 0.0)
    return replace(rows, steps=steps)


def shifted(value: float, effect: Effect, sigmas: float) -> float:
    """A number moved by a cause.

    Parameters
    ----------
    value : float   [any]
    effect : Effect   How the cause moves it [-]
    sigmas : float   Standard deviations of the cause [-]
    Returns
    -------
    value : float   [any]
    """
    change = effect.size * sigmas
    return value * math.exp(change) if effect.mode == "ln" else value + change


def joint_offsets(effects: Sequence[Effect], ends: int, calibration: Calibration) -> Array:
    """What a calibration adds to the joint coefficients of leg ends.

    Parameters
    ----------
    effects : sequence of Effect   Doubts on joint coefficients; ``step`` is the leg end [-]
    ends : int   Number of leg ends [-]
    calibration : Calibration   [-]
    Returns
    -------
    offsets : (ends,) array   [-]
    """
    offsets = np.zeros(ends)
    for correction in calibration.corrections:
        for effect in effects:
            if effect.cause == correction.cause:
                moved = shifted(0.0, effect, correction.sigmas or 0.0)
                offsets[effect.step] += moved + (correction.offset or 0.0)
    return offsets
