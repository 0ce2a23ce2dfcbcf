"""A sudden change of section, concentric."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator

from pulse1d.geometry.sections import Section
from pulse1d.losses.element import Element, Station
from pulse1d.losses.opening import Jets, jet_effects, jet_of, jet_step
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.surface import Surface, by_name
from pulse1d.losses.told import Told
from pulse1d.spec import Length

BAND = 0.20
"""Half width of ln K of a contraction: Rennels, Hooper, Miller, Idelchik spread by so much [-]."""


def K_expansion(share: float) -> float:
    """Loss of a sudden expansion, incompressible.

    K = (1 - share)^2

    Parameters
    ----------
    share : float   Smaller over larger area [-], 0 .. 1
    Returns
    -------
    K : float   Total-pressure loss over the velocity head before (smaller section) [-]
    Source      borda
    """
    return (1.0 - share) ** 2


def K_contraction(share: float, r_over_D: float = 0.0) -> float:
    """Loss of a sudden contraction.

    K = 0.0696 (1 - b^5) l^2 + (l - 1)^2,  l = 1 + 0.622 (1 - 0.215 b^2 - 0.785 b^5),
    b = sqrt(share); with a rounded edge both parts fall (see the source)

    Parameters
    ----------
    share : float   Smaller over larger area [-], 0 .. 1
    r_over_D : float   Edge radius over the smaller bore [-], held at 1 above
    Returns
    -------
    K : float   Total-pressure loss over the velocity head behind (smaller section) [-]
    Source      rennels2012, through the fluids library
    """
    from fluids.fittings import contraction_round, contraction_sharp

    beta = math.sqrt(min(share, 1.0))
    if r_over_D <= 0.0:
        return float(contraction_sharp(1.0, beta))
    return float(contraction_round(1.0, beta, min(r_over_D, 1.0) * beta))


def contraction_jets(share: float, r_over_D: float, A_2: float) -> Jets:
    """Jet areas of a sudden contraction, for its K and for both ends of its band.

    Parameters
    ----------
    share : float   Smaller over larger area [-]
    r_over_D : float   Edge radius over the smaller bore [-]
    A_2 : float   Smaller section, behind the edge [m^2]
    Returns
    -------
    jets : Jets   [m^2]
    Source      rennels2012
    """
    K = K_contraction(share, r_over_D)
    low, high = K * math.exp(-BAND), K * math.exp(BAND)
    return Jets(jet_of(K, A_2), jet_of(low, A_2), jet_of(high, A_2))


class SectionStep(PieceBase):
    """A sudden change to another section on the same axis."""

    told: ClassVar[Told] = Told(
        also=("sudden expansion", "sudden contraction", "section change", "expansion", "chamber"),
        example={"to": {"shape": "round", "bore": "45 mm"}},
        vary={"to/bore": ("30 mm", "34 mm", "36 mm", "40 mm", "45 mm", "60 mm")},
    )
    kind: Literal["step"] = "step"
    to: Section
    edge_radius: Length = 0.0
    """Of the edge that a contracting flow meets."""
    surface: Annotated[Surface, BeforeValidator(by_name)] | None = None
    """Wall from here on; None: as before."""

    def section_out(self, section: Section) -> Section:
        """The section stated by ``to`` [-]."""
        return self.to

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One JET row: the jet fills the small section when expanding, contracts otherwise [SI]."""
        before, behind = station.section, self.to
        small = min(before, behind, key=lambda section: section.area)
        share = small.area / max(before.area, behind.area)
        into = contraction_jets(share, self.edge_radius / small.D_eq, small.area)
        out = Jets(small.area, small.area, small.area)
        forward, reverse = (out, into) if small is before else (into, out)
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(jet_step(before, behind, forward.mean, reverse.mean),),
                k_ref="upstream" if small is before else "downstream",
                source="borda, rennels2012",
                effects=jet_effects("contraction K", forward, reverse),
            ),
        )
