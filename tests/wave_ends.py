"""Simple waves, ends and nodes that the checks of the wave solver's ends share.

Sources. Simple waves, area changes and junctions: closed forms of Earnshaw and Riemann as used by
Benson 1982 and Blair 1999 ch. 2 (from memory), evaluated independently to six digits. Momentum at a
sudden expansion: Borda's balance solved by bracketing.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from pulse1d.waves.boundaries.joint import joint_end
from pulse1d.waves.pipes import ConstantGas
from pulse1d.waves.wave_curve import curve_point, curve_pressure

P_0, T_0, R, GAMMA = 101325.0, 293.0, 287.0, 1.4
GAS = ConstantGas(GAMMA, R)
A_0 = math.sqrt(GAMMA * R * T_0)
RHO_0 = P_0 / (R * T_0)
ROUND = 1e-12
"""Roundings of powers and a root found to 1e-13 of the sound speed."""

State = tuple[float, float, float, float]


def simple(ratio: float, sign: float = 1.0) -> State:
    """rho, u, p, gamma behind a simple wave; u > 0 in its direction, times ``sign``."""
    X = ratio ** (1.0 / 7.0)
    return RHO_0 * X**5, sign * 5.0 * A_0 * (X - 1.0), P_0 * ratio, GAMMA


def returned(p: float, ratio_in: float) -> float:
    """p/p0 of the wave that leaves an end, from its pressure and the incident one (homentropic)."""
    return ((p / P_0) ** (1.0 / 7.0) - ratio_in ** (1.0 / 7.0) + 1.0) ** 7


def gap(strength: float) -> float:
    """What a table of isentropic waves may miss of p/p0 where the wave is in truth a shock.

    The Hugoniot's velocity less the simple wave's, over a, of third order in the strength; gamma
    turns it into pressure. No gap for an expansion.
    """
    if strength <= 1.0:
        return 0.0
    shock = (strength - 1.0) / math.sqrt(0.5 * GAMMA * (2.4 * strength + 0.4))
    return GAMMA * abs(shock - 5.0 * (strength ** (1.0 / 7.0) - 1.0))


def borda(state: State, s: float) -> tuple[float, float]:
    """Pressure of the waves back into the small pipe and on into the large one, from conservation:
    mass, momentum with the jet's pressure on the step, energy, and both wave curves."""

    def answer(p_a: float) -> tuple[float, float]:
        u_a, rho_a, _, _ = curve_point(p_a, *state)
        G, J = s * rho_a * u_a, p_a + s * rho_a * u_a**2
        h0 = 3.5 * p_a / rho_a + 0.5 * u_a**2
        u = (3.5 * J - math.sqrt((3.5 * J) ** 2 - 12.0 * G**2 * h0)) / (6.0 * G)
        return J - G * u, u

    def miss(p_a: float) -> float:
        p_b, u = answer(p_a)
        return u + curve_point(p_b, RHO_0, 0.0, P_0, GAMMA)[0]

    wall = curve_pressure(0.0, *state)
    p_a = brentq(miss, 0.9 * P_0, wall * (1 - 1e-12), xtol=1e-9, rtol=1e-15)
    return p_a, answer(p_a)[0]


BENSON = [  # diameters, ratio, p/p0 of the reflected and the transmitted wave at constant pressure
    (25, 50, 1.2, 0.89430, 1.07627),
    (25, 50, 0.8, 1.13945, 0.91539),
    (25, 50, 1.5, 0.77487, 1.17941),
    (50, 25, 1.2, 1.11624, 1.33573),
    (50, 25, 0.8, 0.87544, 0.69731),
    (25, 80, 1.2, 0.85768, 1.03333),
    (25, 80, 0.8, 1.19513, 0.96157),
    (25, 80, 1.5, 0.70338, 1.07668),
    (40, 60, 1.2, 0.93108, 1.11936),
    (40, 60, 0.8, 1.08759, 0.87243),
]


def join(states: list[State], areas: np.ndarray) -> np.ndarray:
    """End states of a joint of one static pressure, checked for mass, energy and wave curves."""
    n = len(states)
    packed = np.array([[*state, R] for state in states]).T.copy()
    memory, out = np.array([P_0, T_0, GAMMA, R]), np.zeros((3, n))
    mix = np.array([[0.0, GAMMA, R]] * n).T.copy()
    for _ in range(8):  # the joint's temperature comes from the call before
        joint_end(
            packed,
            areas,
            np.zeros((n, 3)),
            False,
            False,
            memory,
            np.zeros(n),
            np.zeros(n),
            mix,
            out,
        )
    flow = areas * out[0] * out[1]
    assert abs(flow.sum()) < 1e-12 * (areas * RHO_0 * A_0).sum()
    h0 = 3.5 * out[2] / out[0] + 0.5 * out[1] ** 2
    assert abs((flow * h0).sum()) < 1e-9 * (areas * RHO_0 * A_0 * h0).sum()
    assert np.ptp(out[2]) == 0.0
    for k in range(n):
        assert curve_point(out[2, k], *states[k])[0] == pytest.approx(out[1, k], abs=1e-9 * A_0)
    return out


JUNCTION = [  # areas, p/p0 of the wave in leg 1, reflected, transmitted
    ((1, 1, 1), 1.2, 0.94003, 1.12984),
    ((1, 1, 1, 1, 1), 1.2, 0.89430, 1.07627),
    ((1, 1, 1, 1, 2), 1.2, 0.88317, 1.06322),
    ((1, 1, 1.5), 1.2, 0.92347, 1.11045),
    ((1, 1, 1), 1.5, 0.86888, 1.31377),
    ((1, 1, 1, 1, 1), 1.5, 0.77487, 1.17941),
    ((1, 1, 1, 1, 2), 1.5, 0.75279, 1.14772),
    ((1, 1, 1.5), 1.5, 0.83425, 1.26435),
    ((1, 1, 1), 0.8, 1.07555, 0.86246),
    ((1, 1, 1, 1, 1), 0.8, 1.13945, 0.91539),
]
