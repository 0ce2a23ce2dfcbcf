"""Several open ports at once: flows of all legs and stagnation states of all joints, compiled.

Unknowns are the leg flows and ln p0 of the joints; equations are one march along each leg and the
mass balance of each joint. Newton with a line search; the Jacobian by differences. Legs march in
their flow's own direction, so reversed and dead legs need no special case.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit, prange

from pulse1d.gas import state
from pulse1d.gas.relations import stagnation_ratio
from pulse1d.losses.joint_levels import joint_levels
from pulse1d.steady.march import DEVELOPED, march
from pulse1d.steady.path import CONVERGED, FAILED
from pulse1d.steady.vary import varied_rows

MAX_NEWTON = 60
SHIFT = 1e-7
"""Relative step of the difference Jacobian: near the root of round-off."""
SOLVED, STALLED = 1e-10, 1e-8
"""Largest equation error, as a part of the depression or of the flow, of a solution; and of one
that the line search cannot improve any more."""
SINGULAR = 1e14
"""Condition number beyond which a Newton step is noise."""


@njit(cache=True, error_model="numpy")
def residual(x, problem, T_node, res, starts):
    """Equation errors of a trial solution.

    Parameters
    ----------
    x : (L + J,) array   Leg flows over the flow scale; ln(p0/pressure scale) of the joints over the
        relative depression [-]
    problem : tuple   What is given:
        rows (n, k) of ``FlatNet`` [SI];
        topology: first, count, a, b of ``FlatNet`` [-];
        ends: pointer, end_leg, end_at_end, end_direction, end_area, has_run of ``FlatNet`` [SI];
        offsets (e,) added to the joint coefficients [-];
        p_open (openings,) pressure outside each opening [Pa];
        scales: flow, pressure, relative depression [kg/s, Pa, -];
        T0 outside temperature [K]; gas table [SI]
    T_node : (J,) array   Stagnation temperature of joints, updated [K]
    res : (L + J,) array   Filled [-]
    starts : (L, 3) array   p0, T0 and X at each leg's inlet, filled [Pa, K, -]
    Returns
    -------
    ok : bool   False when a leg or joint cannot pass the trial flow [-]
    """
    rows, topology, ends, offsets, p_open, scales, T0, gas = problem
    first, count, a, b = topology
    pointer, end_leg, end_at_end, direction, area, has_run = ends
    L, J = first.shape[0], pointer.shape[0] - 1
    p0_joint = scales[1] * np.exp(x[L:] * scales[2])
    level_of = np.zeros(end_leg.shape[0])
    flows = np.zeros(end_leg.shape[0])
    for k in range(end_leg.shape[0]):
        flows[k] = x[end_leg[k]] * scales[0] * (1.0 if end_at_end[k] else -1.0)
    for n in range(J):
        i, j = pointer[n], pointer[n + 1]
        joint_levels(
            flows[i:j], direction[i:j], area[i:j], offsets[i:j], has_run[n],
            p0_joint[n], T_node[n], state.gamma(T_node[n], gas), gas[0], level_of[i:j],
        )  # fmt: skip
    start_end, stop_end = -np.ones(L, np.int64), -np.ones(L, np.int64)
    for k in range(end_leg.shape[0]):
        if end_at_end[k] == (x[end_leg[k]] >= 0.0):
            stop_end[end_leg[k]] = k
        else:
            start_end[end_leg[k]] = k
    p0_stop = np.zeros(L)
    heat_in, mass_in = np.zeros(J), np.zeros(J)
    for leg in range(L):
        m = x[leg] * scales[0]
        reverse = m < 0.0
        start = b[leg] if reverse else a[leg]
        stop = a[leg] if reverse else b[leg]
        if start >= J:
            p0, T, X = p_open[start - J], T0, 0.0
        else:
            level = level_of[start_end[leg]]
            p0, T, X = p0_joint[start] * math.exp(level), T_node[start], DEVELOPED
        if not (p0 > 0.0 and math.isfinite(p0)):
            return False
        starts[leg, 0], starts[leg, 1], starts[leg, 2] = p0, T, X
        M, T_e = 0.0, T
        if m != 0.0:
            p0, T_e, X, M, _, choke = march(
                rows, first[leg], count[leg], reverse, abs(m), p0, T, X, gas, -1, 0.0,
                np.empty((0, 9)),
            )  # fmt: skip
            if choke >= 0:
                return False
        p0_stop[leg] = p0
        if stop >= J:
            gamma = state.gamma(T_e / (1.0 + 0.2 * M * M), gas)
            p = p0 / stagnation_ratio(M, gamma)
            res[leg] = math.log(p / p_open[stop - J]) / scales[2]
        else:
            heat_in[stop] += abs(m) * T_e
            mass_in[stop] += abs(m)
    for n in range(J):
        i, j = pointer[n], pointer[n + 1]
        if mass_in[n] > 0.0:
            T_node[n] = heat_in[n] / mass_in[n]
        joint_levels(
            flows[i:j], direction[i:j], area[i:j], offsets[i:j], has_run[n],
            p0_joint[n], T_node[n], state.gamma(T_node[n], gas), gas[0], level_of[i:j],
        )  # fmt: skip
        res[L + n] = flows[i:j].sum() / scales[0]
    for leg in range(L):
        k = stop_end[leg]
        if k >= 0:
            n = a[leg] if x[leg] < 0.0 else b[leg]
            res[leg] = (math.log(p0_stop[leg] / p0_joint[n]) - level_of[k]) / scales[2]
    return bool(np.all(np.isfinite(res)))


@njit(cache=True, error_model="numpy")
def jacobian_of(x, problem, T_node, res, matrix):
    """Difference Jacobian; a shift that a leg cannot pass is taken the other way.

    Parameters
    ----------
    x, problem, T_node, res : as in ``residual``, at the present trial
    matrix : (n, n) array   Filled [-]
    """
    n, L = x.shape[0], problem[1][0].shape[0]
    other, starts = np.zeros(n), np.zeros((L, 3))
    for j in range(n):
        old = x[j]
        shift = SHIFT if old >= 0.0 else -SHIFT
        x[j] = old + shift
        if not residual(x, problem, T_node.copy(), other, starts):
            x[j] = old - shift
            residual(x, problem, T_node.copy(), other, starts)
        matrix[:, j] = (other - res) / (x[j] - old)
        x[j] = old


@njit(cache=True, error_model="numpy")
def solve_net(x, problem):
    """Newton iteration from a start x, which is overwritten with the solution.

    Parameters
    ----------
    x, problem : as in ``residual``
    Returns
    -------
    status, iterations, error, T_node : int, int, float, (J,) array   CONVERGED or FAILED; largest
        equation error; stagnation temperature of the joints [-, -, -, K]
    Source      damped Newton (Dennis & Schnabel 1983, from memory)
    """
    n, L = x.shape[0], problem[1][0].shape[0]
    T_node = np.full(n - L, problem[6])
    res, other, starts = np.zeros(n), np.zeros(n), np.zeros((L, 3))
    matrix = np.empty((n, n))
    if not residual(x, problem, T_node, res, starts):
        return FAILED, 0, np.inf, T_node
    for iteration in range(MAX_NEWTON):
        error = np.abs(res).max()
        if error < SOLVED:
            return CONVERGED, iteration, error, T_node
        jacobian_of(x, problem, T_node, res, matrix)
        if not np.all(np.isfinite(matrix)) or np.linalg.cond(matrix) > SINGULAR:
            return FAILED, iteration, error, T_node
        step = np.linalg.solve(matrix, res)
        merit = np.sqrt((res * res).sum())
        size = 1.0
        while True:
            trial, T_trial = x - size * step, T_node.copy()
            ok = residual(trial, problem, T_trial, other, starts)
            if ok and np.sqrt((other * other).sum()) <= merit * (1.0 - 1e-4 * size):
                break
            size *= 0.5
            if size < 1e-6:
                return ((CONVERGED if error < STALLED else FAILED), iteration, error, T_node)
        x[:] = trial
        res[:] = other
        T_node[:] = T_trial
    return FAILED, MAX_NEWTON, np.abs(res).max(), T_node


@njit(cache=True, error_model="numpy")
def settle(x, problem):
    """Pseudo-transient continuation: inertia in the legs, capacity in the joints, growing steps.

    dm/dt of a leg is the pressure it has left over, dp/dt of a joint the mass it gains; implicit
    Euler with the step grown as the residual falls. Slower than Newton, and finds the way past a
    reversal where a line search does not.

    Parameters
    ----------
    x, problem : as in ``residual``
    Returns
    -------
    status, iterations, error, T_node : as ``solve_net``
    Source      Kelley & Keyes 1998, from memory
    """
    n, L = x.shape[0], problem[1][0].shape[0]
    T_node = np.full(n - L, problem[6])
    res, other, starts = np.zeros(n), np.zeros(n), np.zeros((L, 3))
    matrix = np.empty((n, n))
    if not residual(x, problem, T_node, res, starts):
        return FAILED, 0, np.inf, T_node
    tau = 0.1
    for iteration in range(5 * MAX_NEWTON):
        error = np.abs(res).max()
        if error < SOLVED:
            return CONVERGED, iteration, error, T_node
        jacobian_of(x, problem, T_node, res, matrix)
        for i in range(n):
            matrix[i, i] -= (1.0 if i >= L or x[i] >= 0.0 else -1.0) / tau
        if not np.all(np.isfinite(matrix)):
            return FAILED, iteration, error, T_node
        step = np.linalg.solve(matrix, res)
        size = 1.0
        while True:
            trial, T_trial = x - size * step, T_node.copy()
            if residual(trial, problem, T_trial, other, starts):
                break
            size *= 0.5
            if size < 1e-4:
                return FAILED, iteration, error, T_node
        gain = np.sqrt((res * res).sum()) / max(np.sqrt((other * other).sum()), 1e-300)
        tau = min(tau * min(max(gain, 0.3), 3.0), 1e8) if size == 1.0 else 0.5 * tau
        x[:] = trial
        res[:] = other
        T_node[:] = T_trial
    return FAILED, 5 * MAX_NEWTON, np.abs(res).max(), T_node


@njit(cache=True, parallel=True, error_model="numpy")
def solve_net_samples(x0, problem, effects, joint_effects, z):
    """Leg flows for many samples of the doubts, each from the nominal solution.

    Parameters
    ----------
    x0 : (L + J,) array   Nominal solution [-]
    problem : tuple   As in ``residual``, nominal
    effects, joint_effects : (m, 5) arrays   As in ``varied_rows``; the latter on leg ends [-]
    z : (samples, causes) array   Standard normal [-]
    Returns
    -------
    mdot, status : (samples, L), (samples,) arrays   [kg/s, -]
    Source      sampling of stated bands (JCGM 101:2008)
    """
    rows, topology, ends, offsets, p_open, scales, T0, gas = problem
    samples, L = z.shape[0], topology[0].shape[0]
    mdot = np.empty((samples, L))
    status = np.empty(samples, dtype=np.int64)
    for k in prange(samples):
        moved = offsets.copy()
        for j in range(joint_effects.shape[0]):
            moved[int(joint_effects[j, 1])] += joint_effects[j, 4] * z[k, int(joint_effects[j, 0])]
        x = x0.copy()
        varied = varied_rows(rows, effects, z[k])
        result = solve_net(x, (varied, topology, ends, moved, p_open, scales, T0, gas))
        status[k] = result[0]
        for leg in range(L):
            mdot[k, leg] = x[leg] * scales[0]
    return mdot, status
