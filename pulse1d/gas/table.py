"""Layout of a gas table: the flat row of numbers that compiled property functions read.

cp(T) = sum_k a_k z^k + sum_k b_k m^k  with  z = T/1000 - 1  and  m = min(z, 0):

one polynomial above 1000 K and one below, equal in value and slope at 1000 K by construction
(b starts at k = 2), without a branch. The entries for h and s0 are its exact integrals. R and
every entry of cp, h and s0 are linear in mass fraction, so tables of two gases may be mixed by mass
there; the viscosity and conductivity of a blend are not linear in it.

mu and k_th are polynomials in w = (T/1000)^(1/2): no logarithm, no exponential, and 0.1 % good.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

R_UNIVERSAL = 8.314462618
"""Molar gas constant [J/mol/K]. Source: CODATA 2018, exact to the digits given."""

T_UNIT = 1000.0
"""Unit of temperature in the polynomials, and the joint of the two ranges [K]."""
T_LOW = 150.0
T_HIGH = 3000.0
"""Range of the heat capacity fits [K]; outside it cp keeps its value at the end."""
T_DATUM = 298.15
"""Temperature where h and s0 are zero [K]."""
T_TRANSPORT_LOW = 200.0
T_TRANSPORT_HIGH = 2500.0
"""Range of the transport fits [K]; outside it they go on as power laws of T."""

N_HIGH, N_LOW, N_TRANSPORT = 5, 4, 6
"""Number of coefficients: a_0..a_4, b_2..b_5, and of each transport fit in w."""

R = 0
CP_A = 1
CP_B = CP_A + N_HIGH
H_A = CP_B + N_LOW
H_B = H_A + N_HIGH
H_0 = H_B + N_LOW
S_A = H_0 + 1
S_B = S_A + N_HIGH
S_0 = S_B + N_LOW + 2
MU = S_0 + 1
K_TH = MU + N_TRANSPORT + 2
SIZE = K_TH + N_TRANSPORT + 2
"""Places in the row. S_A: of ln(T/1000), then z^1..z^4; S_B: of min(ln(T/1000), 0), m^1..m^5.
MU, K_TH: of w^0..w^5, then the exponents d ln/d ln T at 200 and 2500 K."""


def pack(R_gas: float, high: Array, low: Array, mu: Array, k_th: Array) -> Array:
    """The table of a gas from its heat capacity and transport coefficients.

    h = int cp dT and s0 = int cp/T dT, both zero at 298.15 K

    Parameters
    ----------
    R_gas : float   Gas constant [J/kg/K]
    high : (5,) array   a_0..a_4 of cp [J/kg/K]
    low : (4,) array   b_2..b_5 of cp [J/kg/K]
    mu : (6,) array   Viscosity in powers of (T / 1000 K)^(1/2) [Pa s]
    k_th : (6,) array   Conductivity in powers of (T / 1000 K)^(1/2) [W/m/K]
    Returns
    -------
    table : (50,) array   The row that ``pulse1d.gas.state`` reads [SI]
    Source      polynomial integration, exact
    """
    table = np.zeros(SIZE)
    table[R] = R_gas
    table[CP_A:CP_B] = high
    table[CP_B:H_A] = low
    table[H_A:H_B] = T_UNIT * high / np.arange(1, N_HIGH + 1)
    table[H_B:H_0] = T_UNIT * low / np.arange(3, N_LOW + 3)
    table[S_A:S_B] = _over_T(high)
    table[S_B:S_0] = _over_T(np.concatenate(([0.0, 0.0], low)))
    table[MU:K_TH] = np.concatenate((mu, _exponents(mu)))
    table[K_TH:SIZE] = np.concatenate((k_th, _exponents(k_th)))
    table[H_0] = -_h_datum(table)
    table[S_0] = -_s_datum(table)
    return table


def _over_T(p: Array) -> Array:
    """int p(z)/(1 + z) dz as the coefficient of ln(1 + z), then those of z^1, z^2, ..."""
    rest = p.copy()
    for k in range(len(p) - 2, -1, -1):  # synthetic division by z + 1; rest[0] is the remainder
        rest[k] -= rest[k + 1]
    return np.concatenate((rest[:1], rest[1:] / np.arange(1, len(p))))


def _exponents(p: Array) -> Array:
    """d ln p/d ln T of a polynomial in w = (T/1000)^(1/2) at the ends of its range."""
    w = np.sqrt([T_TRANSPORT_LOW / T_UNIT, T_TRANSPORT_HIGH / T_UNIT])
    k = np.arange(len(p))
    return np.asarray([0.5 * (k * p @ end**k) / (p @ end**k) for end in w])


def _powers(first: int, count: int) -> Array:
    z = T_DATUM / T_UNIT - 1.0
    return np.asarray(z ** np.arange(first, first + count), dtype=np.float64)


def _h_datum(table: Array) -> float:
    above = table[H_A:H_B] @ _powers(1, N_HIGH)
    return float(above + table[H_B:H_0] @ _powers(3, N_LOW))


def _s_datum(table: Array) -> float:
    z_powers = _powers(0, N_LOW + 2)
    z_powers[0] = np.log(T_DATUM / T_UNIT)
    return float(table[S_A:S_B] @ z_powers[:N_HIGH] + table[S_B:S_0] @ z_powers)
