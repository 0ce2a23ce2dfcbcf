"""Fuel and air of the charge, and what lights it: the case's keys."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator, model_validator

from pulse1d.gas.burned import LAMBDA_MIN, stoichiometric_afr
from pulse1d.gas.burned import fuel as named_fuel
from pulse1d.spec import PositiveRatio, Spec

LAMBDA_MAX = 10.0
"""Leanest charge accepted: a diesel engine near idle (common practice, no source)."""
SPARK_MAX = 2.0
"""Leanest charge that a spark lights (judgement)."""
SMOKE = 1.1
"""Richest charge of a compression-ignition engine; it smokes well before (judgement)."""
HEATING_RANGE = (5.0, 150.0)
"""Lower heating values of fuels, lean gas to hydrogen, with room on both sides [MJ/kg]."""


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

    @model_validator(mode="after")
    def _compression_burns_it_clean(self) -> Charge:
        if self.ignition == "compression" and "lambda_" not in self.model_fields_set:
            raise ValueError(
                "an engine with compression ignition runs at its own lambda; "
                "add `lambda: 1.5`, 1.3 to 1.6 at full load and up to 6 at part load"
            )
        if self.ignition == "compression" and self.lambda_ < SMOKE:
            raise ValueError(
                f"with compression ignition a charge of lambda {self.lambda_:.4g} burns to smoke; "
                f"state at least {SMOKE:g}, 1.3 to 1.6 at full load as a rule"
            )
        return self


def charge_of(stated: Charge) -> Charge:
    """A charge with the fuel filled in for its ignition, where the case names none.

    Parameters
    ----------
    stated : Charge   As the case has it [SI]
    Returns
    -------
    charge : Charge   Diesel fuel for compression ignition [SI]
    """
    if stated.ignition == "spark" or "fuel" in stated.model_fields_set:
        return stated
    return stated.model_copy(update={"fuel": "diesel"})


def injected(charge: Charge) -> float:
    """Fuel that comes to a mass of fresh gas in the cylinder.

    Parameters
    ----------
    charge : Charge   [-]
    Returns
    -------
    fuel : float   0 with a spark, whose fuel comes in with the air [-]
    """
    if charge.ignition == "spark":
        return 0.0
    found = named_fuel(charge.fuel)
    return 1.0 / (charge.lambda_ * stoichiometric_afr(found.y, found.z))
