"""Joints of several legs: loss coefficients for every flow direction and split.

Directions are unit vectors pointing out of the joint along each leg. A stream that arrives through
leg i and leaves through leg c turns by theta = arccos(-d_i . d_c); 0 is straight through.

One leg flowing, its neighbours dead: the vector form of Borda's loss with 3/4 of the turn
(hager1984, bassett2001), which at equal areas is the loss of a mitre bend. Several suppliers: the
momentum balance along the collector with one pressure in the supply legs; at a branch off a through
run the two corrections of Idelchik (same numbers as Crane) bring the lateral and the run to
measured tables. A supplier that carries nearly all of the flow passes smoothly to the first form.
Dividing flow: Hager and Bassett.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

TURN = 0.75
"""Effective part of the turning angle (hager1984)."""

DOMINANT = 0.75
"""Share of the flow above which a supplier passes from the mixing form to the one-leg form."""

SOURCE = "hager1984, bassett2001, idelchik1986, crane2009"


@njit(cache=True, error_model="numpy")
def K_single(theta, s):
    """One leg flowing into (or out of) a joint whose other legs are dead.

    K = 1 + s^2 - 2 s cos(3 theta / 4), on the velocity head of the named leg

    Parameters
    ----------
    theta : float   Turning angle of the stream [rad], 0 .. pi
    s : float   Area of the named leg over area of the other flowing leg [-]
    Returns
    -------
    K : float   Total-pressure loss over the named leg's velocity head [-]
    Limits      theta = 0 is Borda-Carnot; s = 1 lies within 11 % of single mitres from 30 deg up,
        and below them under 30 deg. Band +-15 % and +-0.03.
    Source      hager1984, bassett2001 (3/4 of the turn)
    """
    return 1.0 + s * s - 2.0 * s * math.cos(TURN * theta)


@njit(cache=True, error_model="numpy")
def lateral_factor(q, area_ratio):
    """Idelchik's factor A on the lateral's coefficient.

    1 for small laterals; 0.9 (1 - q) falling to 0.55 for area ratios above 0.35, the jump smoothed
    over 0.30 .. 0.40 and the start blended from 1 below q = 0.02, so flow reversal is continuous.

    Parameters
    ----------
    q : float   Lateral's share of the combined flow [-]
    area_ratio : float   Lateral's area over the collector's [-]
    Returns
    -------
    A : float   Factor [-]
    Source      idelchik1986 diagrams 7-1 to 7-4 (kink at q = 0.4 smoothed)
    """
    late = max(0.9 * (1.0 - q), 0.55)
    if q < 0.02:
        late += (1.0 - late) * (1.0 - q / 0.02)
    blend = min(max((area_ratio - 0.30) / 0.10, 0.0), 1.0)
    return 1.0 + (late - 1.0) * blend


@njit(cache=True, error_model="numpy")
def K_combining(q, r, theta, has_run, K):
    """Several suppliers into one collector, each on the collector's velocity head.

    K_i = 1 - 2 sum_j q_j^2 r_j cos(theta_j) + (q_i r_i)^2, then at a branch off a run
    K_run -= 0.45 q_lateral w(theta_lateral), K_lateral *= A(q, 1/r)

    Parameters
    ----------
    q, r, theta : (n,) arrays   Share of the flow [-], collector area over supplier area [-], turn
        of each supplier [rad]
    has_run : bool   The joint is a lateral on a through run, not a merge around an axis [-]
    K : (n,) array   Filled with the coefficients [-]
    Limits      Tables start at 30 deg; 15 deg is extrapolated by formula. Band +-0.10 (add).
    Source      momentum balance; idelchik1986, crane2009 for the two corrections
    """
    momentum = 0.0
    lateral = 0.0
    for j in range(q.shape[0]):
        momentum += q[j] * q[j] * r[j] * math.cos(theta[j])
        w = min(max((theta[j] - math.pi / 3.0) / (math.pi / 6.0), 0.0), 1.0)
        lateral += q[j] * w * w * (3.0 - 2.0 * w)
    for i in range(q.shape[0]):
        own = 1.0 - 2.0 * momentum + (q[i] * r[i]) ** 2
        if has_run:
            side = min(max((theta[i] - math.radians(5.0)) / math.radians(10.0), 0.0), 1.0)
            branch = own * lateral_factor(q[i], 1.0 / r[i])
            run = own - 0.45 * lateral
            own = side * branch + (1.0 - side) * run
        K[i] = own


@njit(cache=True, error_model="numpy")
def K_dividing(q, r, theta, K):
    """One supplier into several collectors, each on the supplier's velocity head.

    K_j = 1 + (q_j r_j)^2 - 2 q_j r_j cos(3 theta_j / 4) - 0.5 (1 - q_j) w(theta_j), where w falls
    smoothly from 1 for a leg straight ahead to 0 at 30 deg; raised evenly where sum q_j K_j would
    be negative.

    Parameters
    ----------
    q, r, theta : (n,) arrays   Share of the flow [-], supplier area over collector area [-], turn
        towards each collector [rad]
    K : (n,) array   Filled with the coefficients [-]
    Limits      Band +-0.15 (add).
    Source      hager1984, bassett2001; straight leg K = q^2 - 1.5 q + 0.5 at equal areas
    """
    power = 0.0
    for j in range(q.shape[0]):
        x = q[j] * r[j]
        t = min(theta[j] / math.radians(30.0), 1.0)
        straight = 1.0 - t * t * (3.0 - 2.0 * t)
        K[j] = 1.0 + x * x - 2.0 * x * math.cos(TURN * theta[j]) - 0.5 * (1.0 - q[j]) * straight
        power += q[j] * K[j]
    if power < 0.0:
        for j in range(q.shape[0]):
            K[j] -= power


@njit(cache=True, error_model="numpy")
def K_one_leg(q, r, theta, K):
    """Suppliers into one collector, each with 3/4 of its own turn, on the collector's head.

    K_i = 1 - 2 [sum_j q_j^2 r_j cos(theta_j) - q_i^2 r_i (cos(theta_i) - cos(3 theta_i / 4))]
    + (q_i r_i)^2; at q = 1 it is K_single on the collector's head.

    Parameters
    ----------
    q, r, theta : (n,) arrays   As in ``K_combining`` [-, -, rad]
    K : (n,) array   Filled [-]
    Source      momentum balance; hager1984 for the leg that carries nearly all of the flow
    """
    momentum = 0.0
    for j in range(q.shape[0]):
        momentum += q[j] * q[j] * r[j] * math.cos(theta[j])
    for i in range(q.shape[0]):
        gain = q[i] * q[i] * r[i] * (math.cos(TURN * theta[i]) - math.cos(theta[i]))
        K[i] = 1.0 - 2.0 * (momentum + gain) + (q[i] * r[i]) ** 2


@njit(cache=True, error_model="numpy")
def dominance(q, theta, has_run):
    """Weight of the one-leg form for a supplier with share q: 0 below DOMINANT, 1 at q = 1.

    A stream straight through a branch keeps the tables' law at every share below 1: there the two
    forms have one limit.

    Parameters
    ----------
    q, theta : float   Share of the combined flow, turn of the stream [-, rad]
    has_run : bool   A lateral on a through run [-]
    Returns
    -------
    w : float   Smooth step [-]
    Source      judgement: the published tables and the mitre limit differ by up to 30 %
    """
    if q >= 1.0:
        return 1.0
    x = min(max((q - DOMINANT) / (1.0 - DOMINANT), 0.0), 1.0)
    side = min(max((theta - math.radians(5.0)) / math.radians(10.0), 0.0), 1.0)
    return x * x * (3.0 - 2.0 * x) * (side if has_run else 1.0)


def K_joint(flows, areas, directions, has_run=True):
    """Loss coefficients of a joint with one common leg, for holding against a handbook.

    Parameters
    ----------
    flows : (n,) array   Mass flow into the joint through each leg, negative out [kg/s]
    areas : (n,) array   Leg areas [m2]
    directions : (n, 3) array   Unit vectors out of the joint [-]
    has_run : bool   A lateral on a through run (True) or a merge around an axis [-]
    Returns
    -------
    K : (n,) array   Total-pressure loss between each leg and the common leg, on the common leg's
        velocity head; 0 for the common leg and for dead legs [-]
    Errors      ValueError when flow both enters and leaves through several legs, or there is none.
    Source      idelchik1986, crane2009, hager1984, bassett2001
    """
    flows, areas = np.asarray(flows, dtype=float), np.asarray(areas, dtype=float)
    directions = np.asarray(directions, dtype=float)
    suppliers, collectors = np.flatnonzero(flows > 0.0), np.flatnonzero(flows < 0.0)
    if len(suppliers) == 0 or len(collectors) == 0 or min(len(suppliers), len(collectors)) > 1:
        raise ValueError("K_joint needs one common leg: either one supplier or one collector")
    combining = len(collectors) == 1
    common, others = (collectors[0], suppliers) if combining else (suppliers[0], collectors)
    q = np.abs(flows[others]) / np.abs(flows[others]).sum()
    r = areas[common] / areas[others]
    theta = np.arccos(np.clip(-directions[others] @ directions[common], -1.0, 1.0))
    K, found = np.zeros(len(flows)), np.zeros(len(others))
    if combining:
        K_combining(q, r, theta, has_run, found)
        own = np.zeros(len(others))
        K_one_leg(q, r, theta, own)
        weight = np.array([dominance(x, t, has_run) for x, t in zip(q, theta, strict=True)])
        found = (1.0 - weight) * found + weight * own
    else:
        K_dividing(q, r, theta, found)
    K[others] = found
    return K
