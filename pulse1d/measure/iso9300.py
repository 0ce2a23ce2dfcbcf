"""Toroidal-throat critical nozzles in air: ISO 9300, from memory."""

from __future__ import annotations

import math

import numpy as np

from pulse1d.measure.air import Number, Stream
from pulse1d.measure.iso5167 import viscosity

DISCHARGE = {"as turned": (0.9959, 2.720), "accurately machined": (0.9985, 3.412)}
"""a and b of Cd = a - b Re^(-1/2) [-]."""
REYNOLDS = {"as turned": (2.1e4, 3.2e7), "accurately machined": (2.1e4, 1.4e6)}
"""Range that they hold in, from memory [-]."""
REAL = 4.0e-9
"""Growth of C* with pressure, real gas over ideal [1/Pa]: nitrogen's, by Cantera's equation of
state, is 3.9e-9 at 20 degC."""
REAL_U = 1.0e-9
"""Standard uncertainty of ``REAL`` for air in a shop (judgement) [1/Pa]."""
BACK = 0.528
"""Largest p_behind/p0 taken as choked [-]. With a diffuser it is up to about 0.85, but that depends
on a diffuser that nobody has described here."""


def critical_flow_function(p: Number, gamma: Number) -> Number:
    """C* of air: mdot (R T0)^(1/2) / (A p0) at the throat, Cd apart.

    Parameters
    ----------
    p : float or array   Pressure in front of the nozzle [Pa]
    gamma : float or array   Ratio of specific heats [-]
    Returns
    -------
    C_star : float or array   [-]
    Limits      up to 1 MPa, where ``REAL`` was looked at
    Source      ideal gas (NACA Report 1135, from memory) times 1 + ``REAL`` p
    """
    ideal = np.sqrt(gamma) * (2.0 / (gamma + 1.0)) ** (0.5 * (gamma + 1.0) / (gamma - 1.0))
    return ideal * (1.0 + REAL * p)


def real_gas_u(p: float) -> float:
    """Relative standard uncertainty of the real-gas part of C*.

    Parameters
    ----------
    p : float   Pressure in front of the nozzle [Pa]
    Returns
    -------
    u : float   [-]
    Source      ``REAL_U``
    """
    return REAL_U * p


def discharge_coefficient(finish: str, Re: Number) -> Number:
    """Cd of a toroidal throat.

    Parameters
    ----------
    finish : str   as turned | accurately machined [-]
    Re : float or array   4 mdot / (pi d mu0) [-]
    Returns
    -------
    Cd : float or array   [-]
    Limits      ``REYNOLDS``
    Source      ISO 9300:2005, from memory
    """
    a, b = DISCHARGE[finish]
    return a - b / np.sqrt(Re)


def mass_flow(throat: float, finish: str, air: Stream) -> Number:
    """Mass flow of a choked nozzle.

    Parameters
    ----------
    throat : float   Diameter [m]
    finish : str   as turned | accurately machined [-]
    air : Stream   In front of the nozzle, at rest [SI]
    Returns
    -------
    mdot : float or array   [kg/s]
    Limits      choked; see ``check``
    Source      ISO 9300:2005, from memory
    """
    ideal = critical_flow_function(air.p, air.gamma) * 0.25 * math.pi * throat**2 * air.p
    ideal = ideal / np.sqrt(air.R * air.T)
    mdot = 0.99 * ideal
    for _ in range(3):  # Cd moves by 0.5 % of a change of Re: 1e-7 after the second step
        mdot = ideal * discharge_coefficient(finish, _reynolds(throat, mdot, air))
    return mdot


def _reynolds(throat: float, mdot: Number, air: Stream) -> Number:
    return 4.0 * mdot / (math.pi * throat * viscosity(air.T))


def check(name: str, throat: float, finish: str, air: Stream, p_behind: float | None) -> list[str]:
    """What is doubtful about one reading of a nozzle.

    Parameters
    ----------
    name : str   Of the meter [-]
    throat : float   Diameter [m]
    finish : str   as turned | accurately machined [-]
    air : Stream   In front of the nozzle [SI]
    p_behind : float or None   Pressure behind it where it is known [Pa]
    Returns
    -------
    warnings : list of str   [-]
    Errors      ValueError when the nozzle is not choked for certain.
    """
    found = []
    if p_behind is None:
        found.append(
            f"{name}: the pressure behind the nozzle is not read; see that it stays below "
            f"{1e-3 * BACK * float(air.p):.0f} kPa"
        )
    elif p_behind > BACK * float(air.p):
        raise ValueError(
            f"{name}: {1e-3 * p_behind:.1f} kPa behind the nozzle is "
            f"{p_behind / float(air.p):.3f} of the pressure in front, and it is choked for certain "
            f"only up to {BACK}; raise the pressure above {1e-3 * p_behind / BACK:.0f} kPa abs"
        )
    low, high = REYNOLDS[finish]
    Re = float(_reynolds(throat, mass_flow(throat, finish, air), air))
    if not low <= Re <= high:
        found.append(
            f"{name}: ISO 9300 gives Cd for Reynolds numbers {low:.2g} to {high:.2g}, here it is "
            f"{Re:.2g}; use another nozzle"
        )
    return found
