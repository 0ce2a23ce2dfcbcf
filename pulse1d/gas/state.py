"""Compiled properties of an ideal gas of frozen composition from temperature and its table.

Every function takes scalars and the table of a ``Mixture`` and can be called from other compiled
code. Outside 150-3000 K cp keeps its value at the end, and h, e and s0 follow from it exactly, so
nothing raises and T_from_h stays unique; viscosity and conductivity go on outside 200-2500 K,
smooth, rising and positive.
"""

# mypy: disable-error-code="no-any-return"
# numba is untyped: what one compiled function returns to another is Any.

from __future__ import annotations

from math import exp, inf, log, sqrt

from numba import njit

from pulse1d.gas.table import (
    CP_A,
    CP_B,
    H_0,
    H_A,
    H_B,
    K_TH,
    MU,
    S_0,
    S_A,
    S_B,
    T_DATUM,
    T_HIGH,
    T_LOW,
    T_TRANSPORT_HIGH,
    T_TRANSPORT_LOW,
    T_UNIT,
    Array,
    R,
)

STEP_TOLERANCE = 1e-7
"""A Newton step this small leaves an error of about its square: below round-off [-, of T]."""
MAX_STEPS = 60
"""Newton needs 3-5 steps from a cold start; this only bounds the loop [-]."""


@njit(cache=True, error_model="numpy")
def _reduced(T: float) -> float:
    return min(max(T, T_LOW), T_HIGH) / T_UNIT - 1.0


@njit(cache=True, error_model="numpy")
def _four(x: float, t: Array, i: int) -> float:
    return (t[i] + x * t[i + 1]) + x * x * (t[i + 2] + x * t[i + 3])


@njit(cache=True, error_model="numpy")
def cp(T: float, table: Array) -> float:
    """Heat capacity at constant pressure.

    cp = sum a_k z^k + sum b_k min(z,0)^k,  z = T/1000 - 1

    Parameters
    ----------
    T : float   Temperature, 150 .. 3000; constant outside [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    cp : float   Heat capacity [J/kg/K]
    Limits      within 0.35 % of GRI-Mech 3.0 over 250-2000 K for each species
    Source      fits of the species files, mixed by mole
    """
    z = _reduced(T)
    m = min(z, 0.0)
    return table[CP_A] + z * _four(z, table, CP_A + 1) + m * m * _four(m, table, CP_B)


@njit(cache=True, error_model="numpy")
def h(T: float, table: Array) -> float:
    """Sensible enthalpy, zero at 298.15 K.

    h = int cp dT

    Parameters
    ----------
    T : float   Temperature [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    h : float   Enthalpy [J/kg]
    Source      exact integral of ``cp``
    """
    z = _reduced(T)
    m = min(z, 0.0)
    inside = z * (_four(z, table, H_A) + (z * z) * (z * z) * table[H_A + 4])
    inside += m * m * m * _four(m, table, H_B) + table[H_0]
    beyond = T - T_UNIT * (1.0 + z)
    if T_LOW <= T <= T_HIGH:
        return inside
    return inside + cp(T, table) * beyond


@njit(cache=True, error_model="numpy")
def s0(T: float, table: Array) -> float:
    """Entropy function, zero at 298.15 K: s_2 - s_1 = s0(T_2) - s0(T_1) - R ln(p_2/p_1).

    s0 = int cp/T dT

    Parameters
    ----------
    T : float   Temperature, > 0 [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    s0 : float   Entropy function [J/kg/K]
    Source      exact integral of ``cp``/T
    """
    z = _reduced(T)
    m = min(z, 0.0)
    ln_t = log(1.0 + z)
    above = table[S_A] * ln_t + z * _four(z, table, S_A + 1)
    below = table[S_B] * min(ln_t, 0.0)
    below += m * (_four(m, table, S_B + 1) + (m * m) * (m * m) * table[S_B + 5])
    inside = above + below + table[S_0]
    if T_LOW <= T <= T_HIGH:
        return inside
    return inside + cp(T, table) * (log(T / T_UNIT) - ln_t)


@njit(cache=True, error_model="numpy")
def cv(T: float, table: Array) -> float:
    """Heat capacity at constant volume, cp - R.

    Parameters
    ----------
    T : float   Temperature [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    cv : float   Heat capacity [J/kg/K]
    Source      ideal gas
    """
    return cp(T, table) - table[R]


@njit(cache=True, error_model="numpy")
def e(T: float, table: Array) -> float:
    """Internal energy h - R T, of the same datum as h: -R 298.15 K at 298.15 K.

    Parameters
    ----------
    T : float   Temperature [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    e : float   Internal energy [J/kg]
    Source      ideal gas
    """
    return h(T, table) - table[R] * T


@njit(cache=True, error_model="numpy")
def gamma(T: float, table: Array) -> float:
    """Ratio of heat capacities cp/(cp - R).

    Parameters
    ----------
    T : float   Temperature [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    gamma : float   Ratio [-]
    Source      ideal gas
    """
    heat = cp(T, table)
    return heat / (heat - table[R])


@njit(cache=True, error_model="numpy")
def sound_speed(T: float, table: Array) -> float:
    """Frozen speed of sound sqrt(gamma R T).

    Parameters
    ----------
    T : float   Temperature, >= 0 [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    a : float   Speed of sound [m/s]
    Source      ideal gas
    """
    return sqrt(gamma(T, table) * table[R] * T)


