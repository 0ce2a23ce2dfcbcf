"""The arrays that the compiled march reads and writes, and the few conversions between them."""

from __future__ import annotations

from typing import Any, NamedTuple

from numba import njit

P_REF = 1e5
"""Pressure that X and the entropy level are measured from; cancels in every result [Pa]."""

CLOSED, WAVE, PRESSURE, VESSEL, JOINED = 0, 1, 2, 3, 4
"""Kinds of pipe ends in ``Net.kind``."""
BY_ENERGY, BY_ENTROPY, BY_MOMENTUM = 0, 1, 2
"""Kinds of junctions in ``Net.junction_kind``."""
BASE_X, BASE_V, BASE_AA, INFLOW_T = 0, 1, 2, 3
"""Columns of ``Net.par``: the end's first state and the temperature of gas let in."""
MASS, ENERGY, VOLUME, P_VESSEL, T_VESSEL = 0, 1, 2, 3, 4
"""Columns of ``State.vessel``; volume 0 stands for one too large to change."""
DX, SLOPE, F_D, T_WALL = 0, 1, 2, 3
"""Columns of ``Net.pipe``."""


class Net(NamedTuple):
    """What does not change while the waves run. End e = 2 pipe + (0 start, 1 end)."""

    gamma: float
    R: float
    order: int  # 1: feet by linear interpolation, 2: by parabolas
    first: Any  # (pipes + 1,) first node of each pipe
    D: Any  # (nodes,) [m]
    pipe: Any  # (pipes, 4) dx, dD/dx, Darcy factor, wall temperature or 0 [m, -, -, K]
    kind: Any  # (ends,) CLOSED ...
    par: Any  # (ends, 4)
    sample_first: Any  # (ends + 1,) first sample of each end
    sample: Any  # (2, samples) time, and pressure or area ratio [s, Pa or -]
    meeting: Any  # ends that meet, junction after junction
    junction: Any  # (junctions, 3) first and behind last in ``meeting``, BY_ENERGY ...
    K: Any  # (junctions,) loss of a contraction [-]


class Watch(NamedTuple):
    """What is recorded at each step."""

    probe: Any  # (probes, 2) pipe, distance from its start [-, m]
    vessel: Any  # ends whose vessel is recorded


class State(NamedTuple):
    """One time level: nodes, path lines, vessels."""

    X: Any  # (nodes,) (p/P_REF)^((gamma-1)/2 gamma) [-]
    u: Any  # (nodes,) [m/s]
    aA: Any  # (nodes,) sound speed after isentropic change to P_REF: the entropy level [m/s]
    path: Any  # (2, pipes, room) places of path lines, rising, and their aA [m, m/s]
    count: Any  # (pipes,) how many path lines there are
    vessel: Any  # (ends, 5)


class Work(NamedTuple):
    """Scratch of a step."""

    bend: Any  # (2, nodes) second differences of the old X and u [-, m/s]
    path: Any  # (2, pipes, room) moved path lines, the end nodes among them [m, m/s]
    end: Any  # (ends, 6) k, B of k X + h v = B, the aA of gas that leaves; X, v, aA at a junction


@njit(cache=True, error_model="numpy")
def pressure(X, gamma):
    """Pressure of the wave variable X.

    Parameters
    ----------
    X : float   (p/P_REF)^((gamma-1)/(2 gamma)) [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    p : float   [Pa]
    """
    return P_REF * X ** (2.0 * gamma / (gamma - 1.0))


@njit(cache=True, error_model="numpy")
def end_node(net, e):
    """Node and outward sign of a pipe end.

    Parameters
    ----------
    net : Net   as in ``Net``
    e : int   End, 2 pipe + side [-]
    Returns
    -------
    j, out : int, float   Node; +1 where the pipe's own direction points out, -1 at its start [-]
    """
    pipe = e // 2
    if e % 2 == 0:
        return net.first[pipe], -1.0
    return net.first[pipe + 1] - 1, 1.0


@njit(cache=True, error_model="numpy")
def outflow(net, state, e):
    """Mass flow and stagnation temperature at a pipe end.

    Parameters
    ----------
    net, state : Net, State   as in the classes
    e : int   End [-]
    Returns
    -------
    mdot, T0 : float   Flow out of the pipe, its stagnation temperature [kg/s, K]
    """
    j, out = end_node(net, e)
    a = state.X[j] * state.aA[j]
    rho = net.gamma * pressure(state.X[j], net.gamma) / (a * a)
    area = 0.7853981633974483 * net.D[j] * net.D[j]
    T0 = (a * a + 0.5 * (net.gamma - 1.0) * state.u[j] * state.u[j]) / (net.gamma * net.R)
    return out * rho * state.u[j] * area, T0
