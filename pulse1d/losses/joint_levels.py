"""Losses of a joint in the network solution: from flows to ln p0 differences, compiled."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pulse1d.gas.relations import (
    mach_after_loss,
    mach_before_expansion,
    mach_of_mass_number,
    mass_number,
)
from pulse1d.losses.junction import K_combining, K_dividing, K_one_leg, dominance

VERGE = 0.08
"""Share of the flow within which a leg passes from supplier to collector. At 0.02 a leg beside a
straight stream swings by two tenths in ln p0 within 4 % of the flow, which a pipe can answer in two
ways: cycles of an engine then never repeat; at 0.08 they do (measured)."""


@njit(cache=True, error_model="numpy")
def ln_loss(M, K, gamma):
    """Fall of ln p0 by a loss K referred to a section with Mach number M behind the loss.

    Parameters
    ----------
    M, K, gamma : float   Mach number, coefficient, ratio of specific heats [-]
    Returns
    -------
    fall : float   ln(p0_1/p0_2); K gamma M^2/2 for a recovery [-]
    Source      constant-section integral of d ln p0 = -(gamma M^2/2) dK
    """
    if K <= 0.0 or M <= 0.0:
        return 0.5 * K * gamma * M * M
    before = mach_after_loss(M, -K, gamma)
    return math.log(mass_number(M, gamma) / mass_number(before, gamma))


@njit(cache=True, error_model="numpy")
def widening_fall(M, s, K, gamma):
    """Fall of ln p0 where a stream turns, then widens into its part of a leg, or from its part.

    The widening is the compressible momentum balance; what K holds beyond its incompressible loss
    (1 - s)^2 is the turn's, on the head of the narrow leg.

    Parameters
    ----------
    M, s, K, gamma : float   Mach number where wide; the stream's narrow over its wide area;
        coefficient on the narrow head; ratio of specific heats [-]
    Returns
    -------
    fall : float   ln(p0_1/p0_2); infinite when it chokes [-]
    Source      borda
    """
    before = mach_before_expansion(M, s, gamma)
    if before < 0.0:
        return np.inf
    if before == 0.0:
        return 0.0
    widening = math.log(mass_number(M, gamma) / (s * mass_number(before, gamma)))
    return widening + ln_loss(before, K - (1.0 - s) ** 2, gamma)


@njit(cache=True, error_model="numpy")
def turn(u, v):
    """Angle by which a stream turns from leg u to leg v, both vectors out of the joint.

    Parameters
    ----------
    u, v : (3,) arrays   Directions; a flow-weighted mean may be shorter than 1 [-]
    Returns
    -------
    theta : float   0 .. pi [rad]
    """
    c = -(u[0] * v[0] + u[1] * v[1] + u[2] * v[2])
    return math.acos(min(max(c, -1.0), 1.0))


@njit(cache=True, error_model="numpy")
def mixed(flows, sign, directions, areas):
    """Flow-weighted mean direction, area and total of the legs flowing one way.

    Parameters
    ----------
    flows : (n,) array   Into the joint [kg/s]
    sign : float   +1 for suppliers, -1 for collectors [-]
    directions, areas : (n, 3), (n,) arrays   [-, m2]
    Returns
    -------
    direction, area, total, oneness : (3,) array and floats   Oneness is the sum of squared shares,
        1 for a single leg [-, m2, kg/s, -]
    Source      pseudo-supplier of mynard2015
    """
    total = 0.0
    for f in flows:
        total += max(sign * f, 0.0)
    direction = np.zeros(3)
    spread, oneness = 0.0, 0.0
    for k in range(flows.shape[0]):
        q = max(sign * flows[k], 0.0) / total if total > 0.0 else 0.0
        for axis in range(3):  # an array sum would allocate twice a leg
            direction[axis] += q * directions[k, axis]
        spread += q * q / areas[k]
        oneness += q * q
    return direction, (1.0 / spread if spread > 0.0 else 0.0), total, oneness


@njit(cache=True, error_model="numpy")
def combining_levels(
    q, directions, areas, offsets, has_run, d_c, A_c, M_c, flow_number, gamma, out
):
    """ln p0 of every leg above the collector's, as a supplier with share q (0: on the verge).

    Parameters
    ----------
    q : (n,) array   Shares of the inflow, 0 for other legs [-]
    directions, areas, offsets, has_run, gamma : as in ``joint_levels``
    d_c, A_c, M_c : (3,) array, floats   Collector's direction, area, Mach number [-, m2, -]
    flow_number : float   mdot sqrt(R T0) / p0 of the whole flow, p0 behind the joint [m2]
    out : (n,) array   Filled; infinite where it chokes [-]
    Source      ``pulse1d.losses.junction``
    """
    n = q.shape[0]
    r, theta = np.empty(n), np.empty(n)
    K, own = np.empty(n), np.empty(n)
    for k in range(n):
        r[k], theta[k] = A_c / areas[k], turn(directions[k], d_c)
    K_combining(q, r, theta, has_run, K)
    K_one_leg(q, r, theta, own)
    for k in range(n):
        out[k] = 0.5 * (K[k] + offsets[k]) * gamma * M_c * M_c
        w = dominance(q[k], theta[k], has_run)
        if w > 0.0:
            fast = max(q[k] * r[k], 1.0)
            M = M_c
            if fast > 1.0:
                M = mach_of_mass_number(q[k] * flow_number / areas[k], gamma)
                if M < 0.0:
                    out[k] = np.inf
                    continue
            share = (own[k] + offsets[k]) / (fast * fast)
            if fast > 1.0:
                one = widening_fall(M_c, 1.0 / fast, share, gamma)
            else:
                one = ln_loss(M, share, gamma)
            out[k] = (1.0 - w) * out[k] + w * one if w < 1.0 else one


@njit(cache=True, error_model="numpy")
def dividing_levels(q, directions, areas, offsets, d_s, A_s, M_s, flow_number, gamma, out):
    """ln p0 of every leg below the suppliers', as a collector with share q (0: on the verge).

    Parameters
    ----------
    q : (n,) array   Shares of the outflow, 0 for other legs [-]
    directions, areas, offsets, gamma : as in ``joint_levels``
    d_s, A_s, M_s : (3,) array, floats   Supplier's direction, area, Mach number [-, m2, -]
    flow_number : float   mdot sqrt(R T0) / p0 of the whole flow, p0 behind the joint [m2]
    out : (n,) array   Filled; infinite where it chokes [-]
    Source      ``pulse1d.losses.junction``
    """
    n = q.shape[0]
    r, theta, K = np.empty(n), np.empty(n), np.empty(n)
    for k in range(n):
        r[k], theta[k] = A_s / areas[k], turn(d_s, directions[k])
    K_dividing(q, r, theta, K)
    for k in range(n):
        fast = max(q[k] * r[k], 1.0)
        M = M_s
        if fast > 1.0:
            M = mach_of_mass_number(q[k] * flow_number / areas[k], gamma)
            if M < 0.0:
                out[k] = np.inf
                continue
        own = (K[k] + offsets[k]) / (fast * fast)
        w = dominance(q[k], theta[k], False)
        out[k] = 0.5 * own * gamma * M * M
        if w > 0.0:
            if q[k] * r[k] < 1.0:
                M_k = mach_of_mass_number(q[k] * flow_number / areas[k], gamma)
                one = widening_fall(M_k, q[k] * r[k], own, gamma)
            else:
                one = ln_loss(M, own, gamma)
            out[k] = (1.0 - w) * out[k] + w * one if w < 1.0 else one


@njit(cache=True, error_model="numpy")
def joint_levels(flows, directions, areas, offsets, has_run, p0, T0, gamma, R, out):
    """ln p0 of each leg at a joint, over the mean of its collectors, which is the joint's own p0.

    Suppliers lie above it by the combining coefficients when there is one collector, and by the
    mean of the dividing ones when there is one supplier; between the two, and for several of both,
    the mean is shared by how far the flow is from each case. A leg with less than VERGE of the flow
    passes evenly from one reading to the other, both taken from the same origin. So every reversal
    is continuous, and a leg at rest beside a straight stream feels its static pressure.

    Parameters
    ----------
    flows : (n,) array   Into the joint, negative out [kg/s]
    directions, areas, offsets : (n, 3), (n,), (n,) arrays   Legs; added to K [-, m2, -]
    has_run : bool   Lateral on a through run [-]
    p0, T0, gamma, R : float   State of the joint and gas [Pa, K, -, J/kg/K]
    out : (n,) array   Filled; not finite where the joint chokes [-]
    Source      ``pulse1d.losses.junction``, mynard2015 for several of both
    """
    n = flows.shape[0]
    d_c, A_c, Q_out, one_out = mixed(flows, -1.0, directions, areas)
    d_s, A_s, Q_in, one_in = mixed(flows, 1.0, directions, areas)
    out[:] = 0.0
    if Q_in <= 0.0 or Q_out <= 0.0:
        return
    flow_number = 0.5 * (Q_in + Q_out) * math.sqrt(R * T0) / p0
    M_c = mach_of_mass_number(flow_number / A_c, gamma)
    M_s = mach_of_mass_number(flow_number / A_s, gamma)
    if M_c < 0.0 or M_s < 0.0:
        out[:] = np.inf
        return
    above, below = np.zeros(n), np.zeros(n)
    share_in, share_out = np.empty(n), np.empty(n)
    for k in range(n):
        share_in[k], share_out[k] = max(flows[k], 0.0) / Q_in, max(-flows[k], 0.0) / Q_out
    combining_levels(
        share_in, directions, areas, offsets, has_run, d_c, A_c, M_c, flow_number, gamma, above
    )
    dividing_levels(share_out, directions, areas, offsets, d_s, A_s, M_s, flow_number, gamma, below)
    mean_c, mean_d = 0.0, 0.0
    for k in range(n):
        if share_in[k] > 0.0:
            mean_c += share_in[k] * above[k]
        if share_out[k] > 0.0:
            mean_d += share_out[k] * below[k]
    x, y = 1.0 - one_out, 1.0 - one_in
    w = max(0.5 * (2.0 * VERGE - x - y), 0.0)
    dividing = (x + w) / (x + y + 2.0 * w)
    mean = (1.0 - dividing) * mean_c + dividing * mean_d
    for k in range(n):
        supplier = min(max(0.5 + 0.5 * (share_in[k] - share_out[k]) / VERGE, 0.0), 1.0)
        if supplier > 0.0:
            out[k] += supplier * (above[k] - mean_c + mean)
        if supplier < 1.0:
            out[k] += (1.0 - supplier) * (mean_d - below[k])
