"""The open outlet: what a stream loses by leaving, and what it costs to enter backwards."""

from __future__ import annotations

from typing import ClassVar, Literal

from pulse1d.losses.element import Effect, Element, Station, k_effects
from pulse1d.losses.entry import Mouth
from pulse1d.losses.piece import loss_step
from pulse1d.losses.told import Told

K_EXIT = 1.0
"""Velocity heads lost by a stream that leaves into still gas: all of its own [-]."""


class Outlet(Mouth):
    """Where the gas leaves; its edge matters to reversed flow only.

    A leaving stream loses its whole velocity head (K_EXIT). The end of the path takes it in both
    solvers, by holding the static pressure there, so the row of an outlet has no K of its own. A
    real profile carries 4 to 10 % more kinetic energy than its mean velocity says; that excess was
    paid for upstream as the profile developed, and is not added here.
    """

    told: ClassVar[Told] = Told(
        also=("tail", "open end", "tube end"),
        example={"edge radius": "2 mm"},
        vary={"edge radius": ("0 mm", "1 mm", "2 mm", "4 mm")},
        laws=("entry.K_entry", "entry.K_entry_free"),
    )
    kind: Literal["outlet"] = "outlet"
    flanged: bool = False

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One zero-length row: no K forward, the entry loss of the mouth in reversed flow [SI]."""
        K, half_width, source = self.inflow(station)
        effects: tuple[Effect, ...] = ()
        if K > 0.0:
            effects = k_effects("outlet inflow K", 0, half_width)
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(loss_step(station.section, station, K0_rev=K),),
                k_ref="upstream",
                source=source,
                effects=effects,
            ),
        )
