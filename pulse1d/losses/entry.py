"""The bench entry: how the gas gets into the port, by the radius of its edge."""

from __future__ import annotations

from typing import ClassVar, Literal, Self

from pydantic import model_validator

from pulse1d.losses.element import Effect, Element, Station, k_effects
from pulse1d.losses.piece import PieceBase, loss_step
from pulse1d.losses.table import curve, within
from pulse1d.losses.told import Told
from pulse1d.spec import Length

TABLE = "flowbench_entry-radius"

BAND = 0.10
"""Half width of ln K of a flanged entry, as the table states it [-]."""

BAND_FREE = 0.30
"""The same for an entry without a flange (judgement) [-]."""

K_BORDA = 1.0
"""Thin free tube end: Cc = 1/2 by momentum, K = (1/Cc - 1)^2 [-]."""


def K_entry(r_over_D: float) -> float:
    """Loss of an entry flush with a wall, by its edge radius.

    Monotone cubic between the table's points; held at 0.03 above r/D 0.20.

    Parameters
    ----------
    r_over_D : float   Edge radius over hydraulic diameter [-], 0 .. 0.2
    Returns
    -------
    K : float   Total-pressure loss over the velocity head behind [-]
    Limits      +-10 %; friction of the passage is not in it.
    Source      entry_table (data/flowbench_entry-radius.csv)
    """
    return float(curve(TABLE, "r_over_D", "K")(within(TABLE, "r_over_D", r_over_D)))


def K_entry_free(wall_over_D: float, r_over_D: float = 0.0) -> float:
    """Loss of an entry into a free tube end without a flange, by its wall thickness.

    K = min(1, 1.12 - 22 t + 216 t^2 + 80 t^3), t = min(wall/D, 0.05); a radiused edge scales it as
    it scales a flanged entry, K_entry(r/D) / K_entry(0)

    Parameters
    ----------
    wall_over_D : float   Wall thickness over bore [-]
    r_over_D : float   Edge radius over hydraulic diameter [-]
    Returns
    -------
    K : float   Total-pressure loss over the velocity head behind, 1 for a thin wall [-]
    Limits      +-30 % (judgement); sharp edge.
    Source      rennels2012, through the fluids library; 1 is Borda's mouthpiece (borda)
    """
    from fluids.fittings import entrance_distance

    sharp = min(K_BORDA, float(entrance_distance(1.0, t=max(wall_over_D, 0.0), method="Rennels")))
    return sharp * K_entry(r_over_D) / K_entry(0.0)


class Mouth(PieceBase):
    """An open end as gas meets it from outside."""

    edge_radius: Length = 0.0
    flanged: bool = True
    """The mouth lies flush in a plate; false: a free tube end."""
    wall: Length = 0.0
    """Wall thickness of a free tube end; 0: a thin edge."""
    ideal: bool = False
    """A bell mouth without any loss, for comparison with closed forms."""

    @model_validator(mode="after")
    def _one_story(self) -> Self:
        if self.ideal and (self.edge_radius > 0.0 or self.wall > 0.0):
            raise ValueError("an ideal mouth has no edge radius and no wall to state; drop them")
        if self.flanged and self.wall > 0.0:
            raise ValueError("a wall counts on a free tube end only; say flanged: false")
        return self

    def inflow(self, station: Station) -> tuple[float, float, str]:
        """K of flow into the mouth [-], its ln band [-] and its sources; held above r/D 0.20.

        Parameters
        ----------
        station : Station   The section behind the mouth [-]
        Returns
        -------
        K, half_width, source : tuple   As ``Element`` takes them [-]
        Source      entry_table, rennels2012
        """
        if self.ideal:
            return 0.0, 0.0, "exact"
        r_over_D = self.edge_radius / station.section.D_h
        if self.flanged:
            return K_entry(r_over_D), BAND, "entry_table"
        K = K_entry_free(self.wall / station.section.D_h, r_over_D)
        source = "rennels2012, borda" + (", entry_table" if r_over_D > 0.0 else "")
        return K, BAND_FREE, source


class Entry(Mouth):
    """Where the gas enters the port on the bench."""

    told: ClassVar[Told] = Told(
        also=("adapter", "inlet", "mouth", "bell mouth", "radiused entry"),
        example={"edge radius": "6 mm"},
        vary={"edge radius": ("0 mm", "1 mm", "2 mm", "4 mm", "6 mm", "8 mm")},
    )
    kind: Literal["entry"] = "entry"

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One zero-length row at the section behind; reversed flow leaves without further loss.

        The velocity head that a reversed flow carries out is lost by the end of the path itself,
        in both solvers, so it is not counted here [SI].
        """
        K, half_width, source = self.inflow(station)
        effects: tuple[Effect, ...] = ()
        if K > 0.0:
            effects = k_effects("entry K", 0, half_width)
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(loss_step(station.section, station, K0=K),),
                k_ref="downstream",
                source=source,
                effects=effects,
            ),
        )
