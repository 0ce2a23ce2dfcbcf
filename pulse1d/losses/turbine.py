"""A turbine in the exhaust: a nozzle, or one line of a map, with the work that it takes out."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from pulse1d.losses.element import Element, Law, Station, Step
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.restriction import nozzle_element
from pulse1d.losses.told import Told
from pulse1d.losses.turbine_map import Line, fitted
from pulse1d.spec import (
    AbsolutePressure,
    Area,
    Fraction,
    MassFlow,
    Ratio,
    Spec,
    Temperature,
)

FALL = 0.02
"""Part by which the swallowing may fall from row to row: readings on a choked plateau scatter."""


class MapRow(Spec):
    """A reading of the map: what is swallowed at an expansion ratio."""

    expansion_ratio: Annotated[Ratio, Field(gt=1.0)]
    """Stagnation pressure in front over static pressure behind."""
    flow: MassFlow
    inlet_pressure: AbsolutePressure | None = None
    """Stagnation state in front at this flow; None: the reference that the flow is corrected to."""
    inlet_temperature: Temperature | None = None
    efficiency: Fraction | None = None
    """Total to static; None: the turbine's."""


class Turbine(PieceBase):
    """A turbine as a nozzle that does work; its rotor's speed is not modelled."""

    told: ClassVar[Told] = Told(
        also=("turbocharger", "turbo"),
        example={"effective area": "500 mm^2", "efficiency": "65 %"},
        vary={"effective area": ("300 mm^2", "400 mm^2", "500 mm^2", "600 mm^2")},
        laws=("restriction.mdot_nozzle", "turbine_law.through_turbine"),
    )
    kind: Literal["turbine"] = "turbine"
    effective_area: Area | None = None
    reverse_effective_area: Area | None = None
    """For reversed flow, which does no work; None: the same, or that of the map's first row."""
    map: tuple[MapRow, ...] = ()
    """One speed line, or the envelope of all."""
    reference_pressure: AbsolutePressure = 101325.0
    reference_temperature: Temperature = 288.15
    """State that the map's flows are corrected to, where a row has no inlet state of its own."""
    efficiency: Fraction | None = None
    """Total to static: work over that of the isentropic fall; None: 0, or as the rows say."""
    band: Fraction = 0.03
    """5-95 % half width of ln area; what the fit leaves comes on top (judgement)."""

    @model_validator(mode="after")
    def _one_statement(self) -> Self:
        if (self.effective_area is not None) == bool(self.map):
            raise ValueError("a turbine needs either an effective area or a map; state one of them")
        if self.map and len(self.map) < 3:
            raise ValueError("a map needs three rows at least; state more of the line")
        for row in self.map:
            if (row.inlet_pressure is None) != (row.inlet_temperature is None):
                raise ValueError(
                    "an inlet state is a pressure and a temperature; state both or neither"
                )
        told = [row.efficiency is not None for row in self.map]
        if any(told) and (not all(told) or self.efficiency is not None):
            raise ValueError(
                "the efficiency stands in every row of the map or once beside it; move it"
            )
        for a, b in pairwise(self.map):
            if not b.expansion_ratio > a.expansion_ratio:
                raise ValueError(
                    "the expansion ratios of a map must rise from row to row; sort them"
                )
        flows = [self.line_of(row)[1] for row in self.map]
        for low, high, row in zip(flows, flows[1:], self.map[1:], strict=False):
            if high < (1.0 - FALL) * low:
                raise ValueError(
                    f"the map swallows {100.0 * (1.0 - high / low):.3g} % less at ratio "
                    f"{row.expansion_ratio:g} than before; a turbine chokes, but does not fall: "
                    "check the row, and keep to one speed"
                )
        return self

    def line_of(self, row: MapRow) -> tuple[float, float, float]:
        """Expansion ratio, flow over inlet pressure and inlet temperature of a row.

        Parameters
        ----------
        row : MapRow   [SI]
        Returns
        -------
        ER, m, T : float   m = mdot sqrt(T0)/p0 [-, kg/s K^0.5/Pa, K]
        """
        p = row.inlet_pressure or self.reference_pressure
        T = row.inlet_temperature or self.reference_temperature
        return row.expansion_ratio, row.flow * math.sqrt(T) / p, T

    @property
    def line(self) -> Line | None:
        """The map's fit; None for a nozzle [SI]."""
        if not self.map:
            return None
        rows = [self.line_of(row) for row in self.map]
        one = self.efficiency or 0.0
        etas = [one if row.efficiency is None else float(row.efficiency) for row in self.map]
        return fitted(rows, etas)

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One TURBINE row; a NOZZLE row for an area that does no work [SI]."""
        line = self.line
        area = float(self.effective_area or 0.0) if line is None else line.area
        if area > station.section.area:
            raise ValueError(
                f"{self.label}: an effective area of {1e6 * area:.4g} mm^2 is wider than the "
                f"section that it stands in ({1e6 * station.section.area:.4g} mm^2); check the "
                "flows and their unit, or widen the section"
            )
        if line is None:
            back = area if self.reverse_effective_area is None else self.reverse_effective_area
            plain = nozzle_element(self, station, (area, back), (self.band, self.band), "case")
            eta = self.efficiency or 0.0
            if eta == 0.0:
                return (plain,)
            step = plain.steps[0]._replace(
                law=Law.TURBINE, work_0=eta, work_1=eta, work_2=eta, stir=1.0
            )
            return (_with(plain, step, ()),)
        back = self.reverse_effective_area or line.area * line.opening[0]
        half = math.hypot(self.band, line.worst)
        plain = nozzle_element(self, station, (area, back), (half, half), "case")
        step = plain.steps[0]._replace(
            law=Law.TURBINE,
            x_end=line.x_end,
            area_0=line.opening[0],
            area_1=line.opening[1],
            area_2=line.opening[2],
            work_0=line.work[0],
            work_1=line.work[1],
            work_2=line.work[2],
            stir=1.0,
        )
        return (_with(plain, step, line.notes),)


def _with(plain: Element, step: Step, notes: tuple[str, ...]) -> Element:
    return replace(plain, steps=(step,), notes=(*plain.notes, *notes))
