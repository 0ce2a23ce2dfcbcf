"""What one reads off a pressure trace: when the front arrives, its peak and its trough."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FRONT = 0.10
"""Share of its first peak at which a front counts as arrived (common practice, no source)."""
TURN = 0.05
"""Share of its own height by which a trace must fall back before that height is its first peak, so
that a ripple on the way up is none (judgement)."""
HEARD = 0.02
"""Share of the trace's largest swing below which nothing counts as a front (judgement)."""


@dataclass(frozen=True)
class Reading:
    """One station's figures, pressures gauge; nan where the record shows none."""

    station: str
    distance: float
    """From the port along the way [m]."""
    arrival: float
    """When the first wave passes ``FRONT`` of its own peak [s]."""
    first_peak: float
    """Of the first wave; below 0 where that is one of suction [Pa]."""
    peak: float
    peak_time: float
    trough: float
    trough_time: float


def read_trace(station: str, distance: float, t: Array, gauge: Array) -> Reading:
    """Figures of one trace.

    Parameters
    ----------
    station : str   [-]
    distance : float   From the port [m]
    t, gauge : (n,) arrays   Time, pressure above the room's [s, Pa]
    Returns
    -------
    reading : Reading   [SI]
    """
    if not len(t) or not np.any(gauge != 0.0):
        return Reading(station, distance, *(math.nan,) * 6)
    high, low = int(np.argmax(gauge)), int(np.argmin(gauge))
    arrival, first = front(t, gauge)
    return Reading(
        station, distance, arrival, first,
        float(gauge[high]), float(t[high]), float(gauge[low]), float(t[low]),
    )  # fmt: skip


def front(t: Array, gauge: Array) -> tuple[float, float]:
    """When the first wave arrives, and its peak.

    Parameters
    ----------
    t, gauge : (n,) arrays   Time, pressure above the room's [s, Pa]
    Returns
    -------
    arrival, peak : float   Interpolated between two samples; the peak so far, where the record
        ends before it turns [s, Pa]
    """
    size = np.abs(gauge)
    heard = int(np.argmax(size > HEARD * size.max()))
    sign = 1.0 if gauge[heard] > 0.0 else -1.0
    climb = np.maximum.accumulate(sign * gauge)
    turned = np.flatnonzero(sign * gauge[heard:] < (1.0 - TURN) * climb[heard:])
    peak = float(climb[heard + turned[0]] if len(turned) else climb[-1])
    level = FRONT * peak
    after = int(np.argmax(sign * gauge >= level))
    if after == 0:
        return float(t[0]), sign * peak
    a, b = sign * gauge[after - 1], sign * gauge[after]
    return float(t[after - 1] + (level - a) / (b - a) * (t[after] - t[after - 1])), sign * peak
