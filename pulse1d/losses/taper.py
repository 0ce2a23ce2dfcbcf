"""A taper: a cone or a loft between two sections, with or against the flow."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pydantic import Field

from pulse1d.geometry.outlines import overlap
from pulse1d.geometry.sections import Section
from pulse1d.losses.element import (
    K_COLUMNS,
    Z_90,
    Effect,
    Element,
    Station,
    Step,
    duct,
    k_effects,
    wall_effects,
)
from pulse1d.losses.opening import Cc_weisbach, K_opening
from pulse1d.losses.piece import PieceBase, loss_step
from pulse1d.losses.told import Told
from pulse1d.spec import PositiveLength

BAND = 0.30
"""Half width of ln K: Rennels, Crane, Idelchik and Miller spread by so much [-]."""

PROFILE_BAND = 0.04
"""Half width, times (1 - share), added to a diffuser's K: what the inlet profile may do to a long
one, whose own K is small (judgement, from the spread of the same four) [-]."""

K_SHAPE = 0.035
"""Loss of a long change of shape at equal area: 0.02 to 0.05, from memory [-]."""

SHAPE_BAND = 0.015
"""Half width of K_SHAPE, added [-]."""


def full_angle(A_1: float, A_2: float, length: float) -> float:
    """Full angle of the cone between two areas.

    angle = 2 atan(|D_2 - D_1| / (2 L)),  D = sqrt(4 A/pi)

    Parameters
    ----------
    A_1, A_2 : float   Areas of the ends [m^2]
    length : float   Length along the axis [m]
    Returns
    -------
    angle : float   0 .. pi [rad]
    Source      plane geometry, no source
    """
    D_1, D_2 = math.sqrt(4.0 * A_1 / math.pi), math.sqrt(4.0 * A_2 / math.pi)
    return 2.0 * math.atan2(abs(D_2 - D_1), 2.0 * length)


def K_diffuser(share: float, angle: float) -> float:
    """Loss of a conical diffuser, without the wall friction of the cone.

    K = phi(angle, share) (1 - share)^2;  up to 20 deg phi = 8.30 tan(angle/2)^1.75, beyond it
    passes through 1.2 at 60 deg to 1 at 180 deg (see the source)

    Rennels is used because it prints friction as a term of its own, which is left to the taper's
    own length here; Idelchik's table holds its friction term and is held constant above an area
    ratio of 0.6, where most tapers of a runner are.

    Parameters
    ----------
    share : float   Smaller over larger area [-], 0 .. 1
    angle : float   Full cone angle [rad], 0 .. pi
    Returns
    -------
    K : float   Total-pressure loss over the velocity head before (smaller section) [-]
    Limits      +-30 % and +-0.04 (1 - share); the inlet profile moves the stall angle. Below a
        share of 0.25 the source's branches meet with a dip of up to 0.8 % from 20 to 20.3 deg.
    Source      rennels2012, through the fluids library
    """
    from fluids.fittings import diffuser_conical

    beta = math.sqrt(min(share, 1.0))
    if angle <= 0.0 or beta >= 1.0:
        return 0.0
    return float(diffuser_conical(beta, 1.0, angle=math.degrees(angle), fd=0.0))


def K_nozzle(share: float, angle: float) -> float:
    """Loss of a conical contraction, without the wall friction of the cone.

    K = 0.0696 sin(angle/2) (1 - b^5) l^2 + (l - 1)^2,
    l = 1 + 0.622 (angle/pi)^0.8 (1 - 0.215 b^2 - 0.785 b^5),  b = sqrt(share)

    Parameters
    ----------
    share : float   Smaller over larger area [-], 0 .. 1
    angle : float   Full cone angle [rad], 0 .. pi
    Returns
    -------
    K : float   Total-pressure loss over the velocity head behind (smaller section) [-]
    Limits      +-30 %.
    Source      rennels2012, through the fluids library
    """
    from fluids.fittings import contraction_conical

    beta = math.sqrt(min(share, 1.0))
    if angle <= 0.0 or beta >= 1.0:
        return 0.0
    return float(contraction_conical(1.0, beta, angle=math.degrees(angle), fd=0.0))


def K_shape(before: Section, behind: Section, length: float) -> float:
    """Loss of a change of shape: what the outlines do not share, apart from the change of area.

    Abrupt (up to half a bore long) it is the jet through the common area, (A_s/(A_0 Cc) - 1)^2 on
    the smaller area A_s; from one bore on at most K_SHAPE, linear between.

    Parameters
    ----------
    before, behind : Section   The two ends, on one axis [-]
    length : float   Length along the axis [m]
    Returns
    -------
    K : float   Total-pressure loss over the velocity head of the smaller end; 0 for equal
        shapes [-]
    Source      judgement after handbook remarks on round-to-square pieces, from memory
    """
    A = min(before.area, behind.area)
    A_0 = overlap(before, behind).area
    if A_0 >= A * (1.0 - 1e-5):  # the accuracy that overlap states
        return 0.0
    abrupt = K_opening(A_0, A, A, Cc_weisbach(A_0 / A))
    long = min(K_SHAPE, abrupt)
    share = min(max(2.0 * length / math.sqrt(4.0 * A / math.pi) - 1.0, 0.0), 1.0)
    return abrupt + (long - abrupt) * share


class Taper(PieceBase):
    """A straight cone, or a loft between two shapes, on one axis."""

    told: ClassVar[Told] = Told(
        also=(
            "cone",
            "reducer",
            "diffuser",
            "nozzle",
            "loft",
            "megaphone",
            "transition",
            "blend",
            "shape change",
        ),
        example={"length": "60 mm", "to": {"shape": "round", "bore": "45 mm"}},
        vary={
            "length": ("15 mm", "30 mm", "60 mm", "120 mm"),
            "to/bore": ("32 mm", "35 mm", "41 mm", "45 mm", "50 mm"),
        },
    )
    kind: Literal["taper"] = "taper"
    length: PositiveLength
    to: Section
    from_: Section | None = Field(default=None, alias="from")
    """Section it starts with, to be held against the one before it; None: that one."""

    def section_out(self, section: Section) -> Section:
        """The section stated by ``to`` [-]."""
        return self.to

    def path_length(self) -> float:
        """Length along the axis [m]."""
        return float(self.length)

    def elements(self, station: Station) -> tuple[Element, ...]:
        """A zero-length row with K at the small end, and a DUCT row with the friction [SI]."""
        before, behind = station.section, self.to
        if self.from_ is not None and abs(self.from_.area / before.area - 1.0) > 1e-3:
            raise ValueError(
                f"{self.label}: starts from {self.from_.describe()}, but the piece before it ends "
                f"with {before.describe()}; put a step between them, or correct one"
            )
        opens = behind.area >= before.area
        small, large = (before, behind) if opens else (behind, before)
        share, angle = small.area / large.area, full_angle(small.area, large.area, self.length)
        diffuser, nozzle = K_diffuser(share, angle), K_nozzle(share, angle)
        shape = K_shape(before, behind, self.length)
        forward, reverse = (diffuser, nozzle) if opens else (nozzle, diffuser)
        loss = loss_step(small, station, K0=forward + shape, K0_rev=reverse + shape)
        cone = duct(station, self.path_length(), behind)
        steps: tuple[Step, ...] = (loss, cone) if opens else (cone, loss)
        at, wall = (0, 1) if opens else (1, 0)
        effects = (*k_effects("taper K", at, BAND), *wall_effects(station, wall))
        if share < 1.0:
            column, size = "K0" if opens else "K0_rev", PROFILE_BAND * (1.0 - share) / Z_90
            effects += (Effect("diffuser inlet profile", at, column, "add", size),)
        if shape > 0.0:
            size = shape * SHAPE_BAND / K_SHAPE / Z_90
            effects += tuple(
                Effect("shape change", at, column, "add", size)
                for column in K_COLUMNS
                if column.startswith("K0")
            )
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=steps,
                k_ref="upstream" if opens else "downstream",
                source="rennels2012" + (", judgement" if shape > 0.0 else ""),
                effects=effects,
                notes=self._notes(opens, angle),
            ),
        )

    def _notes(self, opens: bool, angle: float) -> tuple[str, ...]:
        if opens and angle > math.radians(20.0):
            return (
                f"a diffuser of {math.degrees(angle):.0f} deg full angle stalls; "
                "its loss is that of separated flow",
            )
        return ()
