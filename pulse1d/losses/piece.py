"""What all pieces of a path have in common."""

from __future__ import annotations

import math
from abc import abstractmethod
from typing import Annotated

from pydantic import Field

from pulse1d.geometry.sections import Section
from pulse1d.losses.element import Element, Law, Station, Step
from pulse1d.spec import Angle, Ratio, Spec

TurningAngle = Annotated[Angle, Field(gt=0.0, le=math.pi)]
"""Angle through which a stream turns, 0 .. 180 deg."""
NonNegativeRatio = Annotated[Ratio, Field(ge=0.0)]


class PieceBase(Spec):
    """A piece of a path; a shape of loss adds its kind, its numbers and its elements.

    Most pieces keep the section and have no length along the axis; the others say so.
    """

    name: str | None = None
    """What results and study paths call it; None: its kind."""

    @property
    def label(self) -> str:
        """Name to print: the piece's own, or its kind [-]."""
        return self.name or str(self.kind)  # type: ignore[attr-defined]

    def section_out(self, section: Section) -> Section:
        """Section behind the piece, given the one before it [-]."""
        return section

    def path_length(self) -> float:
        """Length along the axis [m]."""
        return 0.0

    @abstractmethod
    def elements(self, station: Station) -> tuple[Element, ...]:
        """Rows for the solvers [SI]."""


def loss_step(section: Section, station: Station, **numbers: float) -> Step:
    """A zero-length row at one section, for a coefficient on that section's velocity head.

    Parameters
    ----------
    section : Section   Where the coefficient refers to [-]
    station : Station   For the wall, whose friction factor a coefficient may need [-]
    numbers : float   Further fields of ``Step``, such as K0 and K0_rev [SI]
    Returns
    -------
    step : Step   The row [SI]
    Source      none
    """
    return Step(
        law=Law.DUCT,
        A_1=section.area,
        A_2=section.area,
        D_1=section.D_h,
        D_2=section.D_h,
        eps=station.eps,
        f_factor=section.friction_shape,
        f_fixed=station.f_fixed,
        **numbers,
    )
