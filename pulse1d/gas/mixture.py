"""A gas of frozen composition, and the table that compiled property functions read of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np

from pulse1d.gas import table as layout
from pulse1d.gas.species import catalogue
from pulse1d.gas.table import (
    N_TRANSPORT,
    R_UNIVERSAL,
    T_TRANSPORT_HIGH,
    T_TRANSPORT_LOW,
    T_UNIT,
    Array,
)

FIT_NODES = 24
"""Temperatures at which a mixture's transport is evaluated before its fit [-]."""


@dataclass(frozen=True)
class Mixture:
    """A gas by its mole fractions; make one with ``Mixture.of``."""

    fractions: tuple[tuple[str, float], ...]
    """(name, mole fraction) of every species present, by name; they add up to 1 [-]."""

    @classmethod
    def of(cls, amounts: Mapping[str, float]) -> Mixture:
        """A mixture from molar amounts in any proportion.

        Parameters
        ----------
        amounts : mapping   Species name to molar amount, >= 0 [any one unit of moles]
        Returns
        -------
        mixture : Mixture   The gas [-]
        Errors      ValueError for a species not shipped, a negative amount or no gas at all.
        Source      definition
        """
        known = catalogue()
        for name, amount in amounts.items():
            if name not in known:
                near = get_close_matches(name.upper(), known, n=1)
                hint = f"; did you mean {near[0]}?" if near else ""
                raise ValueError(f"species {name!r} is not one of {', '.join(known)}{hint}")
            if not amount >= 0.0:
                raise ValueError(f"amount of {name} is {amount}, must be 0 or more")
        total = sum(amounts.values())
        if not 0.0 < total < np.inf:
            raise ValueError(f"amounts add up to {total}; a gas needs a positive, finite sum")
        present = sorted((name, float(n) / total) for name, n in amounts.items() if n > 0.0)
        return cls(tuple(present))

    @property
    def x(self) -> dict[str, float]:
        """Mole fractions by species name [-]."""
        return dict(self.fractions)

    @cached_property
    def Y(self) -> dict[str, float]:
        """Mass fractions by species name [-]."""
        known = catalogue()
        return {name: x * known[name].M / self.M for name, x in self.fractions}

    @cached_property
    def M(self) -> float:
        """Molar mass [kg/mol]."""
        known = catalogue()
        return sum(x * known[name].M for name, x in self.fractions)

    @property
    def R(self) -> float:
        """Gas constant [J/kg/K]."""
        return R_UNIVERSAL / self.M

    @cached_property
    def table(self) -> Array:
        """The row of numbers that ``pulse1d.gas.state`` reads; not to be written to [SI]."""
        basis = _basis()
        present = self.x
        x = np.array([present.get(name, 0.0) for name in catalogue()])
        mu = viscosity_wilke(x, basis.mu, basis.M)
        k_th = conductivity_mathur(x, basis.k_th)
        return layout.pack(
            self.R,
            self.R * (x @ basis.cp_high),
            self.R * (x @ basis.cp_low),
            _fit_relative(mu, basis.powers),
            _fit_relative(k_th, basis.powers),
        )


class _Basis(NamedTuple):
    """The shipped species as arrays, at the temperatures of the transport fit."""

    M: Array
    cp_high: Array
    cp_low: Array
    mu: Array
    k_th: Array
    powers: Array
    """(m, 6) powers of (T/1000)^(1/2)."""


@lru_cache(maxsize=1)
def _basis() -> _Basis:
    known = catalogue().values()
    ends = np.sqrt([T_TRANSPORT_LOW / T_UNIT, T_TRANSPORT_HIGH / T_UNIT])
    nodes = np.polynomial.chebyshev.chebpts1(FIT_NODES)
    w = ends.mean() + 0.5 * (ends[1] - ends[0]) * nodes
    powers = np.vander(w, N_TRANSPORT, increasing=True)
    return _Basis(
        M=np.array([item.M for item in known]),
        cp_high=np.array([item.cp_high for item in known]),
        cp_low=np.array([item.cp_low for item in known]),
        mu=np.array([powers @ item.mu for item in known]),
        k_th=np.array([powers @ item.k_th for item in known]),
        powers=powers,
    )


def _fit_relative(value: Array, powers: Array) -> Array:
    """Coefficients that fit a positive curve in least squares of relative error."""
    solution = np.linalg.lstsq(powers / value[:, None], np.ones_like(value), rcond=None)[0]
    return np.asarray(solution, dtype=np.float64)


def viscosity_wilke(x: Array, mu: Array, M: Array) -> Array:
    """Viscosity of a mixture by Wilke's rule.

    mu = sum_i x_i mu_i / sum_j x_j phi_ij,
    phi_ij = (1 + (mu_i/mu_j)^(1/2) (M_j/M_i)^(1/4))^2 / (8 (1 + M_i/M_j))^(1/2)

    Parameters
    ----------
    x : (n,) array   Mole fractions [-]
    mu : (n, m) array   Viscosities of the species at m temperatures [Pa s]
    M : (n,) array   Molar masses [kg/mol]
    Returns
    -------
    mu : (m,) array   Viscosity of the mixture [Pa s]
    Source      Wilke, J. Chem. Phys. 18, 1950, from memory
    """
    mass_ratio = (M[None, :] / M[:, None])[:, :, None]  # M_j / M_i
    root = 1.0 + np.sqrt(mu[:, None, :] / mu[None, :, :]) * mass_ratio**0.25
    phi = root**2 / np.sqrt(8.0 * (1.0 + 1.0 / mass_ratio))
    weight = np.einsum("j,ijm->im", x, phi)
    return np.asarray((x[:, None] * mu / weight).sum(axis=0))


def conductivity_mathur(x: Array, k_th: Array) -> Array:
    """Thermal conductivity of a mixture: mean of its parallel and series averages.

    k = (sum_i x_i k_i + 1 / sum_i x_i/k_i) / 2

    Parameters
    ----------
    x : (n,) array   Mole fractions [-]
    k_th : (n, m) array   Conductivities of the species at m temperatures [W/m/K]
    Returns
    -------
    k_th : (m,) array   Conductivity of the mixture [W/m/K]
    Source      Mathur, Tondon & Saxena, Mol. Phys. 12, 1967, from memory
    """
    return np.asarray(0.5 * (x @ k_th + 1.0 / (x @ (1.0 / k_th))))


def blend(fresh: Mixture, burned: Mixture, Y_burned: float) -> Mixture:
    """Two gases mixed by mass.

    Parameters
    ----------
    fresh : Mixture   The one gas [-]
    burned : Mixture   The other gas [-]
    Y_burned : float   Mass fraction of the other, 0 .. 1 [-]
    Returns
    -------
    mixture : Mixture   The gas they make [-]
    Errors      ValueError when the mass fraction is outside 0 .. 1.
    Source      definition
    """
    if not 0.0 <= Y_burned <= 1.0:
        raise ValueError(f"mass fraction of burned gas is {Y_burned}, must lie in 0 .. 1")
    amounts = {name: (1.0 - Y_burned) / fresh.M * x for name, x in fresh.fractions}
    for name, x in burned.fractions:
        amounts[name] = amounts.get(name, 0.0) + Y_burned / burned.M * x
    return Mixture.of(amounts)
