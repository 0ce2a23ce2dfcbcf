"""Burned gas of a fuel CHyOz and air: complete products, frozen as they leave the cylinder."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from importlib.resources import files
from math import exp, sqrt

from pulse1d.gas.air import dry_air
from pulse1d.gas.mixture import Mixture

M_ATOM = {"C": 0.012011, "H": 0.001008, "O": 0.015999}
"""Standard atomic weights, abridged [kg/mol]. Source: IUPAC 2021, from memory."""
T_FREEZE = 1700.0
"""Temperature where the composition of rich gas freezes [K]. A judgement: the water-gas reaction is
usually said to freeze between 1600 and 1800 K during expansion; 1700 +- 100 K moves K by 8 %."""
T_WATER_GAS = (1000.0, 2500.0)
"""Range of the water-gas constant [K]."""
LAMBDA_MIN = 0.6
"""Richest mixture accepted [-]. A judgement: soot and methane, not modelled, come in below."""


@dataclass(frozen=True)
class Fuel:
    """A fuel CHyOz."""

    name: str
    y: float
    """Hydrogen atoms per carbon atom."""
    z: float
    """Oxygen atoms per carbon atom."""
    heating_value: float
    """Lower [J/kg]."""
    origin: str
    """Its formula, or where the numbers come from."""


@lru_cache(maxsize=1)
def fuels() -> dict[str, Fuel]:
    """The named fuels.

    Returns
    -------
    fuels : dict   Name to Fuel [-]
    Source      pulse1d/gas/fuels.toml
    """
    text = files("pulse1d.gas").joinpath("fuels.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["fuel"]
    return {
        name: Fuel(
            name,
            row["y"],
            row["z"],
            1e6 * row["heating_value"],
            row.get("formula") or row["note"],
        )
        for name, row in rows.items()
    }


def fuel(name: str) -> Fuel:
    """A fuel by name.

    Parameters
    ----------
    name : str   Such as "gasoline" [-]
    Returns
    -------
    fuel : Fuel   The fuel [-]
    Errors      ValueError for an unknown name; it says the nearest known one.
    Source      pulse1d/gas/fuels.toml
    """
    known = fuels()
    if name in known:
        return known[name]
    folded = {key.lower(): key for key in known}
    near = get_close_matches(name.lower(), folded, n=1, cutoff=0.4)
    hint = f"did you mean {folded[near[0]]!r}? " if near else ""
    raise ValueError(
        f"fuel {name!r} is not known; {hint}known: {', '.join(known)}; "
        "or give its hydrogen to carbon and oxygen to carbon"
    )


def oxygen_needed(y: float, z: float) -> float:
    """Moles of O2 that burn one mole of CHyOz completely.

    s = 1 + y/4 - z/2

    Parameters
    ----------
    y : float   Hydrogen atoms per carbon atom, >= 0 [-]
    z : float   Oxygen atoms per carbon atom, >= 0 [-]
    Returns
    -------
    s : float   O2 per CHyOz [mol/mol]
    Errors      ValueError when a number is negative or the fuel needs no oxygen.
    Source      atom balance
    """
    s = 1.0 + y / 4.0 - z / 2.0
    if not (y >= 0.0 and z >= 0.0 and s > 0.0):
        raise ValueError(f"CH{y:g}O{z:g} is not a fuel: check hydrogen and oxygen to carbon")
    return s


def stoichiometric_afr(y: float, z: float = 0.0, air: Mixture | None = None) -> float:
    """Mass of air that burns a unit mass of CHyOz completely.

    AFR = (s / x_O2) M_air / M_fuel

    Parameters
    ----------
    y : float   Hydrogen atoms per carbon atom [-]
    z : float   Oxygen atoms per carbon atom [-]
    air : Mixture   The air, default dry [-]
    Returns
    -------
    afr : float   Stoichiometric air-fuel ratio [kg/kg]
    Errors      ValueError when CHyOz is not a fuel.
    Source      atom balance
    """
    air = air or dry_air()
    M_fuel = M_ATOM["C"] + y * M_ATOM["H"] + z * M_ATOM["O"]
    return oxygen_needed(y, z) / air.x["O2"] * air.M / M_fuel


def water_gas_constant(T: float) -> float:
    """Equilibrium constant of CO2 + H2 = CO + H2O.

    K = x_CO x_H2O / (x_CO2 x_H2),
    ln K = 2.743 - 1.761/t - 1.611/t^2 + 0.2803/t^3,  t = T/1000

    Parameters
    ----------
    T : float   Temperature, 1000 .. 2500 [K]
    Returns
    -------
    K_wg : float   Equilibrium constant [-]
    Errors      ValueError outside the range.
    Limits      within 3 % of the GRI-Mech 3.0 data over the range
    Source      Heywood 1988, section 4.6, fit to JANAF data, from memory
    """
    if not T_WATER_GAS[0] <= T <= T_WATER_GAS[1]:
        low, high = T_WATER_GAS
        raise ValueError(f"freeze temperature is {T:g} K, must lie in {low:g} .. {high:g} K")
    t = T / 1000.0
    return exp(2.743 - 1.761 / t - 1.611 / t**2 + 0.2803 / t**3)


def products(
    y: float, z: float, lambda_: float, K_wg: float, air: Mixture | None = None
) -> Mixture:
    """Products of CHyOz and air at a given water-gas constant.

    Lean: CO2, H2O, N2, O2, AR. Rich: no O2 is left, and CO and H2 follow from the balances of
    C, H and O with x_CO x_H2O = K_wg x_CO2 x_H2.

    Parameters
    ----------
    y : float   Hydrogen atoms per carbon atom [-]
    z : float   Oxygen atoms per carbon atom [-]
    lambda_ : float   Air-fuel ratio over the stoichiometric one, >= 0.6 [-]
    K_wg : float   Water-gas constant, used when rich [-]
    air : Mixture   Combustion air, default dry [-]
    Returns
    -------
    gas : Mixture   The products [-]
    Errors      ValueError when CHyOz is not a fuel or the mixture too rich.
    Limits      no dissociation: at 2200 K and 6 bar 0.6 % of CO is left out (GRI-Mech 3.0)
    Source      atom balance
    """
    air = air or dry_air()
    s = oxygen_needed(y, z)
    if not LAMBDA_MIN <= lambda_ < float("inf"):
        raise ValueError(
            f"lambda is {lambda_:g}, must be {LAMBDA_MIN:g} or more (soot is not modelled)"
        )
    scale = lambda_ * s / air.x["O2"]
    amounts = {name: scale * x for name, x in air.fractions}
    carbon = 1.0 + amounts.get("CO2", 0.0)
    hydrogen = 0.5 * y + amounts.get("H2O", 0.0)
    short = 2.0 * s * (1.0 - lambda_)  # oxygen atoms that complete products lack
    CO = _carbon_monoxide(carbon, hydrogen, short, K_wg) if short > 0.0 else 0.0
    H2 = short - CO if short > 0.0 else 0.0
    amounts |= {"CO2": carbon - CO, "H2O": hydrogen - H2, "O2": -0.5 * short}
    amounts |= {"CO": CO, "H2": H2}
    return Mixture.of({name: max(amount, 0.0) for name, amount in amounts.items()})


def _carbon_monoxide(C: float, H: float, d: float, K_wg: float) -> float:
    """CO from CO (H - d + CO) = K (C - CO)(d - CO): the root between 0 and min(C, d)."""
    if d >= C + H:
        raise ValueError("too rich: there is no oxygen left to share between CO and H2O")
    B = (H - d) + K_wg * (C + d)
    return 2.0 * K_wg * C * d / (B + sqrt(B * B + 4.0 * (1.0 - K_wg) * K_wg * C * d))


def burned_gas(
    y: float,
    z: float = 0.0,
    lambda_: float = 1.0,
    T_freeze: float = T_FREEZE,
    air: Mixture | None = None,
) -> Mixture:
    """Burned gas of CHyOz, its CO and H2 frozen at a temperature.

    Parameters
    ----------
    y : float   Hydrogen atoms per carbon atom [-]
    z : float   Oxygen atoms per carbon atom [-]
    lambda_ : float   Air-fuel ratio over the stoichiometric one, >= 0.6 [-]
    T_freeze : float   Where the water-gas reaction freezes, 1000 .. 2500 [K]
    air : Mixture   Combustion air, default dry [-]
    Returns
    -------
    gas : Mixture   The products [-]
    Errors      ValueError when CHyOz is not a fuel, or a number is out of range.
    Source      ``products`` with ``water_gas_constant``
    """
    return products(y, z, lambda_, water_gas_constant(T_freeze), air)
