"""Quasi-steady flow through a throat, a nozzle and a step, and the root search that closes them.

Everything is written in X = (p/P_REF)^h/gamma, h = (gamma-1)/2: then p0/p = (1 + h M2)^(gamma/2h)
reads X0/X = (1 + h M2)^1/2. v is positive out of the pipe, and a pipe offers the line
k X + h v = B.
"""

from __future__ import annotations

import math

from numba import njit

INTO_VESSEL, OUT_OF_VESSEL, STEP = 0, 1, 2
"""Balances that ``root`` closes."""
TIGHT = 1e-13
"""Width of the last bracket over X: a hundred times round-off."""


@njit(cache=True, error_model="numpy")
def flow_number(M2, gamma):
    """Mass flow over A p0 sqrt(gamma/(R T0)).

    Parameters
    ----------
    M2, gamma : float   Mach number squared, ratio of specific heats [-]
    Returns
    -------
    m : float   M (1 + h M2)^(-(gamma+1)/(4 h)) [-]
    Source      Isentropic flow, derived
    """
    h = 0.5 * (gamma - 1.0)
    return math.sqrt(M2) * (1.0 + h * M2) ** (-0.25 * (gamma + 1.0) / h)


@njit(cache=True, error_model="numpy")
def throat(ratio, gamma):
    """Flow number of a throat, choked at most.

    Parameters
    ----------
    ratio : float   X0 ahead of it over X behind it [-]
    gamma : float   [-]
    Returns
    -------
    m : float   as in ``flow_number`` [-]
    """
    h = 0.5 * (gamma - 1.0)
    return flow_number(min(max((ratio * ratio - 1.0) / h, 0.0), 1.0), gamma)


@njit(cache=True, error_model="numpy")
def behind_narrowing(m, K, gamma):
    """Mach number in the smaller pipe behind a contraction.

    ln m(M) - gamma K M2/2 = ln m, Newton from below in ln M (concave, so it cannot overshoot)

    Parameters
    ----------
    m : float   Flow number on the smaller area and the p0 ahead [-]
    K : float   Loss on the Mach number behind [-]
    gamma : float   [-]
    Returns
    -------
    M : float   Subsonic root, or the choking Mach number [-]
    """
    if m <= 0.0:
        return 0.0
    h = 0.5 * (gamma - 1.0)
    g_K = gamma * K
    choke = 2.0 / (1.0 + g_K + math.sqrt((1.0 + g_K) ** 2 + 4.0 * h * g_K))
    target = math.log(m)
    M2 = min(m * m, choke)
    for _ in range(60):
        q = 1.0 + h * M2
        miss = math.log(flow_number(M2, gamma)) - 0.5 * g_K * M2 - target
        slope = 1.0 - 0.5 * (gamma + 1.0) * M2 / q - g_K * M2
        if slope < 1e-9 or miss >= 0.0 or -miss < 1e-15:
            break
        M2 = min(M2 * math.exp(-2.0 * miss / slope), choke)
    return math.sqrt(M2)


@njit(cache=True, error_model="numpy")
def behind_step(X, v, aA, step, gas):
    """State behind a sudden change of area, from the state ahead.

    Wider: mass, energy and momentum with the wall at the pressure ahead (Borda). Narrower:
    ln p0 falls by gamma K M2/2 with the M behind.

    Parameters
    ----------
    X, v, aA : float   Ahead; v into the step [-, m/s, m/s]
    step : tuple of 2 floats   Area behind over area ahead, K of a contraction [-]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    X_2, w, aA_2 : float   Behind; w away from the step [-, m/s, m/s]
    Source      Conservation laws
    """
    gamma, _ = gas
    if v <= 0.0:
        return X, 0.0, aA
    ratio, K = step
    h = 0.5 * (gamma - 1.0)
    a2 = X * X * aA * aA
    M2 = v * v / a2
    a0_2 = a2 * (1.0 + h * M2)
    if ratio >= 1.0:
        # (gamma+1)/(2 gamma) w2 - I w + a0_2/gamma = 0 with I = (p ratio + rho v2)/(rho v)
        impulse = a2 * ratio / (gamma * v) + v
        c = 0.5 * (gamma + 1.0) / gamma
        root = max(impulse * impulse - 4.0 * c * a0_2 / gamma, 0.0)
        w = 2.0 * a0_2 / gamma / (impulse + math.sqrt(root))
        a2_2 = a0_2 - h * w * w
        p_ratio = a2_2 * v / (a2 * ratio * w)
    else:
        M = behind_narrowing(flow_number(M2, gamma) / ratio, K, gamma)
        a2_2 = a0_2 / (1.0 + h * M * M)
        w = M * math.sqrt(a2_2)
        p_ratio = a2_2 * v / (a2 * ratio * w)
    X_2 = X * p_ratio ** (h / gamma)
    return X_2, w, math.sqrt(a2_2) / X_2


@njit(cache=True, error_model="numpy")
def balance(case, X, line, other, gas):
    """What is left over of a law at a trial X; falls or rises through one zero.

    Parameters
    ----------
    case : int   INTO_VESSEL, OUT_OF_VESSEL or STEP [-]
    X : float   Trial value in the pipe (STEP: in the pipe ahead) [-]
    line : tuple of 3 floats   k, B, aA [m/s]
    other : tuple of 4 floats   X_v, a_v, area ratio, - | k_2, B_2, area ratio, K [-, m/s]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    left : float   [-] or [m/s]
    """
    gamma, _ = gas
    h = 0.5 * (gamma - 1.0)
    k, B, aA = line
    v = (B - k * X) / h
    if case == INTO_VESSEL:
        M2 = v * v / (X * X * aA * aA)
        return flow_number(M2, gamma) - other[2] * throat(
            X * math.sqrt(1.0 + h * M2) / other[0], gamma
        )
    if case == OUT_OF_VESSEL:
        a2 = other[1] * other[1] - h * v * v
        p_ratio = (X / other[0]) ** (gamma / h)
        return p_ratio * abs(v) * other[1] / a2 - other[2] * throat(other[0] / X, gamma)
    X_2, w, _aA = behind_step(X, v, aA, (other[2], other[3]), gas)
    return other[0] * X_2 - h * w - other[1]


@njit(cache=True, error_model="numpy")
def root(case, low, high, arguments, gas):
    """Zero of ``balance`` in a bracket: false position with halved ends, then bisection.

    Parameters
    ----------
    case : int   as in ``balance`` [-]
    low, high : float   Bracket of X [-]
    arguments : tuple   ``line`` and ``other`` of ``balance`` [-]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    X : float   The zero; the end nearest to one where the bracket holds none [-]
    """
    line, other = arguments
    f_low, f_high = balance(case, low, line, other, gas), balance(case, high, line, other, gas)
    if f_low * f_high >= 0.0:
        return low if abs(f_low) < abs(f_high) else high
    side = 0
    for trial in range(100):
        X = (low * f_high - high * f_low) / (f_high - f_low)
        if trial % 8 == 7:
            X = 0.5 * (low + high)
        f = balance(case, X, line, other, gas)
        if f == 0.0:
            return X
        if f * f_high > 0.0:
            moved, high, f_high = high - X, X, f
            if side == 1:
                f_low *= 0.5
            side = 1
        else:
            moved, low, f_low = X - low, X, f
            if side == -1:
                f_high *= 0.5
            side = -1
        if high - low <= TIGHT * X or moved == 0.0:
            return X
    return 0.5 * (low + high)
