"""The engine's description in a case: what stands behind the ports."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, model_validator

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

    @model_validator(mode="after")
    def _curve_rises_in_angle(self) -> ValveTrain:
        angles = [row.after_opening for row in self.curve]
        if any(low >= high for low, high in pairwise(angles)):
            raise ValueError("the angles of a lift curve must rise from row to row; sort them")
        return self


class ExhaustTrain(ValveTrain):
    """Exhaust valves; what they pass by lift is the head's `flow`."""

    opens_before_bdc: Angle
    closes_after_tdc: Angle

    @model_validator(mode="after")
    def _event_is_possible(self) -> ExhaustTrain:
        within("exhaust", self.opens_before_bdc, self.closes_after_tdc)
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

    @model_validator(mode="after")
    def _order_is_complete(self) -> Engine:
        if self.firing_order:
            if len(set(self.firing_order)) != len(self.firing_order):
                raise ValueError("the firing order names a cylinder twice; name each once")
            if len(self.firing_order) != self.cylinders:
                raise ValueError(
                    f"the firing order names {len(self.firing_order)} of {self.cylinders} "
                    "cylinders; name each once"
                )
        if self.firing_angles:
            if len(self.firing_angles) != self.cylinders:
                raise ValueError(
                    f"there are {len(self.firing_angles)} firing angles for {self.cylinders} "
                    "cylinders; give one each, in firing order"
                )
            if self.firing_angles[0] != 0.0 or any(
                low >= high for low, high in pairwise((*self.firing_angles, 4.0 * math.pi))
            ):
                raise ValueError("firing angles rise from 0 deg and stay below 720 deg; sort them")
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
        gaps : tuple of (port, gap)   In firing order, even firing assumed [deg]
        Source      common practice, no source
        """
        turn = 720.0 if self.cycle == "four-stroke" else 360.0
        owner = {cylinder: port for port, names in ports.items() for cylinder in (names or (port,))}
        fired = [
            (owner[name], turn * k / len(self.firing_order))
            for k, name in enumerate(self.firing_order)
            if name in owner
        ]
        return tuple(
            (port, (fired[(k + 1) % len(fired)][1] - angle) % turn or turn)
            for k, (port, angle) in enumerate(fired)
        )
