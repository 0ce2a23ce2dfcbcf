"""A measured curve of the running engine laid over the predicted one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.run.cycle import CylinderAnswer
from pulse1d.run.cycle_summary import SpeedSummary

Array = NDArray[np.float64]

REACH = 90.0
"""Largest shift looked for, half the gap between two firings of a four-cylinder engine [deg]."""
STEP = 0.25
"""Of the shifts tried; a quarter of the record's degree [deg]."""
COVERED = 360.0
"""Least angle that measured rows must span before a shift is told (judgement) [deg]."""


@dataclass(frozen=True)
class Overlay:
    """How far prediction and measurement lie apart; predicted less measured."""

    rows: int
    """Rows compared."""
    rms: float
    """Residual [Pa or N m]."""
    mean: float
    """Mean residual [Pa or N m]."""
    shift: float
    """By which the prediction comes late; nan where nothing can be said [deg]."""
    correlation: float
    """Of both curves once shifted [-]."""
    amplitude: float
    """Predicted over measured rms about the mean, shifted [-]."""


def lay_pressure(cylinder: CylinderAnswer, angle: Array, p: Array) -> Overlay:
    """Port pressure of one cylinder against its measurement.

    Parameters
    ----------
    cylinder : CylinderAnswer   [SI]
    angle : (n,) array   After the cylinder's own firing top dead centre, rising [deg]
    p : (n,) array   Absolute [Pa]
    Returns
    -------
    overlay : Overlay   [SI, deg]
    Source      cross-correlation over shifts of the predicted curve
    """
    gap = predicted(cylinder, angle) - p
    shift, r = np.nan, np.nan
    spans = 720.0 - float(np.max(np.diff([*angle, angle[0] + 720.0])))
    if spans >= COVERED and np.std(p) > 0.0:
        shifts = np.arange(-REACH, REACH + STEP, STEP)
        curves = np.stack([predicted(cylinder, angle + shift) for shift in shifts])
        match = [float(np.corrcoef(curve, p)[0, 1]) for curve in curves]
        best = int(np.argmax(match))
        shift, r = float(shifts[best]), match[best]
    moved = predicted(cylinder, angle + (shift if np.isfinite(shift) else 0.0))
    amplitude = float(np.std(moved) / np.std(p)) if np.std(p) > 0.0 else np.nan
    rms = float(np.sqrt(np.mean(gap**2)))
    return Overlay(len(p), rms, float(gap.mean()), shift, r, amplitude)


def predicted(cylinder: CylinderAnswer, angle: Array) -> Array:
    """Predicted port pressure at some angles.

    Parameters
    ----------
    cylinder : CylinderAnswer   [SI]
    angle : (n,) array   After its own firing top dead centre [deg]
    Returns
    -------
    p : (n,) array   Absolute [Pa]
    """
    degrees = np.arange(float(len(cylinder.p_port)))
    return np.asarray(np.interp(angle % 720.0, degrees, cylinder.p_port, period=720.0))


def lay_torque(summaries: Sequence[SpeedSummary], speed: Array, torque: Array) -> Overlay | None:
    """Torque against its measurement, at measured speeds between converged predicted ones.

    Parameters
    ----------
    summaries : sequence of SpeedSummary   Speeds rising [SI]
    speed : (n,) array   [rev/s]
    torque : (n,) array   [N m]
    Returns
    -------
    overlay : Overlay or None   None where no measured speed lies between predicted ones [SI]
    """
    good = [summary for summary in summaries if summary.answer.converged]
    if not good:
        return None
    known = np.array([summary.answer.speed for summary in good])
    inside = (speed >= known[0] * (1.0 - 1e-9)) & (speed <= known[-1] * (1.0 + 1e-9))
    if not inside.any():
        return None
    curve = np.interp(speed[inside], known, [summary.torque.brake for summary in good])
    gap = curve - torque[inside]
    spread = float(np.std(torque[inside]))
    amplitude = float(np.std(curve)) / spread if spread > 0.0 else np.nan
    rms = float(np.sqrt(np.mean(gap**2)))
    return Overlay(int(inside.sum()), rms, float(gap.mean()), np.nan, np.nan, amplitude)
