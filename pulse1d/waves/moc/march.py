"""The march in time: step length, predictor and corrector, vessels, the record."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.waves.moc.arrays import (
    DX,
    ENERGY,
    JOINED,
    MASS,
    P_VESSEL,
    T_VESSEL,
    VESSEL,
    VOLUME,
    end_node,
    outflow,
    pressure,
)
from pulse1d.waves.moc.ends import single_end
from pulse1d.waves.moc.junction import junction
from pulse1d.waves.moc.mesh import measure_bends, new_nodes
from pulse1d.waves.moc.paths import move, place, read_levels, settle

DONE, FULL, FAILED = 0, 1, 2
"""Why ``march`` came back."""
T, MASS_IN_PIPES, ENTERED, M_MAX = 0, 1, 2, 3
"""First columns of the record, before probes (p, u, T) and vessels (p, T)."""
LEAD = 4
EMPTYING = 5.0
"""A sonic throat as wide as the pipe passes 0.58 A a a second: a vessel loses a tenth a step."""
RUNAWAY = 1e-3
"""Step over the longest one so far below which waves have become absurdly fast."""
HALVINGS = 12
"""A step whose characteristics reach past the neighbour is halved this often before giving up."""


@njit(cache=True, error_model="numpy")
def longest_step(net, state, cfl):
    """Time step in which no wave crosses more than ``cfl`` cells and no vessel empties.

    Parameters
    ----------
    net, state : Net, State   as in the classes
    cfl : float   [-]
    Returns
    -------
    dt : float   [s]
    """
    fastest = 0.0
    for pipe in range(net.pipe.shape[0]):
        for j in range(net.first[pipe], net.first[pipe + 1]):
            speed = abs(state.u[j]) + state.X[j] * state.aA[j]
            if not (state.X[j] > 0.0 and math.isfinite(speed)):
                return math.nan
            fastest = max(fastest, speed / net.pipe[pipe, DX])
    for e in range(net.kind.shape[0]):
        if net.kind[e] == VESSEL and state.vessel[e, VOLUME] > 0.0:
            a = math.sqrt(net.gamma * net.R * state.vessel[e, T_VESSEL])
            D = net.D[end_node(net, e)[0]]
            speed = EMPTYING * 0.25 * math.pi * D * D * a
            fastest = max(fastest, speed / state.vessel[e, VOLUME])
    return cfl / fastest


@njit(cache=True, error_model="numpy")
def fill_vessels(net, old, new, dt, w):
    """Mass, energy, p and T of the finite vessels at the new time.

    Parameters
    ----------
    net, old, new : Net, State, State   ``new.vessel`` is set [kg, J, m3, Pa, K]
    dt, w : float   Step, weight of the new flow [s, -]
    """
    cp = net.gamma * net.R / (net.gamma - 1.0)
    for e in range(net.kind.shape[0]):
        if net.kind[e] != VESSEL or old.vessel[e, VOLUME] <= 0.0:
            continue
        mdot, T0 = outflow(net, old, e)
        mdot_2, T0_2 = outflow(net, new, e)
        flow = (1.0 - w) * mdot + w * mdot_2
        heat = cp * ((1.0 - w) * mdot * T0 + w * mdot_2 * T0_2)
        m, E = old.vessel[e, MASS] + dt * flow, old.vessel[e, ENERGY] + dt * heat
        new.vessel[e, MASS], new.vessel[e, ENERGY] = m, E
        new.vessel[e, P_VESSEL] = (net.gamma - 1.0) * E / old.vessel[e, VOLUME]
        new.vessel[e, T_VESSEL] = E * (net.gamma - 1.0) / (m * net.R)


@njit(cache=True, error_model="numpy")
def copy(source, goal):
    """One state made equal to another.

    Parameters
    ----------
    source, goal : State   ``goal`` is set [-]
    """
    for j in range(source.X.shape[0]):
        goal.X[j], goal.u[j], goal.aA[j] = source.X[j], source.u[j], source.aA[j]
    for pipe in range(source.count.shape[0]):
        goal.count[pipe] = source.count[pipe]
        for k in range(source.count[pipe]):
            goal.path[0, pipe, k] = source.path[0, pipe, k]
            goal.path[1, pipe, k] = source.path[1, pipe, k]
    for e in range(source.vessel.shape[0]):
        for c in range(source.vessel.shape[1]):
            goal.vessel[e, c] = source.vessel[e, c]


@njit(cache=True, error_model="numpy")
def advance(net, old, new, work, t, dt):
    """One step: predictor, corrector, path lines settled.

    Parameters
    ----------
    net, old, new, work : Net, State, State, Work   ``new`` and ``work`` are set
    t, dt : float   Old time, step [s]
    Returns
    -------
    far : float   Longest foot distance in cells; the step must be repeated shorter above 1 [-]
    """
    copy(old, new)
    measure_bends(net, old, work)
    far = 0.0
    pipes = net.pipe.shape[0]
    for level in range(2):
        w = 0.5 * level
        for pipe in range(pipes):
            points = move(net, old, new, work, pipe, (dt, w))
            read_levels(net, new, work, pipe, points)
            far = max(far, new_nodes(net, old, new, work, pipe, (dt, w)))
        fill_vessels(net, old, new, dt, w)
        for e in range(2 * pipes):
            if net.kind[e] != JOINED:
                single_end(net, new, work, e, t + dt)
        for i in range(net.junction.shape[0]):
            junction(net, new, work, i)
    fill_vessels(net, old, new, dt, 0.5)
    for pipe in range(pipes):
        settle(net, new, work, pipe, old.count[pipe] + 2)
    return far


@njit(cache=True, error_model="numpy")
def mass(net, state):
    """Gas in pipes (trapezoidal rule) and finite vessels.

    Parameters
    ----------
    net, state : Net, State   as in the classes
    Returns
    -------
    m, fastest : float   Mass and largest Mach number at a node [kg, -]
    """
    total, fastest = 0.0, 0.0
    for pipe in range(net.pipe.shape[0]):
        first, last = net.first[pipe], net.first[pipe + 1] - 1
        for j in range(first, last + 1):
            a = state.X[j] * state.aA[j]
            rho = net.gamma * pressure(state.X[j], net.gamma) / (a * a)
            share = 0.5 if j in (first, last) else 1.0
            total += share * net.pipe[pipe, DX] * rho * 0.25 * math.pi * net.D[j] * net.D[j]
            fastest = max(fastest, abs(state.u[j]) / a)
    for e in range(net.kind.shape[0]):
        if net.kind[e] == VESSEL and state.vessel[e, VOLUME] > 0.0:
            total += state.vessel[e, MASS]
    return total, fastest


@njit(cache=True, error_model="numpy")
def leaving(net, state):
    """Mass flow out of the system, through all ends that open on the outside.

    Parameters
    ----------
    net, state : Net, State   as in the classes
    Returns
    -------
    mdot : float   [kg/s]
    """
    total = 0.0
    for e in range(net.kind.shape[0]):
        inner = net.kind[e] == VESSEL and state.vessel[e, VOLUME] > 0.0
        if net.kind[e] != JOINED and not inner:
            total += outflow(net, state, e)[0]
    return total


@njit(cache=True, error_model="numpy")
def write(net, state, watch, clock, row):
    """One row of the record.

    Parameters
    ----------
    net, state, watch : Net, State, Watch   as in the classes
    clock : (3,) array   Time, mass entered so far [s, kg]
    row : (n,) array   Set: t, mass, entered, supersonic, probes, vessels [-]
    """
    m, fastest = mass(net, state)
    row[T], row[MASS_IN_PIPES], row[ENTERED] = clock[0], m, clock[1]
    row[M_MAX] = fastest
    at = LEAD
    for n in range(watch.probe.shape[0]):
        pipe = int(watch.probe[n, 0])
        first, count = net.first[pipe], net.first[pipe + 1] - net.first[pipe]
        s = watch.probe[n, 1] / net.pipe[pipe, DX]
        i, w = place(s, count)
        j = first + i
        X = state.X[j] + w * (state.X[j + 1] - state.X[j])
        aA = state.aA[j] + w * (state.aA[j + 1] - state.aA[j])
        row[at] = pressure(X, net.gamma)
        row[at + 1] = state.u[j] + w * (state.u[j + 1] - state.u[j])
        row[at + 2] = X * X * aA * aA / (net.gamma * net.R)
        at += 3
    for e in watch.vessel:
        row[at], row[at + 1] = state.vessel[e, P_VESSEL], state.vessel[e, T_VESSEL]
        at += 2


@njit(cache=True, error_model="numpy")
def march(net, states, work, watch, clock, goal, record):
    """Steps until the end time or until the record is full.

    Parameters
    ----------
    net, work, watch : Net, Work, Watch   as in the classes
    states : tuple of 2 States   The first holds the present state, before and after
    clock : (3,) array   Time, mass entered so far, longest step; moved on [s, kg, s]
    goal : tuple of 2 floats   End time, CFL number [s, -]
    record : (rows, n) array   One row a step, as in ``write`` [-]
    Returns
    -------
    rows, why : int   Rows written; DONE, FULL or FAILED [-]
    """
    state, new = states
    t_end, cfl = goal
    rows = 0
    if clock[0] == 0.0:  # ends and junctions in balance with the first state before they count
        advance(net, state, new, work, 0.0, 0.0)
        copy(new, state)
    while clock[0] < t_end:
        if rows == record.shape[0]:
            return rows, FULL
        dt = longest_step(net, state, cfl)
        if not math.isfinite(dt):
            return rows, FAILED
        clock[2] = max(clock[2], dt)
        if dt < RUNAWAY * clock[2]:
            return rows, FAILED
        last = clock[0] + dt >= t_end
        if last:
            dt = t_end - clock[0]
        before = leaving(net, state)
        for _ in range(HALVINGS):
            far = advance(net, state, new, work, clock[0], dt)
            if far <= 1.0:
                break
            dt, last = 0.5 * dt, False
        if not far <= 1.0:
            return rows, FAILED
        clock[1] -= 0.5 * dt * (before + leaving(net, new))
        clock[0] = t_end if last else clock[0] + dt
        copy(new, state)
        write(net, state, watch, clock, record[rows])
        rows += 1
    return rows, DONE
