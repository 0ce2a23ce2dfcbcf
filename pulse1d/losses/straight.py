"""A straight length: wall friction alone."""

from __future__ import annotations

from typing import ClassVar, Literal

from pulse1d.losses.element import Element, Station, duct, wall_effects
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.told import Told
from pulse1d.spec import PositiveLength


class Straight(PieceBase):
    """A straight length of constant section."""

    told: ClassVar[Told] = Told(
        also=("pipe", "tube", "length of pipe", "stub"),
        example={"length": "300 mm"},
        vary={"length": ("50 mm", "100 mm", "200 mm", "300 mm", "600 mm")},
        laws=("friction.f_churchill", "friction.f_developing"),
    )
    kind: Literal["straight"] = "straight"
    length: PositiveLength

    def path_length(self) -> float:
        """Length along the axis [m]."""
        return float(self.length)

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One DUCT row: friction over the length [SI]."""
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(duct(station, self.path_length()),),
                k_ref="upstream",
                source="churchill1977, zhiqing1982",
                effects=wall_effects(station),
            ),
        )
