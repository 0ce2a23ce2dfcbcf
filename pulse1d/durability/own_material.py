"""Materials that a case brings along."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Self

from pydantic import Field, model_validator

from pulse1d.spec import Fraction, PositiveRatio, Spec, Temperature

MaterialName = Annotated[str, Field(min_length=1, max_length=60)]
Rows = Annotated[tuple[tuple[Temperature, PositiveRatio], ...], Field(min_length=1, max_length=40)]
"""Temperature and value, rising; level beyond its ends."""


class OwnMaterial(Spec):
    """A material of the case: what differs from a known one. Units as the tables of the package."""

    like: MaterialName
    E: Rows | None = None
    """Young's modulus [GPa]."""
    expansion: Rows | None = None
    """Mean from 20 degC [1e-6/K]."""
    conductivity: Rows | None = None
    """[W/m/K]."""
    specific_heat: Rows | None = None
    """[J/kg/K]."""
    density: PositiveRatio | None = None
    """[kg/m3]."""
    yield_: Rows | None = Field(default=None, alias="yield")
    """0.2 % proof stress [MPa]."""
    ultimate: Rows | None = None
    """Tensile strength [MPa]."""
    reduction_of_area: Fraction | None = None
    limit: Temperature | None = None
    """Hottest metal."""

    @model_validator(mode="after")
    def _rows_rise(self) -> Self:
        for key in ("E", "expansion", "conductivity", "specific_heat", "yield_", "ultimate"):
            at = [row[0] for row in getattr(self, key) or ()]
            if any(not b > a for a, b in pairwise(at)):
                name = key.rstrip("_").replace("_", " ")
                raise ValueError(f"the temperatures of `{name}` do not rise; sort its rows")
        return self
