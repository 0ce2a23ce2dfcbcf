"""The engine's description in a case: what stands behind the ports."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator, model_validator

from pulse1d.engine.burning import Burning, burning_of
from pulse1d.engine.charge import Charge, charge_of
from pulse1d.engine.intake import Intake
from pulse1d.network.layout import Name
from pulse1d.spec import (
    AbsolutePressure,
    Angle,
    Length,
    PositiveLength,
    PositiveRatio,
    Ratio,
    Spec,
    Temperature,
)

RATIO_MAX = 30.0
"""Highest compression ratio accepted; diesel engines stay below 25 (common practice)."""
OVERLAP_MAX = 180.0
"""Longest overlap accepted; racing engines stay below 130 deg (judgement) [deg]."""
SLACK = math.radians(1.0)
"""How far a measured lift curve may run on behind the stated closing [rad]."""


class LiftRow(Spec):
    """One row of a measured lift curve."""

    after_opening: Angle
    """Crank angle from the opening on."""
    lift: Length


class ValveTrain(Spec):
    """When a valve opens and closes, and how far."""

    lift: PositiveLength
    """Greatest lift of the smooth event that is taken where no curve is stated."""
    curve: tuple[LiftRow, ...] = ()
    """Measured lift, angles rising, from the opening to the closing."""

    @field_validator("curve")
    @classmethod
    def _curve_is_an_event(cls, curve: tuple[LiftRow, ...]) -> tuple[LiftRow, ...]:
        angles = [row.after_opening for row in curve]
        if any(low >= high for low, high in pairwise(angles)):
            raise ValueError("the angles must rise from row to row; sort them")
        if curve and (len(curve) < 3 or max(row.lift for row in curve) <= 0.0):
            raise ValueError(
                "at least three rows and some lift are needed; "
                "state it from the opening to the closing, or leave it out for a smooth event"
            )
        if angles and angles[0] < 0.0:
            raise ValueError(
                f"starts {-math.degrees(angles[0]):.4g} deg before the opening; "
                "count its angles from the opening on"
            )
        return curve

    def curve_fits(self, which: str, before: float, after: float) -> None:
        """Refuse a lift curve that runs on behind the closing.

        Parameters
        ----------
        which : str   For the message [-]
        before, after : float   Angles outside the stroke that the valve is open for [rad]
        Errors      ValueError where the last row lies more than SLACK behind the closing.
        """
        duration = math.pi + before + after
        if self.curve and self.curve[-1].after_opening > duration + SLACK:
            raise ValueError(
                f"the {which} lift curve runs for "
                f"{math.degrees(self.curve[-1].after_opening):.4g} deg, its valve is open for "
                f"{math.degrees(duration):.4g} deg; count its angles in degrees of the crank "
                "from the opening on, or correct the events"
            )


class ExhaustTrain(ValveTrain):
    """Exhaust valves; what they pass by lift is the head's `flow`."""

    opens_before_bdc: Angle
    closes_after_tdc: Angle

    @model_validator(mode="after")
    def _event_is_possible(self) -> ExhaustTrain:
        within("exhaust", self.opens_before_bdc, self.closes_after_tdc)
        self.curve_fits("exhaust", self.opens_before_bdc, self.closes_after_tdc)
        return self


class InletTrain(ValveTrain):
    """Inlet valves, and how they flow."""

    opens_before_tdc: Angle
    closes_after_bdc: Angle
    head_diameter: PositiveLength
    count: Annotated[int, Field(ge=1, le=4)] = 1
    coefficient: PositiveRatio = 0.6
    """Discharge coefficient on the curtain area, up to the area of the port."""

    @model_validator(mode="after")
    def _event_is_possible(self) -> InletTrain:
        within("inlet", self.opens_before_tdc, self.closes_after_bdc)
        self.curve_fits("inlet", self.opens_before_tdc, self.closes_after_bdc)
        return self