@njit(cache=True, error_model="numpy")
def _transport(T: float, t: Array, i: int) -> float:
    """Quintic in w = (T/1000)^(1/2), continued outside its range, equal in value and slope there.

    Below: times r/(n + (1 - n) r), r = T/200. Above: times 1 + n (r - 1), r = T/2500.
    n = d ln(value)/d ln T at the end. Both are positive and rise for every n > 0.
    """
    w = sqrt(min(max(T, T_TRANSPORT_LOW), T_TRANSPORT_HIGH) / T_UNIT)
    value = _four(w, t, i) + (w * w) * (w * w) * (t[i + 4] + w * t[i + 5])
    below = min(T / T_TRANSPORT_LOW, 1.0)
    above = max(T / T_TRANSPORT_HIGH, 1.0)
    value *= below / (t[i + 6] + (1.0 - t[i + 6]) * below)
    return value * (1.0 + t[i + 7] * (above - 1.0))


@njit(cache=True, error_model="numpy")
def mu(T: float, table: Array) -> float:
    """Dynamic viscosity.

    mu = sum m_k (T/1000)^(k/2)

    Parameters
    ----------
    T : float   Temperature, > 0; fitted over 200 .. 2500, continued outside [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    mu : float   Viscosity [Pa s]
    Limits      air is 1.2 % above measured values at 300 K, as GRI-Mech 3.0 is
    Source      species fits to GRI-Mech 3.0, mixed by Wilke's rule
    """
    return _transport(T, table, MU)


@njit(cache=True, error_model="numpy")
def k_th(T: float, table: Array) -> float:
    """Thermal conductivity.

    k_th = sum c_k (T/1000)^(k/2)

    Parameters
    ----------
    T : float   Temperature, > 0; fitted over 200 .. 2500, continued outside [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    k_th : float   Thermal conductivity [W/m/K]
    Source      species fits to GRI-Mech 3.0, mixed by the rule of Mathur, Tondon & Saxena
    """
    return _transport(T, table, K_TH)


@njit(cache=True, error_model="numpy")
def prandtl(T: float, table: Array) -> float:
    """Prandtl number mu cp/k_th.

    Parameters
    ----------
    T : float   Temperature, > 0 [K]
    table : (50,) array   ``Mixture.table`` [SI]
    Returns
    -------
    Pr : float   Prandtl number [-]
    Source      definition
    """
    return mu(T, table) * cp(T, table) / k_th(T, table)


@njit(cache=True, error_model="numpy")
def _invert(target: float, c: float, table: Array, T_guess: float) -> float:
    """T where h(T) - c T = target, by Newton's method kept inside the bracket found so far.

    The left side rises everywhere and, save a dip of cp under 1 % at low T, is convex: Newton lands
    above the root and descends to it. The bracket makes sure of the rest.
    """
    low, high = -inf, inf
    T = T_guess
    for _ in range(MAX_STEPS):
        miss = target - h(T, table) + c * T
        if miss > 0.0:
            low = T
        else:
            high = T
        T_next = T + miss / (cp(T, table) - c)
        if not low <= T_next <= high:
            T_next = 0.5 * (low + high)
        step = T_next - T
        T = T_next
        if abs(step) <= STEP_TOLERANCE * abs(T):
            break
    return T


@njit(cache=True, error_model="numpy")
def T_from_h(h_target: float, table: Array, T_guess: float = T_DATUM) -> float:
    """Temperature of a sensible enthalpy.

    Parameters
    ----------
    h_target : float   Enthalpy, zero at 298.15 K [J/kg]
    table : (50,) array   ``Mixture.table`` [SI]
    T_guess : float   Start of the search, finite; a near one saves steps [K]
    Returns
    -------
    T : float   Temperature, exact to round-off [K]
    Limits      never raises; an enthalpy lower than that of 0 K gives T < 0
    Source      safeguarded Newton on ``h``
    """
    return _invert(h_target, 0.0, table, T_guess)


@njit(cache=True, error_model="numpy")
def T_from_e(e_target: float, table: Array, T_guess: float = T_DATUM) -> float:
    """Temperature of an internal energy.

    Parameters
    ----------
    e_target : float   Internal energy, of the datum of ``e`` [J/kg]
    table : (50,) array   ``Mixture.table`` [SI]
    T_guess : float   Start of the search, finite; a near one saves steps [K]
    Returns
    -------
    T : float   Temperature, exact to round-off [K]
    Limits      never raises; an energy lower than that of 0 K gives T < 0
    Source      safeguarded Newton on ``e``
    """
    return _invert(e_target, table[R], table, T_guess)


@njit(cache=True, error_model="numpy")
def T_from_s0(s0_target: float, table: Array, T_guess: float = T_DATUM) -> float:
    """Temperature of an entropy function: the end of an isentropic change.

    s0(T_2) = s0(T_1) + R ln(p_2/p_1)

    Parameters
    ----------
    s0_target : float   Entropy function, zero at 298.15 K [J/kg/K]
    table : (50,) array   ``Mixture.table`` [SI]
    T_guess : float   Start of the search, > 0; a near one saves steps [K]
    Returns
    -------
    T : float   Temperature, exact to round-off [K]
    Source      Newton in ln T, where s0 has the slope cp: as convex as ``_invert`` says
    """
    T = T_guess
    for _ in range(MAX_STEPS):
        step = (s0_target - s0(T, table)) / cp(T, table)
        T *= exp(step)
        if abs(step) <= STEP_TOLERANCE:
            break
    return T
