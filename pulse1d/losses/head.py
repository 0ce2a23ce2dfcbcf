"""What the cylinder head passes by valve lift: measured, or from typical coefficients."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Literal, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import Field, model_validator

from pulse1d.losses.monotone import Monotone
from pulse1d.losses.restriction import CdA_of_flow
from pulse1d.losses.valve_area import A_curtain, ValveGeometry
from pulse1d.losses.valve_flow import BAND_TABLE, REVERSE_SHARE, Cd_valve
from pulse1d.spec import (
    AbsolutePressure,
    Area,
    Fraction,
    PositiveLength,
    PositiveRatio,
    PressureDifference,
    Spec,
    Temperature,
    VolumeFlow,
)

Array = NDArray[np.float64]


class AreaRow(Spec):
    """Measured effective area of the whole port at a lift."""

    lift: PositiveLength
    effective_area: Area
    reverse_effective_area: Area | None = None


class FlowRow(Spec):
    """Measured volume flow of the whole port at a lift, at the table's depression."""

    lift: PositiveLength
    flow: VolumeFlow
    reverse_flow: VolumeFlow | None = None


class CoefficientRow(Spec):
    """Measured coefficient at a lift, on the table's reference area."""

    lift: PositiveLength
    forward: PositiveRatio
    reverse: PositiveRatio | None = None


class HeadFlow(Spec):
    """One port's exhaust flow by lift: areas, flows, coefficients, or the coefficients shipped.

    ``areas`` and ``flows`` are of the whole port; ``coefficients`` are of one valve and count
    ``valves`` times. Where reversed flow is not stated it is REVERSE_SHARE of forward flow.
    """

    valve: ValveGeometry | None = None
    valves: int = Field(default=1, ge=1, le=4)
    areas: tuple[AreaRow, ...] = ()
    flows: tuple[FlowRow, ...] = ()
    depression: PressureDifference | None = None
    """Of ``flows``."""
    reference_pressure: AbsolutePressure = 101325.0
    reference_temperature: Temperature = 293.15
    """State of the room, at which ``flows`` are stated."""
    coefficients: tuple[CoefficientRow, ...] = ()
    reference: Literal["curtain", "head area", "port area", "minimum area"] = "curtain"
    """Area that the coefficients refer to."""
    covers: Literal["valve only", "valve and port"] = "valve only"
    """What the table measured; with the port in it, the head-port piece keeps no loss."""
    band: Fraction | None = None
    """5-95 % half width of ln CdA; None: 0.03 for a stated table, 0.12 for the one shipped."""

    @model_validator(mode="after")
    def _one_table(self) -> Self:
        stated = [rows for rows in (self.areas, self.flows, self.coefficients) if rows]
        if len(stated) > 1:
            raise ValueError("a head has one table: areas, flows or coefficients; drop the others")
        if bool(self.flows) != (self.depression is not None):
            raise ValueError("a table of flows needs its depression, and only that table has one")
        if not self.areas and not self.flows and self.valve is None:
            raise ValueError("coefficients need the valve's head diameter; state it under valve")
        lifts = [row.lift for rows in stated for row in rows]  # type: ignore[attr-defined]
        if any(low >= high for low, high in pairwise(lifts)):
            raise ValueError("the lifts of a flow table must rise from row to row; sort them")
        if self.coefficients and self.valve is not None:
            self.valve.area(self.reference, lifts[0])
        return self

    @property
    def stated(self) -> bool:
        """The case states its own table [-]."""
        return bool(self.areas or self.flows or self.coefficients)

    @property
    def half_width(self) -> float:
        """5-95 % half width of ln CdA [-]."""
        if self.band is not None:
            return float(self.band)
        return 0.03 if self.stated else BAND_TABLE

    @property
    def source(self) -> str:
        """Keys of the sources of its coefficients [-]."""
        return "case" if self.stated else "heywood1988"

    def effective_areas(self, lift: float) -> tuple[float, float]:
        """Effective areas of the port at a lift; between rows CdA follows a monotone cubic from 0.

        Parameters
        ----------
        lift : float   Valve lift [m]
        Returns
        -------
        CdA, CdA_rev : float   Cylinder to port, port to cylinder [m^2]
        Errors      ValueError when the lift lies outside the table.
        Source      the case's own table, or heywood1988
        """
        if not self.stated:
            assert self.valve is not None  # checked when the spec was made
            curtain = self.valves * A_curtain(lift, self.valve.head_diameter)
            Cd, Cd_rev = Cd_valve(lift / self.valve.head_diameter)
            return curtain * Cd, curtain * Cd_rev
        lifts, forward, reverse = self.table()
        if not 0.0 <= lift <= lifts[-1] * (1.0 + 1e-9):
            raise ValueError(
                f"a lift of {1e3 * lift:.4g} mm is outside the flow table (0 to "
                f"{1e3 * lifts[-1]:.4g} mm); flow the head at that lift, or ask for a lower one"
            )
        place = min(lift, lifts[-1])
        known = tuple(lifts.tolist())
        CdA, CdA_rev = (
            float(_curve(known, tuple(row.tolist()))(place)) for row in (forward, reverse)
        )
        return CdA, CdA_rev

    def table(self) -> tuple[Array, Array, Array]:
        """Lifts and effective areas of both directions, from the closed valve up.

        Returns
        -------
        lifts, CdA, CdA_rev : (n,) arrays   First row 0 [m, m^2, m^2]
        Source      the case's own table
        """
        rows = [(0.0, 0.0, 0.0)]
        for row in self.areas:
            rows.append(_pair(row.lift, row.effective_area, row.reverse_effective_area))
        for flow in self.flows:
            ways = (None if f is None else self._CdA(f) for f in (flow.flow, flow.reverse_flow))
            rows.append(_pair(flow.lift, *ways))  # type: ignore[arg-type]
        for line in self.coefficients:
            assert self.valve is not None  # checked when the spec was made
            area = self.valves * self.valve.area(self.reference, line.lift)
            back = None if line.reverse is None else area * line.reverse
            rows.append(_pair(line.lift, area * line.forward, back))
        table = np.array(rows, dtype=float)
        return table[:, 0], table[:, 1], table[:, 2]

    def _CdA(self, Vdot: float) -> float:
        assert self.depression is not None  # checked when the spec was made
        return CdA_of_flow(
            Vdot, self.depression, self.reference_pressure, self.reference_temperature
        )


@lru_cache(maxsize=64)
def _curve(lifts: tuple[float, ...], areas: tuple[float, ...]) -> Monotone:
    """The monotone cubic through a table: made once, read at every degree of a cycle."""
    return Monotone(lifts, areas)


def _pair(lift: float, forward: float, reverse: float | None) -> tuple[float, float, float]:
    return lift, forward, REVERSE_SHARE * forward if reverse is None else reverse