def within(which: str, before: float, after: float) -> None:
    """Refuse an event that no four-stroke engine has.

    Parameters
    ----------
    which : str   For the message [-]
    before, after : float   Angles outside the stroke that the valve is open for [rad]
    Errors      ValueError when the valve would be open for less than 120 or more than 480 deg.
    """
    duration = 180.0 + math.degrees(before + after)
    if not 120.0 <= duration <= 480.0:
        raise ValueError(
            f"the {which} valve would be open for {duration:.0f} deg; "
            "check the signs of its angles: both count outwards from its stroke"
        )


class Plenum(Spec):
    """Air in front of the inlet valves."""

    pressure: AbsolutePressure = 100_000.0
    temperature: Temperature = 308.15


class Engine(Spec):
    """Cylinders, crank train and firing order, and what the running engine needs beside them."""

    cylinders: Annotated[int, Field(ge=1, le=16)]
    bore: PositiveLength
    stroke: PositiveLength
    rod: PositiveLength | None = None
    compression_ratio: PositiveRatio | None = None
    cycle: Literal["four-stroke", "two-stroke"] = "four-stroke"
    firing_order: tuple[Name, ...] = ()
    """Names of cylinders as the ports list them, or as the engine numbers them."""
    firing_angles: tuple[Angle, ...] = ()
    """Crank angle of each firing, in firing order, rising from 0; none: even gaps."""
    exhaust: ExhaustTrain | None = None
    inlet: InletTrain | None = None
    charge: Charge = Charge()
    burning: Burning = Field(default=Burning(), validate_default=True)
    """What the case leaves out follows from the charge's ignition."""
    plenum: Plenum = Plenum()
    intake: Intake | None = None
    """Ducts between plenum and inlet valves; none: the valves stand in the plenum."""
    other_bank: dict[Name, Name] = Field(default_factory=dict)
    """Cylinder of this bank to the one that stands at its place in the other bank."""
    wall_temperature: Temperature = 450.0
    """Mean of head, piston and liner."""
    wall_heat: Annotated[Ratio, Field(ge=0.0, le=5.0)] = 1.0
    """Factor on the law's heat."""
    wall_heat_law: Literal["woschni", "annand"] = "woschni"
    charge_motion: Ratio = 0.5
    """Annand's a: 0.35 in a quiet chamber to 0.8 with strong swirl or squish."""

    @field_validator("charge_motion")
    @classmethod
    def _charge_motion_can_be(cls, value: float) -> float:
        if not 0.2 <= value <= 1.0:
            raise ValueError(
                f"{value:.4g} is outside 0.2 to 1; "
                "state Annand's a, 0.35 in a quiet chamber to 0.8 with strong swirl"
            )
        return value

    @field_validator("charge")
    @classmethod
    def _charge_of_its_ignition(cls, value: Charge) -> Charge:
        return charge_of(value)

    @field_validator("burning")
    @classmethod
    def _burning_of_its_ignition(cls, value: Burning, info: ValidationInfo) -> Burning:
        charge = info.data.get("charge")
        return value if charge is None else burning_of(value, charge.ignition)

    @field_validator("rod")
    @classmethod
    def _rod_is_longer_than_the_crank(
        cls, value: float | None, info: ValidationInfo
    ) -> float | None:
        stroke = info.data.get("stroke")
        if value is not None and stroke is not None and value <= 0.5 * stroke:
            raise ValueError(
                f"a rod of {1e3 * value:.4g} mm is not longer than the crank's radius of "
                f"{500.0 * stroke:.4g} mm; state its length between centres, "
                "1.5 to 2 strokes as a rule"
            )
        return value

    @field_validator("compression_ratio")
    @classmethod
    def _compresses(cls, value: float | None) -> float | None:
        if value is not None and not 1.0 < value <= RATIO_MAX:
            raise ValueError(
                f"{value:.4g} is not above 1 and at most {RATIO_MAX:g}; state greatest over least "
                "volume, 9.5 for instance"
            )
        return value

    @field_validator("firing_order")
    @classmethod
    def _order_is_complete(cls, order: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        cylinders = info.data.get("cylinders", len(order))
        if len(set(order)) != len(order):
            raise ValueError("names a cylinder twice; name each once")
        if order and len(order) != cylinders:
            raise ValueError(f"names {len(order)} of {cylinders} cylinders; name each once")
        return order

    @field_validator("firing_angles")
    @classmethod
    def _angles_rise(cls, angles: tuple[float, ...], info: ValidationInfo) -> tuple[float, ...]:
        if not angles:
            return angles
        cylinders = info.data.get("cylinders", len(angles))
        if info.data.get("firing_order") == ():
            raise ValueError("are stated without a firing order; state it too")
        if len(angles) != cylinders:
            raise ValueError(
                f"there are {len(angles)} for {cylinders} cylinders; give one each, in firing order"
            )
        turn = 360.0 if info.data.get("cycle") == "two-stroke" else 720.0
        if angles[0] != 0.0 or any(
            low >= high for low, high in pairwise((*angles, math.radians(turn)))
        ):
            raise ValueError(
                f"must rise from 0 deg and stay below {turn:.0f} deg; sort them, in firing order"
            )
        return angles

    @field_validator("other_bank")
    @classmethod
    def _other_bank_is_of_this_engine(
        cls, pairs: dict[str, str], info: ValidationInfo
    ) -> dict[str, str]:
        named = [*pairs.keys(), *pairs.values()]
        for name in named:
            if name not in info.data.get("firing_order", named):
                raise ValueError(
                    f"names cylinder {name!r}, which does not fire; "
                    "write it like {1: 2, 3: 4}, with names of the firing order"
                )
            if named.count(name) > 1:
                raise ValueError(f"names cylinder {name!r} twice; name each cylinder once")
        return pairs

    @model_validator(mode="after")
    def _valves_are_of_a_four_stroke(self) -> Engine:
        if self.cycle == "two-stroke" and (self.exhaust or self.inlet):
            raise ValueError(
                "valve events are those of a four-stroke engine, the only one that is run; "
                "take `exhaust` and `inlet` out of a two-stroke engine, or correct its `cycle`"
            )
        return self

    @model_validator(mode="after")
    def _charge_motion_is_read(self) -> Engine:
        if "charge_motion" in self.model_fields_set and self.wall_heat_law != "annand":
            raise ValueError(
                "`charge motion` is a number of Annand's law, and the wall heat follows Woschni's; "
                "add `wall heat law: annand`, or take `charge motion` out"
            )
        return self

    @model_validator(mode="after")
    def _overlap_is_possible(self) -> Engine:
        if self.exhaust and self.inlet:
            overlap = math.degrees(self.exhaust.closes_after_tdc + self.inlet.opens_before_tdc)
            if overlap > OVERLAP_MAX:
                raise ValueError(
                    f"inlet and exhaust valves would be open together for {overlap:.0f} deg; check "
                    "`closes after tdc` of the exhaust and `opens before tdc` of the inlet"
                )
        return self

    @property
    def displacement(self) -> float:
        """Swept volume of all cylinders [m3]."""
        return self.cylinders * 0.25 * math.pi * self.bore**2 * self.stroke

    def firing_gaps(self, ports: dict[str, tuple[str, ...]]) -> tuple[tuple[str, float], ...]:
        """Crank angle from each port's pulse to the next pulse of the same part.

        Parameters
        ----------
        ports : dict   Port name to its cylinders (empty: the cylinder of the same name) [-]
        Returns
        -------
        gaps : tuple of (port, gap)   In firing order; even firing where no angles are stated [deg]
        Source      common practice, no source
        """
        turn = 720.0 if self.cycle == "four-stroke" else 360.0
        owner = {cylinder: port for port, names in ports.items() for cylinder in (names or (port,))}
        even = [turn * k / len(self.firing_order) for k in range(len(self.firing_order))]
        angles = [math.degrees(angle) for angle in self.firing_angles] or even
        fired = [
            (owner[name], angle)
            for name, angle in zip(self.firing_order, angles, strict=True)
            if name in owner
        ]
        return tuple(
            (port, (fired[(k + 1) % len(fired)][1] - angle) % turn or turn)
            for k, (port, angle) in enumerate(fired)
        )
