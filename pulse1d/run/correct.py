"""Calibration applied to rows, so that every prediction reads it the same way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pulse1d.case.schema import Calibration
from pulse1d.losses.element import COLUMN, K_COLUMNS
from pulse1d.network.rows import Rows


def corrected(rows: Rows, calibration: Calibration) -> Rows:
    """Rows with a calibration's factors and offsets on the numbers they name.

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
        places = {
            (effect.step, COLUMN[effect.column])
            for effect in rows.effects
            if effect.cause == correction.cause
        }
        for index, element in enumerate(rows.elements):
            if element.name == correction.cause:
                for row in np.flatnonzero(rows.owner == index):
                    places |= {(int(row), COLUMN[name]) for name in K_COLUMNS}
        for place in places:
            steps[place] = steps[place] * (correction.factor or 1.0) + (correction.offset or 0.0)
    return replace(rows, steps=steps)
