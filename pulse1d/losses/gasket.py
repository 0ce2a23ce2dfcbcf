"""A gasket whose opening stands proud of the passage."""

from __future__ import annotations

from typing import Any, ClassVar, Literal, Self

from pydantic import model_validator

from pulse1d.geometry.outlines import overlap
from pulse1d.geometry.sections import Section
from pulse1d.losses.element import Element, Station, duct, wall_effects
from pulse1d.losses.opening import inset_area, jet_effects, jet_step, jets_through
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.told import Told
from pulse1d.spec import Length, PositiveLength, Spec


class GasketRing(Spec):
    """The opening of a gasket: its own section, or how far it protrudes evenly; and thickness."""

    opening: Section | None = None
    protrusion: Length = 0.0
    """Even inward overhang over the runner's own opening."""
    thickness: PositiveLength

    @model_validator(mode="after")
    def _one_opening(self) -> Self:
        if self.opening is not None and self.protrusion > 0.0:
            raise ValueError("a gasket has an opening or a protrusion, not both; drop one")
        return self

    def outline(self, runner: Section) -> Any:
        """Outline of the opening as a shapely polygon about the runner's datum; None: flush."""
        if self.opening is not None:
            return self.opening.outline(360)
        if self.protrusion > 0.0:
            return runner.outline(360).buffer(-self.protrusion)
        return None


class Gasket(GasketRing, PieceBase):
    """A gasket between two lengths of one section, concentric."""

    told: ClassVar[Told] = Told(
        also=("gasket lip", "gasket ring", "ring"),
        example={"protrusion": "1 mm", "thickness": "1.5 mm"},
        vary={"protrusion": ("0 mm", "0.5 mm", "1 mm", "1.5 mm", "2 mm")},
        laws=("opening.K_opening_bounds", "opening.thickness_factor"),
    )
    kind: Literal["gasket"] = "gasket"
    lip_radius: Length = 0.0

    def path_length(self) -> float:
        """Thickness of the gasket [m]."""
        return float(self.thickness)

    def elements(self, station: Station) -> tuple[Element, ...]:
        """A JET row for the opening and a DUCT row for the thickness [SI]."""
        section = station.section
        A_0 = section.area
        notes: tuple[str, ...] = ()
        if self.opening is not None:
            A_0 = overlap(section, self.opening).area
            if self.opening.area > section.area:
                notes = ("a gasket wider than the passage leaves a groove; its loss is neglected",)
        elif self.protrusion > 0.0:
            A_0 = inset_area(section, self.protrusion)
        D_0 = section.D_eq * (A_0 / section.area) ** 0.5
        jets = jets_through(
            A_0, section.area, section.area, self.lip_radius / D_0, self.thickness / D_0
        )
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(
                    jet_step(section, section, jets.mean, jets.mean),
                    duct(station, self.path_length()),
                ),
                k_ref="downstream",
                source="weisbach1855, idelchik1986, borda",
                effects=(*jet_effects("gasket contraction", jets, jets), *wall_effects(station, 1)),
                notes=notes,
            ),
        )
