"""A restriction in series: an effective area, stated or from a flow at a depression."""

from __future__ import annotations

import math
from typing import ClassVar, Literal, Self

from pydantic import model_validator

from pulse1d.geometry.sections import Section
from pulse1d.losses.element import Z_90, Effect, Element, Law, Station, Step
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.told import Told
from pulse1d.spec import (
    AbsolutePressure,
    Area,
    Fraction,
    PressureDifference,
    Temperature,
    VolumeFlow,
)

GAMMA_AIR, R_AIR = 1.4, 287.05
"""Dry air near room temperature: reduces a bench reading of a restriction [-, J/kg/K]."""


def mdot_nozzle(
    CdA: float, p0: float, T0: float, p: float, gamma: float = GAMMA_AIR, R: float = R_AIR
) -> float:
    """Isentropic mass flow through an effective area, choked where it must be.

    mdot = CdA p0 / sqrt(R T0) sqrt(2 gamma/(gamma-1) [x^(2/gamma) - x^((gamma+1)/gamma)]),
    x = max(p/p0, (2/(gamma+1))^(gamma/(gamma-1)))

    Parameters
    ----------
    CdA : float   Effective area [m^2]
    p0, T0 : float   Upstream stagnation pressure and temperature [Pa, K]
    p : float   Static pressure behind, below p0 [Pa]
    gamma, R : float   Gas [-, J/kg/K]
    Returns
    -------
    mdot : float   Mass flow [kg/s]
    Source      exact (isentropic perfect gas)
    """
    x = max(p / p0, (2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))
    head = 2.0 * gamma / (gamma - 1.0) * (x ** (2.0 / gamma) - x ** ((gamma + 1.0) / gamma))
    return CdA * p0 / math.sqrt(R * T0) * math.sqrt(head)


def CdA_of_flow(Vdot: float, dp: float, p_ref: float, T_ref: float) -> float:
    """Effective area of a restriction that passes a volume flow of room air at a depression.

    CdA = rho_ref Vdot / (mdot_nozzle of 1 m^2 from p_ref to p_ref - dp),  rho_ref = p_ref/(R T_ref)

    Parameters
    ----------
    Vdot : float   Volume flow at the reference state [m^3/s]
    dp : float   Depression across it [Pa]
    p_ref, T_ref : float   Room air: stagnation state ahead and reference of the flow [Pa, K]
    Returns
    -------
    CdA : float   Effective area [m^2]
    Source      exact (isentropic perfect gas)
    """
    return p_ref / (R_AIR * T_ref) * Vdot / mdot_nozzle(1.0, p_ref, T_ref, p_ref - dp)


def nozzle_element(
    piece: PieceBase,
    station: Station,
    areas: tuple[float, float],
    half_widths: tuple[float, float],
    source: str,
) -> Element:
    """A NOZZLE row for an effective area in each direction.

    Parameters
    ----------
    piece : PieceBase   Whose label and kind the element takes [-]
    station : Station   The section on both sides [-]
    areas : (2,) tuple   Effective areas, forward and reversed [m^2]
    half_widths : (2,) tuple   5-95 % half widths of their logarithms [-]
    source : str   Keys of the sources [-]
    Returns
    -------
    element : Element   An effective area beyond the section is no loss, and a note says so [SI]
    Source      no static pressure is recovered behind it (heywood1988)
    """
    section: Section = station.section
    notes = tuple(
        f"{way} effective area {1e6 * area:.4g} mm^2 exceeds the section "
        f"({1e6 * section.area:.4g} mm^2): it costs nothing there"
        for way, area in zip(("forward", "reversed"), areas, strict=True)
        if section.area < area
    )
    step = Step(
        law=Law.NOZZLE,
        A_1=section.area,
        A_2=section.area,
        D_1=section.D_h,
        D_2=section.D_h,
        jet=min(areas[0], section.area),
        jet_rev=min(areas[1], section.area),
    )
    return Element(
        name=piece.label,
        kind=str(piece.kind),  # type: ignore[attr-defined]
        steps=(step,),
        k_ref="downstream",
        source=source,
        effects=tuple(
            Effect(f"effective area: {piece.label}", 0, column, "ln", width / Z_90)
            for column, width in zip(("jet", "jet_rev"), half_widths, strict=True)
            if width > 0.0
        ),
        notes=notes,
    )


class Restriction(PieceBase):
    """A head or a silencer as an effective area, or as the flow it passes at a depression."""

    told: ClassVar[Told] = Told(
        also=("effective area", "orifice", "silencer", "muffler", "CdA"),
        example={"effective area": "600 mm^2"},
        vary={"effective area": ("400 mm^2", "600 mm^2", "800 mm^2", "1000 mm^2")},
    )
    kind: Literal["restriction"] = "restriction"
    effective_area: Area | None = None
    reverse_effective_area: Area | None = None
    """For reversed flow; None: the same."""
    flow: VolumeFlow | None = None
    """Volume flow at the reference state."""
    depression: PressureDifference | None = None
    reference_pressure: AbsolutePressure = 101325.0
    reference_temperature: Temperature = 293.15
    band: Fraction = 0.03
    """5-95 % half width of ln CdA (judgement: one bench, remounted)."""

    @model_validator(mode="after")
    def _one_statement(self) -> Self:
        by_flow = (self.flow is not None, self.depression is not None)
        if (self.effective_area is not None) == any(by_flow) or any(by_flow) != all(by_flow):
            raise ValueError(
                "a restriction needs either an effective area, or a flow with its depression"
            )
        if self.depression is not None and self.depression >= self.reference_pressure:
            raise ValueError("the depression is not below the reference pressure; check its unit")
        return self

    @property
    def CdA(self) -> float:
        """Effective area of forward flow [m^2]."""
        if self.effective_area is not None:
            return float(self.effective_area)
        assert self.flow is not None  # both checked when the spec was made
        assert self.depression is not None
        return CdA_of_flow(
            self.flow, self.depression, self.reference_pressure, self.reference_temperature
        )

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One NOZZLE row [SI]."""
        back = self.CdA if self.reverse_effective_area is None else self.reverse_effective_area
        areas = (self.CdA, float(back))
        return (nozzle_element(self, station, areas, (self.band, self.band), "case"),)
