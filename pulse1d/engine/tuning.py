"""Tuned lengths as the trade estimates them, to stand beside what the waves do."""

from __future__ import annotations

import math
from dataclasses import dataclass

INCH = 0.0254


@dataclass(frozen=True)
class TunedLength:
    """One estimate of the length from valve to the first open junction."""

    rule: str
    length: float
    """[m]"""
    return_after: float
    """When its first echo is back, after the exhaust valve opens [deg]."""


def return_angle(length: float, speed: float, c: float) -> float:
    """When the echo of an open end is back at the valve.

    theta = 12 n L / c,  n in rev/min

    Parameters
    ----------
    length : float   [m]
    speed : float   [rev/s]
    c : float   Speed of sound [m/s]
    Returns
    -------
    theta : float   [deg]
    Source      acoustics: 360 n (2 L / c)
    """
    return 360.0 * speed * 2.0 * length / c


def quarter_wave(wanted: float, speed: float, c: float) -> float:
    """Length whose echo is back at a wanted angle.

    Parameters
    ----------
    wanted : float   After the exhaust valve opens [deg]
    speed, c : float   As in ``return_angle``
    Returns
    -------
    length : float   [m]
    Source      acoustics
    """
    return wanted * c / (720.0 * speed)


def rule_850(evo_before_bdc: float, speed: float) -> float:
    """Primary length by the rule of 850.

    L = 850 (180 + EVO)/n - 3 in

    Parameters
    ----------
    evo_before_bdc : float   [deg]
    speed : float   [rev/s]
    Returns
    -------
    length : float   [m]
    Source      common practice, no source; no derivation is known
    """
    return INCH * (850.0 * (180.0 + evo_before_bdc) / (60.0 * speed) - 3.0)


def tuned_lengths(evo_before_bdc: float, speed: float, c: float) -> tuple[TunedLength, ...]:
    """Estimates side by side.

    Parameters
    ----------
    evo_before_bdc : float   [rad]
    speed, c : float   As in ``return_angle``
    Returns
    -------
    lengths : tuple of TunedLength   [SI]
    """
    evo = math.degrees(evo_before_bdc)
    overlap = 180.0 + evo
    first = quarter_wave(overlap, speed, c)
    rule = rule_850(evo, speed)
    return (
        TunedLength("first echo at overlap centre", first, overlap),
        TunedLength("second echo at overlap centre", 0.5 * first, 0.5 * overlap),
        TunedLength("850 rule (common practice)", rule, return_angle(rule, speed, c)),
    )
