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
from pulse1d.steady.joints import joint_levels
from pulse1d.steady.march import DEVELOPED, march
from pulse1d.steady.path import CONVERGED, FAILED
from pulse1d.steady.relations import stagnation_ratio

MAX_NEWTON = 60
SHIFT = 1e-7
"""Relative step of the difference Jacobian: near the root of round-off."""


@njit(cache=True, error_model="numpy")
def residual(
    x, rows, topology, ends, offsets, p_open, scales, T0, gas, T_node, res, M_a, M_b, starts
):
    """Equation errors of a trial solution.

    Parameters
    ----------
    x : (L + J,) array   Leg flows over ``scales[0]``; ln(p0/``scales[1]``) over ``scales[2]`` [-]
    rows : (n, k) array   Steps [SI]
    topology : tuple   first, count, a, b of ``FlatNet``
    ends : tuple   pointer, end_leg, end_at_end, end_direction, end_area, has_run of ``FlatNet``
    offsets : (e,) array   Added to the joint coefficients [-]
    p_open : (openings,) array   Pressure outside each opening [Pa]
    scales : (3,) array   Flow, pressure, relative depression [kg/s, Pa, -]
    T0 : float   Outside temperature [K]
    gas : array   Mixture table [SI]
    T_node : (J,) array   Stagnation temperature of joints, updated [K]
    res : (L + J,) array   Filled [-]
    M_a, M_b : (L,) arrays   Mach numbers at the legs' starts and ends, filled [-]
    starts : (L, 3) array   p0, T0 and X at each leg's inlet, filled [Pa, K, -]
    Returns
    -------
    ok : bool   False when a leg or joint cannot pass the trial flow [-]
    """
    first, count, a, b = topology
    pointer, end_leg, end_at_end, direction, area, has_run = ends
    L, J = first.shape[0], pointer.shape[0] - 1
    p0_joint = scales[1] * np.exp(x[L:] * scales[2])
    level_of = np.zeros(end_leg.shape[0])
    M_end = np.zeros(end_leg.shape[0])
    flows = np.zeros(end_leg.shape[0])
    for k in range(end_leg.shape[0]):
        flows[k] = x[end_leg[k]] * scales[0] * (1.0 if end_at_end[k] else -1.0)
    for n in range(J):
        i, j = pointer[n], pointer[n + 1]
        joint_levels(
            flows[i:j], direction[i:j], area[i:j], offsets[i:j], has_run[n], M_end[i:j],
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
                rows,
                first[leg],
                count[leg],
                reverse,
                abs(m),
                p0,
                T,
                X,
                gas,
                -1,
                0.0,
                np.empty((0, 9)),
            )
            if choke >= 0:
                return False
        p0_stop[leg] = p0
        if reverse:
            M_a[leg] = M
        else:
            M_b[leg] = M
        if stop >= J:
            gamma = state.gamma(T_e / (1.0 + 0.2 * M * M), gas)
            p = p0 / stagnation_ratio(M, gamma)
            res[leg] = math.log(p / p_open[stop - J]) / scales[2]
        else:
            heat_in[stop] += abs(m) * T_e
            mass_in[stop] += abs(m)
        if stop_end[leg] >= 0:
            M_end[stop_end[leg]] = M
    for n in range(J):
        i, j = pointer[n], pointer[n + 1]
        if mass_in[n] > 0.0:
            T_node[n] = heat_in[n] / mass_in[n]
        joint_levels(
            flows[i:j], direction[i:j], area[i:j], offsets[i:j], has_run[n], M_end[i:j],
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
def solve_net(x, rows, topology, ends, offsets, p_open, scales, T0, gas):
    """Newton iteration from a start x, which is overwritten with the solution.

    Parameters
    ----------
    x, rows, topology, ends, offsets, p_open, scales, T0, gas : as in ``residual``
    Returns
    -------
    status, iterations, error, T_node : int, int, float, (J,) array   CONVERGED or FAILED; largest
        equation error; stagnation temperature of the joints [-, -, -, K]
    Source      damped Newton (Dennis & Schnabel 1983, from memory)
    """
    n, L = x.shape[0], topology[0].shape[0]
    J = n - L
    T_node = np.full(J, T0)
    res, other = np.zeros(n), np.zeros(n)
    M_a, M_b, starts = np.zeros(L), np.zeros(L), np.zeros((L, 3))
    jacobian = np.empty((n, n))
    ok = residual(
        x, rows, topology, ends, offsets, p_open, scales, T0, gas, T_node, res, M_a, M_b, starts
    )
    if not ok:
        return FAILED, 0, np.inf, T_node
    for iteration in range(MAX_NEWTON):
        error = np.abs(res).max()
        if error < 1e-10:
            return CONVERGED, iteration, error, T_node
        for j in range(n):
            old = x[j]
            x[j] = old + SHIFT * (1.0 if old >= 0.0 else -1.0)
            keep = T_node.copy()
            ok = residual(
                x,
                rows,
                topology,
                ends,
                offsets,
                p_open,
                scales,
                T0,
                gas,
                keep,
                other,
                M_a,
                M_b,
                starts,
            )
            if not ok:
                x[j] = old - SHIFT * (1.0 if old >= 0.0 else -1.0)
                keep = T_node.copy()
                residual(
                    x,
                    rows,
                    topology,
                    ends,
                    offsets,
                    p_open,
                    scales,
                    T0,
                    gas,
                    keep,
                    other,
                    M_a,
                    M_b,
                    starts,
                )
            jacobian[:, j] = (other - res) / (x[j] - old)
            x[j] = old
        if not np.all(np.isfinite(jacobian)) or np.linalg.cond(jacobian) > 1e14:
            return FAILED, iteration, error, T_node
        step = np.linalg.solve(jacobian, res)
        size = 1.0
        merit = np.sqrt((res * res).sum())
        while True:
            trial = x - size * step
            keep = T_node.copy()
            ok = residual(
                trial,
                rows,
                topology,
                ends,
                offsets,
                p_open,
                scales,
                T0,
                gas,
                keep,
                other,
                M_a,
                M_b,
                starts,
            )
            if ok and np.sqrt((other * other).sum()) <= merit * (1.0 - 1e-4 * size):
                break
            size *= 0.5
            if size < 1e-6:
                return (CONVERGED if error < 1e-8 else FAILED), iteration, error, T_node
        x[:] = trial
        res[:] = other
        T_node[:] = keep
    return FAILED, MAX_NEWTON, np.abs(res).max(), T_node


@njit(cache=True, parallel=True, error_model="numpy")
def solve_net_samples(x0, rows, topology, ends, p_open, scales, T0, gas, effects, joint_effects, z):
    """Leg flows for many samples of the doubts, each from the nominal solution.

    Parameters
    ----------
    x0 : (L + J,) array   Nominal solution [-]
    rows, topology, ends, p_open, scales, T0, gas : as in ``residual``
    effects, joint_effects : (m, 5) arrays   As in ``solve_samples``; the latter on leg ends [-]
    z : (samples, causes) array   Standard normal [-]
    Returns
    -------
    mdot, status : (samples, L), (samples,) arrays   [kg/s, -]
    Source      sampling of stated bands (JCGM 101:2008)
    """
    samples, L = z.shape[0], topology[0].shape[0]
    mdot = np.empty((samples, L))
    status = np.empty(samples, dtype=np.int64)
    for k in prange(samples):
        varied = rows.copy()
        for j in range(effects.shape[0]):
            cause, i, column = int(effects[j, 0]), int(effects[j, 1]), int(effects[j, 2])
            if effects[j, 3] == 0.0:
                varied[i, column] *= math.exp(effects[j, 4] * z[k, cause])
            else:
                varied[i, column] += effects[j, 4] * z[k, cause]
        offsets = np.zeros(ends[1].shape[0])
        for j in range(joint_effects.shape[0]):
            offsets[int(joint_effects[j, 1])] += (
                joint_effects[j, 4] * z[k, int(joint_effects[j, 0])]
            )
        x = x0.copy()
        result = solve_net(x, varied, topology, ends, offsets, p_open, scales, T0, gas)
        status[k] = result[0]
        for leg in range(L):
            mdot[k, leg] = x[leg] * scales[0]
    return mdot, status
