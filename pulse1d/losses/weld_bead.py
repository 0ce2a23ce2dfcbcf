"""A weld bead inside a tube: a low ridge, all round or in part."""

from __future__ import annotations

from typing import ClassVar, Literal

from pulse1d.losses.element import Z_90, Effect, Element, Station
from pulse1d.losses.opening import K_opening_bounds, inset_area, jet_step, jets_through
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.told import Told
from pulse1d.spec import Fraction, PositiveLength


def K_bead(h_over_D: float, share: float = 1.0) -> float:
    """Loss of a weld bead in a round tube; beads are rounded, so the low bound is taken.

    K = (1/(s Cc(s)) - 1)^2,  s = 1 - share [1 - (1 - 2 h/D)^2],  Cc after Weisbach

    Parameters
    ----------
    h_over_D : float   Bead height over bore [-], below 0.2
    share : float   Share of the circumference that has the bead [-], 0 .. 1
    Returns
    -------
    K : float   Total-pressure loss over the tube's velocity head [-]
    Source      weisbach1855
    """
    open_share = 1.0 - share * (1.0 - (1.0 - 2.0 * h_over_D) ** 2)
    return K_opening_bounds(open_share, 1.0, 1.0)[0]


class WeldBead(PieceBase):
    """A bead that stands into the passage by its height."""

    told: ClassVar[Told] = Told(
        also=("weld", "bead", "weld root", "drop-through", "penetration"),
        example={"height": "0.5 mm"},
        vary={"height": ("0.25 mm", "0.5 mm", "1 mm", "1.5 mm", "2 mm")},
    )
    kind: Literal["weld bead"] = "weld bead"
    height: PositiveLength
    share: Fraction = 1.0
    """Of the circumference."""

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One JET row: Weisbach's contraction, up to half way to a sharp orifice [SI]."""
        section = station.section
        A_0 = section.area - self.share * (section.area - inset_area(section, self.height))
        jets = jets_through(A_0, section.area, section.area)
        size = 0.5 * (jets.high_loss - jets.low_loss) / Z_90
        notes: tuple[str, ...] = ()
        if 0.8 * section.area > A_0:
            notes = (f"the bead closes {1 - A_0 / section.area:.0%} of the section",)
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(jet_step(section, section, jets.low_loss, jets.low_loss),),
                k_ref="downstream",
                source="weisbach1855, idelchik1986, borda",
                effects=tuple(
                    Effect("weld bead shape", 0, column, "add", size)
                    for column in ("jet", "jet_rev")
                ),
                notes=notes,
            ),
        )
