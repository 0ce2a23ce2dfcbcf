"""A turbine in steady flow: a nozzle that opens with expansion and does work; compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.relations import CHOKED, mach_of_mass_number, mach_of_static, stagnation_ratio
from pulse1d.losses.element import COLUMN

A_1, A_2, JET = COLUMN["A_1"], COLUMN["A_2"], COLUMN["jet"]
X_END, AREA_0, WORK_0 = COLUMN["x_end"], COLUMN["area_0"], COLUMN["work_0"]


@njit(cache=True, error_model="numpy")
def opened(row, x):
    """Effective area at an expansion, and its slope.

    Parameters
    ----------
    row : (k,) array   TURBINE step [SI]
    x : float   1 - 1/ER, ER the expansion ratio, total to static [-]
    Returns
    -------
    A, dA_dx : float   A cubic up to ``x_end``, level beyond [m2]
    """
    if x >= row[X_END]:
        return row[JET], 0.0
    t = x / row[X_END]
    s = 1.0 - t
    a, b, c = row[AREA_0], row[AREA_0 + 1], row[AREA_0 + 2]
    share = a * s * s * s + 3.0 * b * s * s * t + 3.0 * c * s * t * t + t * t * t
    slope = 3.0 * ((b - a) * s * s + 2.0 * (c - b) * s * t + (1.0 - c) * t * t)
    return row[JET] * share, row[JET] * slope / row[X_END]


@njit(cache=True, error_model="numpy")
def efficiency(row, x):
    """Efficiency, total to static, at an expansion.

    Parameters
    ----------
    row, x : as in ``opened``
    Returns
    -------
    eta : float   A parabola up to ``x_end``, level beyond [-]
    """
    t = x / row[X_END] if x < row[X_END] else 1.0
    s = 1.0 - t
    return row[WORK_0] * s * s + 2.0 * row[WORK_0 + 1] * s * t + row[WORK_0 + 2] * t * t


@njit(cache=True, error_model="numpy")
def nozzle_square(x, gamma):
    """Square of mdot sqrt(R T0)/(A p0) of a nozzle by its expansion, and its slope.

    Parameters
    ----------
    x : float   1 - 1/ER [-]
    gamma : float   [-]
    Returns
    -------
    y, dy_dx : float   Level beyond the critical expansion [-]
    Source      exact (isentropic perfect gas)
    """
    k = (gamma - 1.0) / gamma
    x_c = 1.0 - (2.0 / (gamma + 1.0)) ** (1.0 / k)
    ln_r = math.log1p(-min(x, x_c))
    two_k = 2.0 / k
    y = -two_k * math.exp(2.0 * ln_r / gamma) * math.expm1(k * ln_r)
    if x >= x_c:
        return y, 0.0
    one = math.exp(ln_r / gamma)
    return y, two_k * one * (1.0 + 1.0 / gamma - 2.0 / gamma * math.exp(-k * ln_r))


@njit(cache=True, error_model="numpy")
def expansion_of(row, m, gamma):
    """Expansion at which a turbine swallows a flow.

    Parameters
    ----------
    row : (k,) array   TURBINE step [SI]
    m : float   mdot sqrt(R T0)/p0 [m2]
    gamma : float   [-]
    Returns
    -------
    x : float   1 - 1/ER; CHOKED when it does not pass [-]
    Source      bracketed Newton on the square of the flow, which is nearly straight in x
    """
    if m <= 0.0:
        return 0.0
    low, high = 0.0, max(row[X_END], 1.0 - (2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))
    y, _ = nozzle_square(high, gamma)
    A, _ = opened(row, high)
    most = A * A * y
    if m * m > most * (1.0 + 1e-13):
        return CHOKED
    goal = min(m * m, most)
    A, _ = opened(row, 0.0)
    x = min(goal / (2.0 * A * A), 0.5 * high)
    for _ in range(100):
        A, dA = opened(row, x)
        y, dy = nozzle_square(x, gamma)
        error, slope = A * A * y - goal, A * (2.0 * dA * y + A * dy)
        if error < 0.0:
            low = x
        else:
            high = x
        new = x - error / slope if slope > 0.0 else 0.5 * (low + high)
        if not low <= new <= high:
            new = 0.5 * (low + high)
        if abs(new - x) <= 1e-15 * x or high - low <= 1e-15 * high:
            return new
        x = new
    return x


@njit(cache=True, error_model="numpy")
def through_turbine(row, mdot, p0, T0, gas):
    """A TURBINE row in forward flow.

    Parameters
    ----------
    row : (k,) array   Step [SI]
    mdot, p0, T0 : float   Flow at the row's inlet [kg/s, Pa, K]
    gas : array   Mixture table [SI]
    Returns
    -------
    M_out, p0, T0, M_in, M_throat : float   M_out CHOKED when it does not pass
    Limits      one line of the map: the rotor's speed is not modelled. Choked, it gives the work of
                the expansion at which it chokes.
    Source      isentropic nozzle; T0 falls by the efficiency times the isentropic fall to the
                static pressure behind
    """
    a_out, R = row[A_2], gas[0]
    root = mdot * math.sqrt(R * T0)
    M_in = mach_of_mass_number(root / (row[A_1] * p0), state.gamma(T0, gas))
    if M_in < 0.0:
        return CHOKED, p0, T0, 1.0, 1.0
    gamma = state.gamma(T0 / (1.0 + 0.2 * M_in * M_in), gas)
    x = expansion_of(row, root / p0, gamma)
    if x < 0.0:
        return CHOKED, p0, T0, M_in, 1.0
    ideal = -math.expm1((gamma - 1.0) / gamma * math.log1p(-x))
    p, T0_out = p0 * (1.0 - x), T0 * (1.0 - efficiency(row, x) * ideal)
    M_out = mach_of_static(mdot * math.sqrt(R * T0_out) / (a_out * p), gamma)
    M_throat = min(math.sqrt(2.0 / (gamma - 1.0) * ideal / (1.0 - ideal)), 1.0)
    return M_out, p * stagnation_ratio(M_out, gamma), T0_out, M_in, M_throat
