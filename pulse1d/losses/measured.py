"""A loss that the engineer states: a coefficient measured elsewhere or taken from a handbook."""

from __future__ import annotations

from typing import ClassVar, Literal

from pulse1d.losses.element import Effect, Element, Station, k_effects
from pulse1d.losses.piece import NonNegativeRatio, PieceBase, loss_step
from pulse1d.losses.told import Told


class MeasuredLoss(PieceBase):
    """K on the velocity head of the section where the piece stands; friction apart.

    The piece changes no section, so ``at`` tells results which neighbour's head is meant and
    moves no number. d ln p0 = -(gamma M^2/2) dK at constant stagnation enthalpy, as for any K.
    """

    told: ClassVar[Told] = Told(
        also=("measured loss", "stated K", "K"),
        example={"K": "0.3"},
        vary={"K": ("0.1", "0.3", "1", "3")},
    )
    kind: Literal["loss"] = "loss"
    K: NonNegativeRatio
    reverse_K: NonNegativeRatio | None = None
    """For reversed flow; None: the same."""
    at: Literal["upstream", "downstream"] = "upstream"
    band: NonNegativeRatio = 0.10
    """5-95 % half width of ln K (judgement, where the source states none)."""

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One zero-length row with the stated K [SI]."""
        back = self.K if self.reverse_K is None else self.reverse_K
        effects: tuple[Effect, ...] = ()
        if self.band > 0.0:
            effects = k_effects(f"stated loss: {self.label}", 0, self.band)
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(loss_step(station.section, station, K0=self.K, K0_rev=back),),
                k_ref=self.at,
                source="case",
                effects=effects,
            ),
        )
