"""Makes the species files from Cantera: ``python -m pulse1d.gas.fit [NAME ...]`` rewrites them.

Thermodynamics and transport are those of GRI-Mech 3.0 (``gri30.yaml``, shipped with Cantera). Below
the temperature where a species' polynomial starts in that mechanism (300 K for N2 and AR) the data
are led over to the NASA-9 polynomials (``nasa_gas.yaml``), because the extrapolation is 1.1 % low
for N2 at 200 K. Only this file uses Cantera, and only when asked to.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.gas.species import FORMAT, catalogue
from pulse1d.gas.table import (
    N_HIGH,
    N_LOW,
    N_TRANSPORT,
    T_HIGH,
    T_LOW,
    T_TRANSPORT_HIGH,
    T_TRANSPORT_LOW,
    T_UNIT,
    Array,
)

MECHANISM = "gri30.yaml"
LOW_DATA = "nasa_gas.yaml"
T_LOW_DATA = 200.0
"""Start of the NASA-9 data; below it their value at 200 K is kept [K]."""
T_TARGET = (250.0, 2000.0)
"""Range where the accuracy targets hold; fit weight outside it is OUTER_WEIGHT [K]."""
OUTER_WEIGHT = 0.5
"""Judgement: halves the say of 150-250 K and 2000-3000 K, where runners seldom are."""


@dataclass(frozen=True)
class Fit:
    """Coefficients of one species and the largest relative errors of the fits."""

    name: str
    M: float
    cp_high: Array
    cp_low: Array
    mu: Array
    k_th: Array
    errors: dict[str, float]
    T_start: float
    """Where the species' own data start in the mechanism [K]."""


def derive(name: str) -> Fit:
    """Fits one species to Cantera.

    Parameters
    ----------
    name : str   Species of gri30.yaml, such as "N2" [-]
    Returns
    -------
    fit : Fit   Coefficients as shipped, and their largest relative errors [SI, -]
    Errors      ImportError without Cantera; ValueError for a species that the mechanism lacks.
    Source      GRI-Mech 3.0 (Smith et al. 1999) and NASA-9 (McBride, Zehe & Gordon, NASA
                TP-2002-211556), through the files shipped with Cantera
    """
    import cantera as ct

    gas = ct.Solution(MECHANISM)
    if name not in gas.species_names:
        raise ValueError(f"{MECHANISM} has no species {name!r}")
    thermo = gas.species(name).thermo
    T = np.geomspace(T_LOW, T_HIGH, 400)
    target = _cp_data(ct, name, thermo, T)
    high, low, cp_error = _fit_cp(T, target)
    T_tr = np.geomspace(T_TRANSPORT_LOW, T_TRANSPORT_HIGH, 200)
    mu_data, k_data = _transport_data(gas, name, T_tr)
    mu, mu_error = _fit_transport(T_tr, mu_data)
    k_th, k_error = _fit_transport(T_tr, k_data)
    inside = _in_target(T)
    errors = {
        "cp": float(cp_error[inside].max()),
        "cp_wide": float(cp_error.max()),
        "mu": mu_error,
        "k_th": k_error,
    }
    M = float(gas.molecular_weights[gas.species_index(name)]) / 1000.0
    return Fit(name, M, high, low, mu, k_th, errors, float(thermo.min_temp))


def _in_target(T: Array) -> NDArray[np.bool_]:
    low, high = T_TARGET
    return (low <= T) & (high >= T)


def _cp_data(ct: Any, name: str, thermo: Any, T: Array) -> Array:
    """cp/R of the mechanism, led over to NASA-9 between the species' own start and 200 K."""
    own: Array = np.array([thermo.cp(value) for value in T]) / ct.gas_constant
    if thermo.min_temp <= T_LOW_DATA:
        return own
    wanted = name.upper()
    nasa = next(s for s in ct.Species.list_from_file(LOW_DATA) if s.name.upper() == wanted).thermo
    low = np.array([nasa.cp(max(value, T_LOW_DATA)) for value in T]) / ct.gas_constant
    share = np.clip((thermo.min_temp - T) / (thermo.min_temp - T_LOW_DATA), 0.0, 1.0)
    return np.asarray((1.0 - share) * own + share * low, dtype=np.float64)


