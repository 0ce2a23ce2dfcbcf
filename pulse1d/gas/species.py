"""The species that gases are made of, as shipped in ``data/``: one file a species.

To add a species run ``python -m pulse1d.gas.fit NAME``; nothing else lists them.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np

from pulse1d.gas.table import T_HIGH, T_LOW, T_UNIT, Array

FORMAT = 1
"""Version of the species files."""


@dataclass(frozen=True)
class Species:
    """One species: molar mass and fits of cp/R, viscosity and conductivity; see ``table.py``."""

    name: str
    M: float
    """Molar mass [kg/mol]."""
    cp_high: tuple[float, ...]
    """a_0..a_4 of cp/R [-]."""
    cp_low: tuple[float, ...]
    """b_2..b_5 of cp/R [-]."""
    mu: tuple[float, ...]
    """Viscosity in powers of (T / 1000 K)^(1/2) [Pa s]."""
    k_th: tuple[float, ...]
    """Conductivity in powers of (T / 1000 K)^(1/2) [W/m/K]."""
    origin: str
    """Where the numbers come from."""

    def cp_over_R(self, T: Array) -> Array:
        """Molar heat capacity at constant pressure over the molar gas constant.

        Parameters
        ----------
        T : (n,) array   Temperature, 150 .. 3000; cp is constant outside [K]
        Returns
        -------
        cp_over_R : (n,) array   Heat capacity [-]
        Source      the species file
        """
        z = np.clip(T, T_LOW, T_HIGH) / T_UNIT - 1.0
        m = np.minimum(z, 0.0)
        above = np.polynomial.polynomial.polyval(z, self.cp_high)
        return np.asarray(above + m**2 * np.polynomial.polynomial.polyval(m, self.cp_low))


def read(text: str) -> Species:
    """A species from the text of its file.

    Parameters
    ----------
    text : str   Contents of ``data/<NAME>.toml`` [-]
    Returns
    -------
    species : Species   The species [SI]
    Errors      ValueError when the format version is not the one this package reads.
    Source      ``pulse1d.gas.fit`` writes these files
    """
    row = tomllib.loads(text)
    if row["format"] != FORMAT:
        raise ValueError(
            f"species file of {row['name']} has format {row['format']}, not {FORMAT}; "
            f"make it again with: python -m pulse1d.gas.fit {row['name']}"
        )
    return Species(
        name=row["name"],
        M=row["M"],
        cp_high=tuple(row["cp"]["high"]),
        cp_low=tuple(row["cp"]["low"]),
        mu=tuple(row["mu"]["powers"]),
        k_th=tuple(row["k_th"]["powers"]),
        origin=row["origin"],
    )


@lru_cache(maxsize=1)
def catalogue() -> dict[str, Species]:
    """Every shipped species by name.

    Returns
    -------
    species : dict   Name to Species, in alphabetical order [-]
    Source      pulse1d/gas/data
    """
    folder = files("pulse1d.gas").joinpath("data")
    texts = [
        file.read_text(encoding="utf-8") for file in folder.iterdir() if file.name.endswith(".toml")
    ]
    return {item.name: item for item in sorted(map(read, texts), key=lambda item: item.name)}
