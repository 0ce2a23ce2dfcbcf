"""The head's own restriction in a path: its exhaust valve held open by a lift."""

from __future__ import annotations

from typing import ClassVar, Literal

from pulse1d.losses.element import Element, Station
from pulse1d.losses.head import HeadFlow
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.restriction import nozzle_element
from pulse1d.losses.told import Told
from pulse1d.spec import Length


class ValveSeat(HeadFlow, PieceBase):
    """A head's flow by lift, put into the path at one lift."""

    told: ClassVar[Told] = Told(
        also=("valve", "exhaust valve", "poppet valve", "head"),
        example={"valve": {"head diameter": "33 mm"}, "lift": "8 mm"},
        vary={"lift": ("2 mm", "4 mm", "6 mm", "8 mm", "10 mm")},
        laws=("valve_flow.Cd_valve", "valve_area.A_curtain", "restriction.mdot_nozzle"),
    )
    kind: Literal["valve seat"] = "valve seat"
    lift: Length | None = None
    """Where the valve stands; None: the bench says."""

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One NOZZLE row at the piece's lift [SI]."""
        lift = self.lift
        if lift is None or lift <= 0.0:
            raise ValueError(f"{self.label}: no valve lift is stated; give lift, above 0")
        areas = self.effective_areas(lift)
        widths = (self.half_width, self.half_width)
        return (nozzle_element(self, station, areas, widths, self.source),)