def _fit_cp(T: Array, target: Array) -> tuple[Array, Array, Array]:
    """Weighted least squares of relative error in the truncated powers of ``table.py``."""
    z = T / T_UNIT - 1.0
    m = np.minimum(z, 0.0)
    basis = np.column_stack([z**k for k in range(N_HIGH)] + [m**k for k in range(2, N_LOW + 2)])
    weight = np.where(_in_target(T), 1.0, OUTER_WEIGHT) / target
    solution = np.linalg.lstsq(basis * weight[:, None], target * weight, rcond=None)[0]
    found = np.asarray(solution, dtype=np.float64)
    return found[:N_HIGH], found[N_HIGH:], np.abs(basis @ found / target - 1.0)


def _transport_data(gas: Any, name: str, T: Array) -> tuple[Array, Array]:
    mu, k_th = np.empty_like(T), np.empty_like(T)
    for i, value in enumerate(T):
        gas.TPX = value, 101325.0, {name: 1.0}
        mu[i], k_th[i] = gas.viscosity, gas.thermal_conductivity
    return mu, k_th


def _fit_transport(T: Array, value: Array) -> tuple[Array, float]:
    """Least squares of relative error in powers of (T/1000)^(1/2)."""
    basis = np.vander(np.sqrt(T / T_UNIT), N_TRANSPORT, increasing=True) / value[:, None]
    solution = np.linalg.lstsq(basis, np.ones_like(value), rcond=None)[0]
    found = np.asarray(solution, dtype=np.float64)
    return found, float(np.abs(basis @ found - 1.0).max())


def render(fit: Fit, cantera_version: str, today: str) -> str:
    """The text of a species file.

    Parameters
    ----------
    fit : Fit   Coefficients and errors [SI, -]
    cantera_version : str   Version of Cantera that gave the data [-]
    today : str   Date for the header [ISO 8601]
    Returns
    -------
    text : str   Contents of ``data/<NAME>.toml`` [-]
    Source      the format that ``pulse1d.gas.species.read`` reads
    """
    percent = {key: f"{100.0 * value:.3f}" for key, value in fit.errors.items()}
    cp_scale = np.abs(fit.cp_high).max()
    led = fit.T_start > T_LOW_DATA
    below = f"; {LOW_DATA} (NASA-9) led in from {fit.T_start:g} K down" if led else ""
    return f"""\
# Made by pulse1d.gas.fit from Cantera {cantera_version} on {today}; do not edit, make it again.
# cp/R = sum a_k z^k + sum b_k min(z, 0)^k with z = T/1000 K - 1
# mu and k_th in rising powers of (T/1000 K)^(1/2)
format = {FORMAT}
name = "{fit.name}"
origin = "Cantera {cantera_version}, {MECHANISM} (GRI-Mech 3.0){below}"
M = {fit.M:.9g}  # kg/mol

[cp]  # cp/R [-]; data start at {fit.T_start:g} K, below that extrapolated or led over
valid = [{T_LOW:g}, {T_HIGH:g}]  # K
error = {percent["cp"]}  # %, largest over {T_TARGET[0]:g}-{T_TARGET[1]:g} K
error_wide = {percent["cp_wide"]}  # %, largest over the whole range
high = {_row(fit.cp_high, cp_scale)}  # a_0..a_4
low = {_row(fit.cp_low, cp_scale)}  # b_2..b_5

[mu]  # viscosity [Pa s]
valid = [{T_TRANSPORT_LOW:g}, {T_TRANSPORT_HIGH:g}]  # K
error = {percent["mu"]}  # %
powers = {_row(fit.mu, np.abs(fit.mu).max())}

[k_th]  # conductivity [W/m/K]
valid = [{T_TRANSPORT_LOW:g}, {T_TRANSPORT_HIGH:g}]  # K
error = {percent["k_th"]}  # %
powers = {_row(fit.k_th, np.abs(fit.k_th).max())}
"""


def _row(values: Array, scale: float) -> str:
    """Ten digits of the largest: beyond what the fit means, and free of round-off where it is 0."""
    last = 10 - int(np.ceil(np.log10(scale)))
    return "[" + ", ".join(repr(round(float(value), last) + 0.0) for value in values) + "]"


def main(names: list[str]) -> None:
    """Rewrites species files in this package's ``data`` folder.

    Parameters
    ----------
    names : list of str   Species to make; empty for every one shipped [-]
    Errors      ImportError without Cantera; ValueError for a species that the mechanism lacks.
    Source      ``derive``
    """
    import cantera as ct

    folder = Path(__file__).parent / "data"
    for name in names or list(catalogue()):
        text = render(derive(name), ct.__version__, date.today().isoformat())
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
