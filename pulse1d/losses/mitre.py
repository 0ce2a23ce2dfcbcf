"""A mitre bend: two straight cuts welded at an angle."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

import numpy as np

from pulse1d.losses.bend import LIMITS, MACH_FACTOR, surroundings_effects
from pulse1d.losses.bend_tables import outlet_factor
from pulse1d.losses.element import Element, Station, k_effects
from pulse1d.losses.piece import PieceBase, TurningAngle, loss_step
from pulse1d.losses.table import columns
from pulse1d.losses.told import Told
from pulse1d.spec import Angle, PositiveRatio

BAND_ANGLES = (0.0, 22.5, 45.0, 90.0, 120.0, 180.0)
BAND = (0.35, 0.35, 0.15, 0.15, 0.25, 0.25)
"""Half width of ln K against the angle [deg]: spread of Rennels, Miller, Crane, Blevins [-]."""


def K_mitre(angle: float) -> float:
    """Loss coefficient of a single mitre.

    K = 0.42 s + 2.56 s^3,  s = sin(angle/2)

    Parameters
    ----------
    angle : float   Turning angle [rad], 0 .. 150 deg
    Returns
    -------
    K : float   Total-pressure loss over velocity head [-]
    Limits      turbulent flow; +-15 % at 45 to 90 deg, +-25 % at 120, +-35 % up to 22.5 deg.
    Source      rennels2012
    """
    s = math.sin(0.5 * angle)
    return 0.42 * s + 2.56 * s**3


def K_mitre_idelchik(angle: float) -> float:
    """Loss coefficient of a sharp elbow after Idelchik, for comparison.

    K = A(angle) (0.95 s^2 + 2.05 s^4),  s = sin(angle/2)

    Parameters
    ----------
    angle : float   Turning angle [rad], 20 .. 180 deg; A is held below 20 deg
    Returns
    -------
    K : float   Total-pressure loss over velocity head [-]
    Source      idelchik1986 diagram 6-5 (data/idelchik1986_diagram6-5_A.csv)
    """
    table = columns("idelchik1986_diagram6-5_A")
    s2 = math.sin(0.5 * angle) ** 2
    A = float(np.interp(math.degrees(angle), table["angle"], table["A"]))
    return A * (0.95 * s2 + 2.05 * s2 * s2)


class Mitre(PieceBase):
    """A single mitre of constant section; all its length belongs to the straights beside it."""

    told: ClassVar[Told] = Told(
        also=("mitre bend", "miter", "pie cut", "cut and welded bend"),
        example={"angle": "45 deg"},
        vary={"angle": ("11.25 deg", "22.5 deg", "30 deg", "45 deg", "60 deg", "90 deg")},
        laws=("neighbours.C_pair_mitres", "bend_tables.outlet_factor"),
    )
    kind: Literal["mitre"] = "mitre"
    angle: TurningAngle
    rotation: Angle = 0.0
    """Of this bend's plane from the previous bend's, as on a bending sheet."""
    K_factor: PositiveRatio = 1.0
    """The engineer's own multiplier on the loss."""

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One zero-length row with the mitre's K [SI]."""
        ahead = 1.0
        if station.L_after is not None:
            ahead = outlet_factor(self.angle, 0.5, station.L_after / station.section.D_h)
        K = K_mitre(self.angle) * self.K_factor * station.C_pair
        half_width = float(np.interp(math.degrees(self.angle), BAND_ANGLES, BAND))
        notes = []
        if self.angle > math.radians(150.0):
            notes.append("mitre loss fitted to 150 deg")
        if self.K_factor != 1.0:
            notes.append(f"mitre loss multiplied by {self.K_factor:g}, as the case states")
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(
                    loss_step(station.section, station, K0=K * ahead, K0_rev=K, mach=MACH_FACTOR),
                ),
                k_ref="upstream",
                source="rennels2012, haidar1995" + (", miller1990" if ahead != 1.0 else ""),
                effects=(
                    *k_effects("mitre K", 0, half_width),
                    *surroundings_effects(station, ahead),
                ),
                notes=tuple(notes),
                limits=LIMITS,
            ),
        )
