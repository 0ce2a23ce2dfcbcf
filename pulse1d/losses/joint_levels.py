"""Losses of a joint in the network solution: from flows to ln p0 differences, compiled."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pulse1d.gas.relations import mach_after_loss, mach_of_mass_number, mass_number
from pulse1d.losses.junction import K_combining, K_dividing, K_single, dominance

VERGE = 0.02
"""Share of the flow within which a leg passes from supplier to collector."""


@njit(cache=True, error_model="numpy")
def ln_loss(M, K, gamma, ahead):
    """Fall of ln p0 by a loss K referred to a section with Mach number M.

    Parameters
    ----------
    M, K, gamma : float   Mach number, coefficient, ratio of specific heats [-]
    ahead : bool   The reference section lies upstream of the loss (True) or behind it [-]
    Returns
    -------
    fall : float   ln(p0_1/p0_2); infinite when it chokes; K gamma M^2/2 for a recovery [-]
    Source      constant-section integral of d ln p0 = -(gamma M^2/2) dK
    """
    if K <= 0.0 or M <= 0.0:
        return 0.5 * K * gamma * M * M
    other = mach_after_loss(M, K if ahead else -K, gamma)
    if other < 0.0:
        return np.inf
    fall = math.log(mass_number(other, gamma) / mass_number(M, gamma))
    return fall if ahead else -fall


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
    direction, area, total, largest : (3,) array and floats   ``largest`` share [-, m2, kg/s, -]
    Source      pseudo-supplier of mynard2015
    """
    total = 0.0
    for f in flows:
        total += max(sign * f, 0.0)
    direction = np.zeros(3)
    spread, largest = 0.0, 0.0
    for k in range(flows.shape[0]):
        q = max(sign * flows[k], 0.0) / total if total > 0.0 else 0.0
        direction += q * directions[k]
        spread += q * q / areas[k]
        largest = max(largest, q)
    return direction, (1.0 / spread if spread > 0.0 else 0.0), total, largest


@njit(cache=True, error_model="numpy")
def combining_levels(q, directions, areas, offsets, has_run, d_c, A_c, M_c, M_end, gamma, out):
    """ln p0 of every leg above the collector's, as a supplier with share q (0: on the verge).

    Parameters
    ----------
    q : (n,) array   Shares of the inflow, 0 for other legs [-]
    directions, areas, offsets, has_run, M_end, gamma : as in ``joint_levels``
    d_c, A_c, M_c : (3,) array, floats   Collector's direction, area, Mach number [-, m2, -]
    out : (n,) array   Filled; infinite where it chokes [-]
    Source      ``pulse1d.losses.junction``
    """
    n = q.shape[0]
    r, theta, K = np.empty(n), np.empty(n), np.empty(n)
    for k in range(n):
        r[k], theta[k] = A_c / areas[k], turn(directions[k], d_c)
    K_combining(q, r, theta, has_run, K)
    for k in range(n):
        out[k] = 0.5 * (K[k] + offsets[k]) * gamma * M_c * M_c
        w = dominance(q[k])
        if w > 0.0:
            if r[k] >= 1.0:
                single = K_single(theta[k], 1.0 / r[k]) + offsets[k] / (r[k] * r[k])
                own = ln_loss(M_end[k], single, gamma, True)
            else:
                own = ln_loss(M_c, K_single(theta[k], r[k]) + offsets[k], gamma, False)
            out[k] = (1.0 - w) * out[k] + w * own if w < 1.0 else own


@njit(cache=True, error_model="numpy")
def dividing_levels(q, directions, areas, offsets, d_s, A_s, M_s, flow_number, gamma, out):
    """ln p0 of every leg below the supplier's, as a collector with share q (0: on the verge).

    Parameters
    ----------
    q : (n,) array   Shares of the outflow, 0 for other legs [-]
    directions, areas, offsets, gamma : as in ``joint_levels``
    d_s, A_s, M_s : (3,) array, floats   Supplier's direction, area, Mach number [-, m2, -]
    flow_number : float   mdot sqrt(R T0) / p0 of the whole flow [m2]
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
        w = dominance(q[k])
        out[k] = (1.0 - w) * 0.5 * own * gamma * M * M
        if w > 0.0:
            out[k] += w * ln_loss(M, own, gamma, True)


@njit(cache=True, error_model="numpy")
def joint_levels(flows, directions, areas, offsets, has_run, M_end, p0, T0, gamma, R, out):
    """ln p0 of each leg at a joint, over the joint's own p0.

    One collector: p0 of the joint is the collector's, suppliers lie above it. One supplier: it is
    the supplier's, collectors lie below. Between the two, and for several of both, the levels are
    shared by how far the flow is from each case; a leg with less than VERGE of the flow passes
    evenly from one reading to the other. So every reversal is continuous.

    Parameters
    ----------
    flows : (n,) array   Into the joint, negative out [kg/s]
    directions, areas, offsets : (n, 3), (n,), (n,) arrays   Legs; added to K [-, m2, -]
    has_run : bool   Lateral on a through run [-]
    M_end : (n,) array   Mach number at the suppliers' ends [-]
    p0, T0, gamma, R : float   State of the joint and gas [Pa, K, -, J/kg/K]
    out : (n,) array   Filled; not finite where the joint chokes [-]
    Source      ``pulse1d.losses.junction``, mynard2015 for several of both
    """
    n = flows.shape[0]
    d_c, A_c, Q_out, most_out = mixed(flows, -1.0, directions, areas)
    d_s, A_s, Q_in, most_in = mixed(flows, 1.0, directions, areas)
    out[:] = 0.0
    if Q_in <= 0.0 or Q_out <= 0.0:
        return
    flow_number = 0.5 * (Q_in + Q_out) * math.sqrt(R * T0) / p0
    M_c = mach_of_mass_number(flow_number / A_c, gamma)
    M_s = mach_of_mass_number(flow_number / A_s, gamma)
    if M_c < 0.0 or M_s < 0.0:
        out[:] = np.inf
        return
    lean = 0.5 + 0.5 * (most_in - most_out) / VERGE
    dividing = min(max(lean, 0.0), 1.0)
    above, below = np.zeros(n), np.zeros(n)
    share_in = np.maximum(flows, 0.0) / Q_in
    share_out = np.maximum(-flows, 0.0) / Q_out
    combining_levels(
        share_in, directions, areas, offsets, has_run, d_c, A_c, M_c, M_end, gamma, above
    )
    dividing_levels(share_out, directions, areas, offsets, d_s, A_s, M_s, flow_number, gamma, below)
    for k in range(n):
        supplier = min(max(0.5 + 0.5 * (share_in[k] - share_out[k]) / VERGE, 0.0), 1.0)
        if supplier > 0.0 and dividing < 1.0:
            out[k] += supplier * (1.0 - dividing) * above[k]
        if supplier < 1.0 and dividing > 0.0:
            out[k] -= (1.0 - supplier) * dividing * below[k]
