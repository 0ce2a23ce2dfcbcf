"""The engine's description in a case: what stands behind the ports."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator, model_validator

from pulse1d.gas.burned import LAMBDA_MIN
from pulse1d.gas.burned import fuel as named_fuel
from pulse1d.network.layout import Name
from pulse1d.spec import (
    AbsolutePressure,
    Angle,
    Fraction,
    Length,
    PositiveLength,
    PositiveRatio,
    Ratio,
    Spec,
    Temperature,
)

LAMBDA_MAX = 10.0
"""Leanest charge accepted: a diesel engine near idle (common practice, no source)."""
SPARK_MAX = 2.0
"""Leanest charge that a spark lights (judgement)."""
RATIO_MAX = 30.0
"""Highest compression ratio accepted; diesel engines stay below 25 (common practice)."""
OVERLAP_MAX = 180.0
"""Longest overlap accepted; racing engines stay below 130 deg (judgement) [deg]."""
HEATING_RANGE = (5.0, 150.0)
"""Lower heating values of fuels, lean gas to hydrogen, with room on both sides [MJ/kg]."""
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


class Burning(Spec):
    """Heat release by Wiebe's law."""

    starts_before_tdc: Angle = math.radians(15.0)
    duration: Angle = math.radians(55.0)
    form: PositiveRatio = 2.0
    """Wiebe's m."""
    efficiency: Fraction = 0.96
    """Of the fuel's heating value that is released."""

    @field_validator("starts_before_tdc")
    @classmethod
    def _starts_near_tdc(cls, value: float) -> float:
        if not -60.0 <= math.degrees(value) <= 90.0:
            raise ValueError(
                f"burning would start {math.degrees(value):.4g} deg before TDC; "
                "state -60 to 90 deg, negative behind TDC"
            )
        return value

    @field_validator("duration")
    @classmethod
    def _lasts_a_while(cls, value: float) -> float:
        if not 5.0 <= math.degrees(value) <= 180.0:
            raise ValueError(
                f"burning would last for {math.degrees(value):.4g} deg; "
                "state 5 to 180 deg, some 55 deg as a rule"
            )
        return value


class Plenum(Spec):
    """Air in front of the inlet valves."""

    pressure: AbsolutePressure = 100_000.0
    temperature: Temperature = 308.15


class Charge(Spec):
    """Fuel and air."""

    fuel: str = "gasoline"
    """A fuel of ``pulse1d/gas/fuels.toml``."""
    lambda_: PositiveRatio = Field(default=1.0, alias="lambda")
    """Air-fuel ratio over the stoichiometric one."""
    ignition: Literal["spark", "compression"] = "spark"
    heating_value: PositiveRatio | None = None
    """Lower heating value in MJ/kg; None: the fuel's own."""

    @field_validator("fuel")
    @classmethod
    def _fuel_is_known(cls, value: str) -> str:
        try:
            named_fuel(value)
        except ValueError as error:
            message, _, known = str(error).partition("; ")
            known = known.rpartition("; ")[0]
            raise ValueError(f"{message.removeprefix('fuel ')}; {known}") from error
        return value

    @field_validator("lambda_")
    @classmethod
    def _lambda_can_be(cls, value: float) -> float:
        if not LAMBDA_MIN <= value <= LAMBDA_MAX:
            raise ValueError(
                f"{value:.4g} is outside {LAMBDA_MIN:g} to {LAMBDA_MAX:g}; lambda is the air-fuel "
                "ratio over the stoichiometric one, 0.9 for a rich and 1.1 for a lean charge"
            )
        return value

    @field_validator("heating_value")
    @classmethod
    def _heating_value_is_in_megajoules(cls, value: float | None) -> float | None:
        low, high = HEATING_RANGE
        if value is not None and not low <= value <= high:
            raise ValueError(
                f"{value:g} MJ/kg is no fuel's; "
                "state the lower heating value in MJ/kg, 43 for gasoline"
            )
        return value

    @model_validator(mode="after")
    def _spark_lights_it(self) -> Charge:
        if self.ignition == "spark" and self.lambda_ > SPARK_MAX:
            raise ValueError(
                f"a spark does not light a charge of lambda {self.lambda_:.4g}; "
                f"state at most {SPARK_MAX:g}, or `ignition: compression`"
            )
        return self


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
    burning: Burning = Burning()
    plenum: Plenum = Plenum()
    wall_temperature: Temperature = 450.0
    """Mean of head, piston and liner."""
    wall_heat: Annotated[Ratio, Field(ge=0.0, le=5.0)] = 1.0
    """Factor on Woschni's coefficient."""

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

    @model_validator(mode="after")
    def _valves_are_of_a_four_stroke(self) -> Engine:
        if self.cycle == "two-stroke" and (self.exhaust or self.inlet):
            raise ValueError(
                "valve events are those of a four-stroke engine, the only one that is run; "
                "take `exhaust` and `inlet` out of a two-stroke engine, or correct its `cycle`"
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
