"""How a case names its gas, and the mixture that it means."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from pulse1d.gas import burned as combustion
from pulse1d.gas.air import dry_air, moist_air
from pulse1d.gas.mixture import Mixture
from pulse1d.spec import Fraction, PositiveRatio, Ratio, Spec, Temperature

LOWEST, HIGHEST = combustion.T_WATER_GAS
FreezeTemperature = Annotated[Temperature, Field(ge=LOWEST, le=HIGHEST)]
AtomRatio = Annotated[Ratio, Field(ge=0.0)]
Lambda = Annotated[PositiveRatio, Field(ge=combustion.LAMBDA_MIN)]


class DryAir(Spec):
    """Dry air."""

    kind: Literal["dry air"] = "dry air"


class MoistAir(Spec):
    """Air of a relative humidity at the pressure and temperature of the atmosphere."""

    kind: Literal["moist air"] = "moist air"
    humidity: Fraction
    """Relative humidity over liquid water [-]."""


class Burned(Spec):
    """Burned products of a fuel and dry air; name the fuel or give its hydrogen to carbon."""

    kind: Literal["burned"] = "burned"
    fuel: str | None = None
    """A fuel of ``pulse1d/gas/fuels.toml``."""
    hydrogen_to_carbon: AtomRatio | None = None
    oxygen_to_carbon: AtomRatio = 0.0
    lambda_: Lambda = Field(default=1.0, alias="lambda")
    """Air-fuel ratio over the stoichiometric one [-]."""
    freeze_temperature: FreezeTemperature = combustion.T_FREEZE
    """Where CO and H2 of a rich gas freeze; a judgement, see ``burned.T_FREEZE`` [K]."""

    @model_validator(mode="after")
    def _one_fuel(self) -> Burned:
        if (self.fuel is None) == (self.hydrogen_to_carbon is None):
            raise ValueError("burned gas needs either a fuel or its hydrogen to carbon, not both")
        if self.fuel is not None and self.oxygen_to_carbon != 0.0:
            raise ValueError("oxygen to carbon goes with hydrogen to carbon, not with a named fuel")
        combustion.oxygen_needed(*self.atoms)
        return self

    @property
    def atoms(self) -> tuple[float, float]:
        """Hydrogen and oxygen atoms per carbon atom [-]."""
        if self.fuel is not None:
            named = combustion.fuel(self.fuel)
            return named.y, named.z
        return float(self.hydrogen_to_carbon or 0.0), float(self.oxygen_to_carbon)


GasSpec = Annotated[DryAir | MoistAir | Burned, Field(discriminator="kind")]


def resolve(spec: DryAir | MoistAir | Burned, p: float, T: float) -> Mixture:
    """The mixture that a gas spec means.

    Parameters
    ----------
    spec : DryAir, MoistAir or Burned   The gas [-]
    p : float   Absolute pressure of the atmosphere; only moist air asks for it [Pa]
    T : float   Temperature of the atmosphere; only moist air asks for it [K]
    Returns
    -------
    mixture : Mixture   The gas [-]
    Errors      ValueError when the air cannot hold the humidity, or the gas is too rich.
    Source      ``air.py``, ``burned.py``
    """
    if isinstance(spec, DryAir):
        return dry_air()
    if isinstance(spec, MoistAir):
        return moist_air(p, T, spec.humidity)
    y, z = spec.atoms
    return combustion.burned_gas(y, z, spec.lambda_, spec.freeze_temperature)
