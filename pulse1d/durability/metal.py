"""What is known of a metal: tables over temperature, a source for every cell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

UNITS = {"E": 1e9, "alpha_mean": 1e-6, "k": 1.0, "cp": 1.0, "yield_": 1e6, "ultimate": 1e6}
"""SI per unit of the file."""


@dataclass(frozen=True)
class Table:
    """A property over temperature: straight lines between cells, held at the ends."""

    T: tuple[float, ...]
    """Rising [K]."""
    value: tuple[float, ...]
    source: tuple[str, ...]
    """What stands behind each cell [-]."""

    def __call__(self, T: Any) -> Any:
        found = np.interp(T, self.T, self.value)
        return float(found) if np.ndim(found) == 0 else found


@dataclass(frozen=True)
class Material:
    """A metal; every property is called with kelvin, one or an array. Typical, never allowable."""

    name: str
    family: str
    E: Table
    """Young's modulus [Pa]."""
    alpha_mean: Table
    """Mean expansion between 20 degC and T [1/K]."""
    k: Table
    """Conductivity [W/m/K]."""
    cp: Table
    """Heat capacity [J/kg/K]."""
    yield_: Table
    """0.2 % proof stress [Pa]."""
    ultimate: Table
    """Tensile strength [Pa]."""
    rho: float
    """At 20 degC [kg/m3]."""
    RA: float
    """Reduction of area in a tensile test at 20 degC [-]."""
    T_limit: float
    """Highest metal temperature in cyclic service: oxidation, growth or relaxation [K]."""
    limit_note: str = ""
    from_: str = "case"
    """What stands behind rho, RA and T_limit, comma-separated [-]."""

    def outside(self, T: float) -> tuple[str, ...]:
        """Which tables end before T [K], so that their end value is used: names of properties."""
        return tuple(
            name for name in UNITS if not self.tables[name].T[0] <= T <= self.tables[name].T[-1]
        )

    @property
    def tables(self) -> dict[str, Table]:
        """Properties over temperature by name [SI]."""
        return {name: getattr(self, name) for name in UNITS}

    @property
    def sources(self) -> dict[str, tuple[str, ...]]:
        """What stands behind each cell, by property; 'memory' marks values from memory [-]."""
        return {**{n: t.source for n, t in self.tables.items()}, "rho, RA, T_limit": (self.from_,)}
