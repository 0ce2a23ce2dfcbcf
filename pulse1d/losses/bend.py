"""A round bend: the loss of turning, on top of the wall friction along its arc."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pulse1d.losses.bend_law import K_bend, bend_band, bend_terms
from pulse1d.losses.bend_tables import outlet_factor, section_factor
from pulse1d.losses.element import (
    Z_90,
    Effect,
    Element,
    Limit,
    Station,
    duct,
    k_effects,
    wall_effects,
)
from pulse1d.losses.neighbours import C_pair, interaction, interaction_bands
from pulse1d.losses.piece import PieceBase, TurningAngle
from pulse1d.losses.told import Told
from pulse1d.spec import Angle, PositiveLength, PositiveRatio

__all__ = [
    "LIMITS",
    "MACH_FACTOR",
    "Bend",
    "C_pair",
    "K_bend",
    "bend_band",
    "bend_terms",
    "interaction",
    "interaction_bands",
    "surroundings_effects",
]

MACH_FACTOR = 0.6
"""K grows by 1 + 0.6 M^2: +15 % at M 0.5 (judgement; haidar1995 found +10 to +20 %) [-]."""

MACH_BAND = 0.4
"""Half width of MACH_FACTOR, so that +5 to +25 % at M 0.5 is covered (judgement) [-]."""

LIMITS = (
    Limit("Re", 1e4, 1e8, "bend loss fitted in turbulent flow"),
    Limit("M", 0.0, 0.57, "bends choked at upstream M 0.57 in Haidar's tests"),
)


class Bend(PieceBase):
    """A round bend of constant section, by its angle and centre-line radius."""

    told: ClassVar[Told] = Told(
        also=("elbow", "curve", "u bend", "primary bend"),
        example={"angle": "90 deg", "radius": "57 mm"},
        vary={
            "angle": ("15 deg", "30 deg", "45 deg", "60 deg", "90 deg", "120 deg", "180 deg"),
            "radius": ("38 mm", "57 mm", "76 mm", "114 mm"),
        },
        laws=("bend_tables.outlet_factor", "bend_tables.section_factor"),
    )
    kind: Literal["bend"] = "bend"
    angle: TurningAngle
    radius: PositiveLength
    """Of the centre line."""
    rotation: Angle = 0.0
    """Of this bend's plane from the previous bend's, as on a bending sheet."""
    plane: Literal["width", "height"] = "width"
    """Which side of the section lies in the bend's plane; a round section has no choice."""
    K_factor: PositiveRatio = 1.0
    """The engineer's own multiplier on the turning loss."""

    def path_length(self) -> float:
        """Arc length of the centre line [m]."""
        return float(self.radius * self.angle)

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One DUCT row: friction along the arc and the turning loss spread over it [SI]."""
        width, height = station.section.extent
        side, across = (width, height) if self.plane == "width" else (height, width)
        r_over_D = self.radius / side
        if r_over_D < 0.5 * (1.0 - 1e-9):  # slack for unit conversion
            raise ValueError(
                f"{self.label}: a bend of {1e3 * self.radius:.4g} mm centre-line radius is tighter "
                f"than its own radius allows: with {1e3 * side:.4g} mm of bore in its plane the "
                "inner wall crosses its own centre of bending; give a radius of at least half "
                "the bore, or use a mitre"
            )
        common = station.C_pair * self.K_factor * section_factor(r_over_D, across / side)
        ahead = 1.0
        if station.L_after is not None:
            ahead = outlet_factor(self.angle, r_over_D, station.L_after / station.section.D_h)
        K0, Kf = bend_terms(self.angle, r_over_D)
        step = duct(
            station,
            self.path_length(),
            K0=K0 * common * ahead,
            Kf=Kf * common * ahead,
            K0_rev=K0 * common,
            Kf_rev=Kf * common,
            mach=MACH_FACTOR,
        )
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(step,),
                k_ref="upstream",
                source="rennels2012, haidar1995"
                + (", miller1990" if ahead != 1.0 else "")
                + (", idelchik1986" if side != across else ""),
                effects=(
                    *k_effects("bend K", 0, bend_band(self.angle, r_over_D)),
                    *surroundings_effects(station, ahead),
                    *wall_effects(station),
                ),
                notes=self._notes(r_over_D, across / side),
                limits=LIMITS,
            ),
        )

    def _notes(self, r_over_D: float, aspect: float) -> tuple[str, ...]:
        notes = []
        if self.angle < math.radians(15.0):
            notes.append(
                "below 15 deg the bend law overstates; join consecutive bends of one plane"
            )
        if r_over_D > 10.0:
            notes.append(f"r/D {r_over_D:.1f} is beyond 10, where bend losses were compared")
        if not 0.25 <= aspect <= 8.0:
            notes.append(f"aspect {aspect:.2f} is beyond the bend table (0.25 to 8); held there")
        if self.K_factor != 1.0:
            notes.append(f"turning loss multiplied by {self.K_factor:g}, as the case states")
        return tuple(notes)


def surroundings_effects(station: Station, ahead: float) -> tuple[Effect, ...]:
    """Bands of the Mach factor, of neighbouring bends and of the length behind the bend.

    Parameters
    ----------
    station : Station   Surroundings of the bend [-]
    ahead : float   Factor for the straight length behind it [-]
    Returns
    -------
    effects : tuple   For step 0; the length behind acts on forward flow only [-]
    Source      judgement: half of ln C_o is doubtful, and the stated band of C_pair
    """
    effects = [Effect("bend Mach factor", 0, "mach", "add", MACH_BAND / Z_90)]
    if station.C_pair_band > 0.0:
        effects += k_effects("bend interaction", 0, station.C_pair_band)
    if ahead != 1.0:
        size = 0.5 * math.log(ahead) / Z_90
        effects += [Effect("bend outlet length", 0, key, "ln", size) for key in ("K0", "Kf")]
    return tuple(effects)
