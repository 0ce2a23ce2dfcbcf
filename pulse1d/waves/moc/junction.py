"""Ends that meet: constant pressure for any number of pipes, momentum for two.

Source: Benson 1982 (constant-pressure junction and area change), from memory; the balances are
derived from what each function states.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.moc.arrays import BY_ENERGY, BY_MOMENTUM, P_REF, end_node
from pulse1d.waves.moc.ends import vessel
from pulse1d.waves.moc.laws import STEP, behind_narrowing, behind_step, flow_number, root

ROUNDS = 40
"""Fixed-point rounds of a junction: the outgoing level moves X by parts of M2, so each round gains
a digit or more."""
SAME = 1e-13
"""Change of an outgoing level at which the rounds end."""


@njit(cache=True, error_model="numpy")
def area(D):
    """Round section.

    Parameters
    ----------
    D : float   Bore [m]
    Returns
    -------
    A : float   [m2]
    """
    return 0.25 * math.pi * D * D


@njit(cache=True, error_model="numpy")
def mix(net, work, ends, kind):
    """Level of the gas that leaves a junction, from the streams that enter it.

    By energy: the flow-weighted stagnation enthalpy is shared by all streams out. By entropy:
    they share the flow-weighted level, as in the homentropic relations.

    Parameters
    ----------
    net, work : Net, Work   columns 3 to 5 of ``work.end`` hold X, v, aA; aA is set
        where v < 0 [m/s]
    ends : array of int   The ends that meet [-]
    kind : int   BY_ENERGY or BY_ENTROPY [-]
    Returns
    -------
    change : float   Largest relative change of a level [-]
    """
    h = 0.5 * (net.gamma - 1.0)
    total, carried = 0.0, 0.0
    for e in ends:
        X, v, aA = work.end[e, 3], work.end[e, 4], work.end[e, 5]
        if v > 0.0:
            j, _out = end_node(net, e)
            m = v * area(net.D[j]) / (aA * aA)
            a2 = X * X * aA * aA
            total += m
            carried += m * (a2 + h * v * v if kind == BY_ENERGY else aA)
    if total <= 0.0:
        return 0.0
    change = 0.0
    for e in ends:
        X, v, aA = work.end[e, 3], work.end[e, 4], work.end[e, 5]
        if v < 0.0:
            level = carried / total
            if kind == BY_ENERGY:
                level = math.sqrt(max(level - h * v * v, level / (1.0 + h))) / X
            change = max(change, abs(level / aA - 1.0))
            work.end[e, 5] = level
    return change


@njit(cache=True, error_model="numpy")
def meet(net, work, ends, X):
    """Legs of a junction at a trial pressure, sonic at most, and the mass left over.

    A leg that would flow in faster stays at the pressure at which it is sonic; one that would
    take more flows away at its own speed of sound.

    Parameters
    ----------
    net, work : Net, Work   columns 3 and 4 of ``work.end`` are set: X, v [-, m/s]
    ends : array of int   The ends that meet [-]
    X : float   Of the junction [-]
    Returns
    -------
    left, choked : float, bool   sum(rho v A) over its common factors; whether a leg is sonic [-]
    """
    h = 0.5 * (net.gamma - 1.0)
    left, choked = 0.0, False
    for e in ends:
        k, B, aA = work.end[e, 0], work.end[e, 1], work.end[e, 5]
        j, _out = end_node(net, e)
        X_leg, v = X, (B - k * X) / h
        if v > X * aA:
            X_leg, choked = B / (k + h * aA), True
            v = X_leg * aA
        elif v < -X * aA:
            v, choked = -X * aA, True
        weight = area(net.D[j]) / (aA * aA) * (X_leg / X) ** (net.gamma / h - 2.0)
        left += weight * v
        work.end[e, 3], work.end[e, 4] = X_leg, v
    return left, choked


@njit(cache=True, error_model="numpy")
def balanced(net, work, ends):
    """X at which the mass that meets at a junction balances, for given levels.

    X = sum(A B/aA2) / sum(A k/aA2), from sum(rho v A) = 0 with rho ~ 1/aA2; by bisection where
    a leg is sonic

    Parameters
    ----------
    net, work : Net, Work   as in ``meet`` [-]
    ends : array of int   The ends that meet [-]
    Returns
    -------
    X : float   [-]
    """
    above, below, low, high = 0.0, 0.0, math.inf, 0.0
    for e in ends:
        k, B = work.end[e, 0], work.end[e, 1]
        j, _out = end_node(net, e)
        weight = area(net.D[j]) / (work.end[e, 5] * work.end[e, 5])
        above += weight * B
        below += weight * k
        low, high = min(low, B / k), max(high, B / k)
    X = above / below
    if not meet(net, work, ends, X)[1]:
        return X
    low = max(low, 1e-3 * high)
    for _ in range(50):
        X = 0.5 * (low + high)
        if meet(net, work, ends, X)[0] > 0.0:
            low = X
        else:
            high = X
    return X


@njit(cache=True, error_model="numpy")
def constant_pressure(net, new, work, ends, kind):
    """One pressure in all ends that meet, mass and the streams' levels balanced.

    Parameters
    ----------
    net, new, work : Net, State, Work   columns 3 to 5 of ``work.end`` are set: X, v, aA
        [-, m/s, m/s]
    ends : array of int   The ends that meet [-]
    kind : int   BY_ENERGY or BY_ENTROPY [-]
    """
    for e in ends:
        j, _out = end_node(net, e)
        work.end[e, 5] = new.aA[j]
    for _ in range(ROUNDS):
        meet(net, work, ends, balanced(net, work, ends))
        change = 0.0
        for e in ends:
            if work.end[e, 4] >= 0.0:
                change = max(change, abs(work.end[e, 2] / work.end[e, 5] - 1.0))
                work.end[e, 5] = work.end[e, 2]
        if max(change, mix(net, work, ends, kind)) < SAME:
            break


@njit(cache=True, error_model="numpy")
def momentum_step(net, work, ends, K):
    """Sudden change of area between two pipes: momentum where it widens, loss K where it narrows.

    Choked: a contraction is sonic behind; ahead of an expansion the flow is sonic and the larger
    pipe takes it as from a choked throat.

    Parameters
    ----------
    net, work : Net, Work   columns 3 to 5 of ``work.end`` are set: X, v, aA
        [-, m/s, m/s]
    ends : (2,) array of int   The ends that meet [-]
    K : float   Loss of a contraction on the Mach number behind [-]
    """
    gas = (net.gamma, net.R)
    h = 0.5 * (net.gamma - 1.0)
    one, two = ends[0], ends[1]
    if work.end[one, 1] / work.end[one, 0] < work.end[two, 1] / work.end[two, 0]:
        one, two = two, one
    k, B, aA = work.end[one, 0], work.end[one, 1], work.end[one, 2]
    k_2, B_2, aA_2 = work.end[two, 0], work.end[two, 1], work.end[two, 2]
    j_1, _out = end_node(net, one)
    j_2, _out = end_node(net, two)
    ratio = area(net.D[j_2]) / area(net.D[j_1])
    M = 1.0
    if ratio < 1.0:
        g_K = net.gamma * K
        choke = 2.0 / (1.0 + g_K + math.sqrt((1.0 + g_K) ** 2 + 4.0 * h * g_K))
        m = ratio * flow_number(choke, net.gamma) * math.exp(-0.5 * g_K * choke)
        M = behind_narrowing(m, 0.0, net.gamma)
    low, high = B / (k + h * aA * M), B / k
    X = root(STEP, low, high, ((k, B, aA), (k_2, B_2, ratio, K)), gas)
    v = (B - k * X) / h
    work.end[one, 3], work.end[one, 4], work.end[one, 5] = X, v, aA
    if v <= 0.0:
        X_2, w, aA_2 = X, 0.0, aA_2
    elif ratio >= 1.0 and X == low:
        q = 1.0 + h * v * v / (X * X * aA * aA)
        p0 = P_REF * (X * math.sqrt(q)) ** (net.gamma / h)
        T0 = X * X * aA * aA * q / (net.gamma * net.R)
        X_2, w, aA_2 = vessel((k_2, B_2, aA_2), (p0, T0), 1.0 / ratio, gas)
        w = -w
    else:
        X_2, w, aA_2 = behind_step(X, v, aA, (ratio, K), gas)
    work.end[two, 3], work.end[two, 4], work.end[two, 5] = X_2, -w, aA_2


@njit(cache=True, error_model="numpy")
def junction(net, new, work, i):
    """Junction i, written into the new state at the nodes that meet there.

    Parameters
    ----------
    net, new, work : Net, State, Work   as in the classes
    i : int   Junction [-]
    """
    ends = net.meeting[net.junction[i, 0] : net.junction[i, 1]]
    if net.junction[i, 2] == BY_MOMENTUM:
        momentum_step(net, work, ends, net.K[i])
    else:
        constant_pressure(net, new, work, ends, net.junction[i, 2])
    for e in ends:
        j, out = end_node(net, e)
        new.X[j], new.u[j], new.aA[j] = work.end[e, 3], out * work.end[e, 4], work.end[e, 5]
