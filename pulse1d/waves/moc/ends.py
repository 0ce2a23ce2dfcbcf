"""Laws of a single pipe end: closed, incoming wave, imposed pressure, vessel behind a throat.

Each takes the line k X + h v = B that the pipe offers, with v positive out of the pipe, so no law
knows a left or a right end.
Source: Benson 1982 for the set of ends, from memory; each law is derived from what it states.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.moc.arrays import (
    BASE_AA,
    BASE_V,
    BASE_X,
    CLOSED,
    INFLOW_T,
    P_REF,
    P_VESSEL,
    PRESSURE,
    T_VESSEL,
    WAVE,
    end_node,
)
from pulse1d.waves.moc.laws import INTO_VESSEL, OUT_OF_VESSEL, root


@njit(cache=True, error_model="numpy")
def sample(net, e, t):
    """The end's history at a time, linear between samples and held beyond them.

    Parameters
    ----------
    net : Net   as in ``Net``
    e : int   End [-]
    t : float   [s]
    Returns
    -------
    value : float   Pressure or area ratio [Pa] or [-]
    """
    low, high = net.sample_first[e], net.sample_first[e + 1] - 1
    if t <= net.sample[0, low]:
        return net.sample[1, low]
    if t >= net.sample[0, high]:
        return net.sample[1, high]
    while high - low > 1:
        middle = (low + high) // 2
        if net.sample[0, middle] <= t:
            low = middle
        else:
            high = middle
    w = (t - net.sample[0, low]) / (net.sample[0, high] - net.sample[0, low])
    return net.sample[1, low] + w * (net.sample[1, high] - net.sample[1, low])


@njit(cache=True, error_model="numpy")
def incoming_wave(line, X_i, base, gas):
    """A simple wave sent in from undisturbed gas; what comes out of the pipe leaves for good.

    aA (X - X_b) - h (v - v_b) = 2 aA (X_i - X_b); inflow sonic at most, unless the wave alone is
    faster: nothing from the pipe can then reach the end, and the wave is the answer

    Parameters
    ----------
    line : tuple of 3 floats   k, B and the aA of gas that leaves [m/s]
    X_i : float   X of the wave alone [-]
    base : (4,) array   Row of ``Net.par`` [-, m/s, m/s, K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    X, v, aA : float   [-, m/s, m/s]
    Source      Riemann invariants
    """
    k, B, aA = line
    h = 0.5 * (gas[0] - 1.0)
    X, v = X_i, base[BASE_V] - base[BASE_AA] * (X_i - base[BASE_X]) / h
    if v < -X * base[BASE_AA]:
        return X, v, base[BASE_AA]
    for _ in range(2):
        J = aA * (2.0 * X_i - base[BASE_X]) - h * base[BASE_V]
        X = (B + J) / (k + aA)
        v = (B - k * X) / h
        if v < -X * aA:
            X = J / (aA * (1.0 + h))
            v = -X * aA
        if v >= 0.0:
            break
        aA = base[BASE_AA]
    return X, v, aA


@njit(cache=True, error_model="numpy")
def imposed_pressure(line, X_s, T, gas):
    """Static pressure held at the end; sonic flow at most, out or in.

    Parameters
    ----------
    line : tuple of 3 floats   k, B and the aA of gas that leaves [m/s]
    X_s : float   X of the imposed pressure [-]
    T : float   Static temperature of gas that enters [K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    X, v, aA : float   [-, m/s, m/s]
    """
    k, B, aA = line
    gamma, R = gas
    h = 0.5 * (gamma - 1.0)
    X = max(X_s, B / (k + h * aA))
    v = (B - k * X) / h
    if v < 0.0:
        aA = math.sqrt(gamma * R * T) / X
        v = max(v, -X * aA)
    return X, v, aA


@njit(cache=True, error_model="numpy")
def vessel(line, inside, phi, gas):
    """Large vessel behind a throat of area phi times the pipe's.

    Isentropic to the throat; the throat has the pressure behind it, or is choked; energy is kept
    and the jet's pressure is not recovered. phi = 1 is an open end: outflow at the pressure
    outside, inflow isentropic from rest.

    Parameters
    ----------
    line : tuple of 3 floats   k, B and the aA of gas that leaves the pipe [m/s]
    inside : tuple of 2 floats   p, T of the vessel [Pa, K]
    phi : float   Throat area over pipe area, 0 .. 1 [-]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    X, v, aA : float   [-, m/s, m/s]
    Limits      Pipe flow at the end is sonic at most.
    Source      Conservation laws; set-up as Benson 1982, from memory
    """
    k, B, aA = line
    gamma, R = gas
    h = 0.5 * (gamma - 1.0)
    X_v = (inside[0] / P_REF) ** (h / gamma)
    a_v = math.sqrt(gamma * R * inside[1])
    other = (X_v, a_v, phi, 0.0)
    X_c = B / k
    if phi <= 0.0 or X_c == X_v:
        return X_c, 0.0, aA
    if X_c > X_v:
        low = max(X_v, B / (k + h * aA))
        X = root(INTO_VESSEL, low, X_c, (line, other), gas)
        return X, (B - k * X) / h, aA
    a_sonic = a_v / math.sqrt(1.0 + h)
    X_sonic = X_v * phi ** (h / gamma) / math.sqrt(1.0 + h)
    if k * X_sonic - B >= h * a_sonic:
        return X_sonic, -a_sonic, a_sonic / X_sonic
    high = min(X_v, (B + h * a_sonic) / k)
    X = root(OUT_OF_VESSEL, max(X_c, 1e-3 * X_v), high, (line, other), gas)
    v = (B - k * X) / h
    return X, v, math.sqrt(a_v * a_v - h * v * v) / X


@njit(cache=True, error_model="numpy")
def single_end(net, new, work, e, t):
    """The law of an end that meets no other pipe, written into the new state.

    Parameters
    ----------
    net, new, work : Net, State, Work   ``new`` is set at the end's node
    e : int   End [-]
    t : float   New time [s]
    """
    gas = (net.gamma, net.R)
    power = 0.5 * (net.gamma - 1.0) / net.gamma
    line = (work.end[e, 0], work.end[e, 1], work.end[e, 2])
    kind, par = net.kind[e], net.par[e]
    if kind == CLOSED:
        X, v, aA = line[1] / line[0], 0.0, line[2]
    elif kind == WAVE:
        X_i = (sample(net, e, t) / P_REF) ** power
        X, v, aA = incoming_wave(line, X_i, par, gas)
    elif kind == PRESSURE:
        X_s = (sample(net, e, t) / P_REF) ** power
        X, v, aA = imposed_pressure(line, X_s, par[INFLOW_T], gas)
    else:
        inside = (new.vessel[e, P_VESSEL], new.vessel[e, T_VESSEL])
        X, v, aA = vessel(line, inside, sample(net, e, t), gas)
    j, out = end_node(net, e)
    new.X[j], new.u[j], new.aA[j] = X, out * v, aA
