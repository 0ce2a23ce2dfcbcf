"""Verification: the wave curve that pipe ends use, against star states, tables and its own slope.

Sources. Star states of classical shock tubes: an independent solution by bracketing, eight digits,
agreeing with Toro 2009 table 4.1 (from memory). Finite waves in air at 293 K with the velocities of
simple waves and of shocks: an independent calculation from Earnshaw's and Riemann's closed forms
and the Hugoniot, as tabulated by Blair 1999 ch. 2 and Benson 1982 (from memory; their values agree
within 0.1 %). Normal shock ratios: NACA Report 1135 (from memory). Where a table gives n digits the
tolerance is half a unit of its last one.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pulse1d.waves import exact_riemann, wave_curve

State = tuple[float, float, float, float]
"""rho, u, p, gamma; u > 0 out of the pipe."""
ROUND = 1e-13
"""A few hundred roundings; powers of at most 22 (gamma 1.1) of values known to 1e-16."""
relaxed = settings(max_examples=100, deadline=None)
"""The first example compiles."""

TOY = [  # state left, state right, p*, u*, rho*l, rho*r, half a unit of each last digit
    ((1, 0, 1), (0.125, 0, 0.1), (0.30313018, 0.92745262, 0.42631943, 0.26557371), 8),
    ((1, 0, 1000), (1, 0, 0.01), (460.89379, 19.597451, 0.5750623, 5.9992407), 5),
    ((1, 0.75, 1), (0.125, 0, 0.1), (0.46629357, 1.3609055, 0.57986669, 0.33970023), 7),
    ((0.445, 0.698, 3.528), (0.5, 0, 0.571), (2.4660979, 1.528723, 0.34456847, 1.3040845), 6),
]

P_0, T_0, R, GAMMA = 101325.0, 293.0, 287.0, 1.4
RHO_0, A_0 = 1.204945, 343.1143
FINITE = [  # p/p0, velocity of the simple wave, sound speed, density, shock speed, gas velocity
    (0.5, -161.738, 310.767, 0.73442, None, None),
    (0.6, -120.735, 318.967, 0.83657, None, None),
    (0.8, -53.826, 332.349, 1.02741, None, None),
    (1.1, 23.519, 347.818, 1.28983, 357.517, 23.521),
    (1.2, 45.271, 352.168, 1.37254, 371.361, 45.288),
    (1.5, 102.306, 363.576, 1.60971, 410.100, 102.525),
    (2.0, 178.573, 378.829, 1.97692, 467.586, 179.841),
]
CLOSED = [(0.6, 0.34580), (0.8, 0.63531), (0.9, 0.80870)]
"""Incident expansion p/p0, pressure ratio at a closed end."""
OUTFLOW = [(1.1, 47.04), (1.2, 90.54), (1.3, 131.04), (1.5, 204.61), (1.6, 238.29)]
"""Incident compression p/p0, velocity in an open end."""
NORMAL_SHOCK = [(1.5, 2.458333), (2.0, 4.5), (3.0, 10.333333)]
"""Mach number, p_2/p_1, gamma 1.4."""

states = st.builds(
    lambda log_rho, M, log_p, gamma: (
        10.0**log_rho,
        M * math.sqrt(gamma * 10.0 ** (log_p - log_rho)),
        10.0**log_p,
        gamma,
    ),
    st.floats(-2.0, 2.0),
    st.floats(-1.5, 1.5),
    st.floats(-3.0, 6.0),
    st.floats(1.1, 1.67),
)
ratios = st.floats(-5.0, 5.0).map(math.exp)


def sound(state: State) -> float:
    rho, _, p, gamma = state
    return math.sqrt(gamma * p / rho)


def simple_wave(ratio: float) -> State:
    """Air behind a simple wave that left the state at rest, u > 0 in the wave's direction."""
    X = ratio ** (1.0 / 7.0)
    rho = P_0 / (R * T_0) * X**5
    return rho, 5.0 * math.sqrt(GAMMA * R * T_0) * (X - 1.0), P_0 * ratio, GAMMA


REST: State = (P_0 / (R * T_0), 0.0, P_0, GAMMA)


@pytest.mark.parametrize(("left", "right", "star", "digits"), TOY)
def test_both_sides_of_a_shock_tube_meet_at_the_star_state(
    left: tuple[float, float, float],
    right: tuple[float, float, float],
    star: tuple[float, float, float, float],
    digits: int,
) -> None:
    p, u, rho_l, rho_r = star
    for (rho, v, p_side), sign, rho_b in ((left, 1.0, rho_l), (right, -1.0, rho_r)):
        found = wave_curve.curve_point(p, float(rho), sign * v, float(p_side), 1.4)
        # the printed p* is itself off by half a unit, which moves u by slope times that
        unit = 10.0**-digits
        assert found[0] == pytest.approx(sign * u, abs=unit * (1.0 - found[2]))
        # densities are printed to at least 7 places
        assert found[1] == pytest.approx(rho_b, abs=0.51e-7 + unit * found[3])


@pytest.mark.parametrize("row", TOY)
def test_star_states_of_the_exact_solver(row: tuple[tuple[float, float, float], ...]) -> None:
    gases = [exact_riemann.GasState(*side, 1.4) for side in row[:2]]
    star = exact_riemann.riemann_exact(*gases)
    for gas, sign, rho_b in ((gases[0], 1.0, star.rho_l), (gases[1], -1.0, star.rho_r)):
        state = (gas.rho, sign * gas.u, gas.p, 1.4)
        assert wave_curve.curve_velocity(star.p, *state) == pytest.approx(
            sign * star.u, rel=1e-12, abs=0.0
        )
        found = wave_curve.curve_density(star.p, gas.rho, gas.p, 1.4)
        assert found == pytest.approx(rho_b, rel=1e-12, abs=0.0)
        # 1e-11: p moves with u by 1/slope, up to 50 times their ratio in the blast problem
        assert wave_curve.curve_pressure(sign * star.u, *state) == pytest.approx(
            star.p, rel=1e-11, abs=0.0
        )


@pytest.mark.parametrize(("ratio", "c", "a", "rho", "shock", "u_shock"), FINITE)
def test_finite_waves_in_air(
    ratio: float, c: float, a: float, rho: float, shock: float | None, u_shock: float | None
) -> None:
    """A pipe's gas moves into the pipe (u < 0) where its end is raised above rest pressure."""
    p_b = ratio * P_0
    u_b, rho_b, _, _ = wave_curve.curve_point(p_b, *REST)
    if shock is None or u_shock is None:
        assert u_b == pytest.approx(-c, abs=5.1e-4)
        assert rho_b == pytest.approx(rho, abs=5.1e-6)
        assert math.sqrt(GAMMA * p_b / rho_b) == pytest.approx(a, abs=5.1e-4)
        return
    assert u_b == pytest.approx(-u_shock, abs=5.1e-4)
    head, tail = exact_riemann.wave_speeds(p_b, *REST)
    assert head == tail == pytest.approx(-shock, abs=5.1e-4)
    # the simple wave itself: from the compressed gas back to rest by a fan
    raised = (rho, 0.0, p_b, GAMMA)
    released, rho_b, _, _ = wave_curve.curve_point(P_0, *raised)
    # rho is printed to 5 decimals: 4e-6 of it, half of that in a and c
    assert released == pytest.approx(c, rel=4e-6, abs=5.1e-4)
    assert rho_b == pytest.approx(RHO_0, abs=6e-6)


@pytest.mark.parametrize(("ratio", "p_wall"), CLOSED)
def test_closed_end(ratio: float, p_wall: float) -> None:
    p_b = wave_curve.curve_pressure(0.0, *simple_wave(ratio))
    assert p_b / P_0 == pytest.approx(p_wall, abs=5.1e-6)
    assert p_b / P_0 == pytest.approx((2.0 * ratio ** (1 / 7) - 1.0) ** 7, rel=ROUND, abs=0.0)


@pytest.mark.parametrize("ratio", [1.02, 1.05, 1.1])
def test_a_compression_reflected_by_a_wall_stays_below_the_simple_wave(ratio: float) -> None:
    """The reflected wave is a shock, which gives less pressure for its velocity at third order.

    ln p differs by [3 (g+1)^2/(32 g^2) - (1-k)(2-k)/6] rise^3, k = (g-1)/(2g): both branches of
    the curve expanded to third order in the reflected wave's own rise.
    """
    k = (GAMMA - 1.0) / (2.0 * GAMMA)
    third = 3.0 * (GAMMA + 1.0) ** 2 / (32.0 * GAMMA**2) - (1.0 - k) * (2.0 - k) / 6.0
    p_wall = wave_curve.curve_pressure(0.0, *simple_wave(ratio))
    simple = P_0 * (2.0 * ratio ** (1 / 7) - 1.0) ** 7
    rise = p_wall / (P_0 * ratio) - 1.0
    # the next term is about 1.4 rise of this one
    assert math.log(simple / p_wall) == pytest.approx(third * rise**3, rel=2.0 * rise, abs=0.0)


@pytest.mark.parametrize(("ratio", "u_end"), OUTFLOW)
def test_open_end_outflow(ratio: float, u_end: float) -> None:
    p_e, _, u_e = wave_curve.curve_end(P_0, *simple_wave(ratio))
    assert p_e == P_0
    assert u_e == pytest.approx(u_end, abs=5.1e-3)


@relaxed
@given(states, ratios)
def test_pressure_and_velocity_are_inverse(state: State, ratio: float) -> None:
    _, u, p, gamma = state
    p_b = ratio * p
    u_b, _, slope, _ = wave_curve.curve_point(p_b, *state)
    # u_b is rounded to 1e-16 of |u| + |u_b| + a, which is worth 1/slope in pressure
    blur = 4e-16 * (abs(u) + abs(u_b) + 2.0 * sound(state) / (gamma - 1.0)) / abs(slope)
    back = wave_curve.curve_pressure(u_b, *state)
    assert back == pytest.approx(p_b, rel=ROUND, abs=4.0 * blur)


@relaxed
@given(states, ratios)
def test_slopes_are_those_of_the_curve(state: State, ratio: float) -> None:
    p_b = ratio * state[2]
    assume(abs(ratio - 1.0) > 1e-2)  # the step must not straddle both branches
    step = 1e-4 * p_b
    above = wave_curve.curve_point(p_b + step, *state)
    below = wave_curve.curve_point(p_b - step, *state)
    _, _, du, drho = wave_curve.curve_point(p_b, *state)
    blur = 1e-15 * (abs(state[1]) + abs(above[0])) / step  # rounding of the difference
    # central differences err by step^2 times a third derivative, of order 1: a few 1e-8
    assert (above[0] - below[0]) / (2 * step) == pytest.approx(du, rel=1e-7, abs=blur)
    assert (above[1] - below[1]) / (2 * step) == pytest.approx(drho, rel=1e-7, abs=0.0)


@relaxed
@given(states)
def test_shock_and_fan_join_smoothly(state: State) -> None:
    """At p_b = p the wave is sound: du/dp = -1/(rho a), drho/dp = 1/a^2 from either side."""
    rho, u, p, _ = state
    a = sound(state)
    for p_b in (p, p * (1.0 + 1e-9), p * (1.0 - 1e-9)):
        u_b, rho_b, du, drho = wave_curve.curve_point(p_b, *state)
        # slopes change by about the pressure step, 1e-9
        assert du == pytest.approx(-1.0 / (rho * a), rel=3e-9, abs=0.0)
        assert drho == pytest.approx(1.0 / a**2, rel=3e-9, abs=0.0)
        assert rho_b == pytest.approx(rho * (1.0 + (p_b - p) / (rho * a**2)), rel=1e-15, abs=0.0)
        assert u_b == pytest.approx(u - (p_b - p) / (rho * a), abs=1e-15 * (abs(u) + a))


def test_weak_waves_keep_their_digits() -> None:
    """A billionth of a bar: velocity is -dp/(rho a) to second order, not lost in 1 - 1."""
    rho, _, p, _ = REST
    for sign in (1.0, -1.0):
        p_b = p * (1.0 + sign * 1e-9)
        expected = -(p_b - p) / (rho * sound(REST))
        assert wave_curve.curve_velocity(p_b, *REST) == pytest.approx(expected, rel=1e-8, abs=0.0)
        again = wave_curve.curve_pressure(expected, *REST) - p
        # p_b itself is rounded to 1e-16, which is 1e-7 of so small a rise
        assert again == pytest.approx(p_b - p, rel=3e-7, abs=0.0)


@relaxed
@given(states)
def test_sonic_outflow_is_the_largest(state: State) -> None:
    rho, u, p, gamma = state
    p_s, rho_s, u_s = wave_curve.curve_sonic(*state)
    if u >= sound(state):
        assert (p_s, rho_s, u_s) == (p, rho, u)
        return
    assert u_s == pytest.approx(math.sqrt(gamma * p_s / rho_s), rel=ROUND, abs=0.0)
    assert p_s / rho_s**gamma == pytest.approx(p / rho**gamma, rel=ROUND, abs=0.0)
    u_b, rho_b, _, _ = wave_curve.curve_point(p_s, *state)
    assert (u_b, rho_b) == pytest.approx((u_s, rho_s), rel=1e-12, abs=1e-13 * sound(state))
    for p_b in (0.99 * p_s, min(1.01 * p_s, p)):
        u_b, rho_b, _, _ = wave_curve.curve_point(p_b, *state)
        assert rho_b * u_b <= rho_s * u_s * (1.0 + ROUND)
    assert wave_curve.curve_entering(*state) == p_s


def test_gas_that_recedes_too_fast_has_no_outflow() -> None:
    state = (1.0, -6.0, 1.0, 1.4)  # 2 a/(gamma-1) = 5.916
    assert wave_curve.curve_vacuum(*state) < 0.0
    assert wave_curve.curve_sonic(*state) == (0.0, 0.0, 0.0)
    assert wave_curve.curve_pressure(0.0, *state) == 0.0


@relaxed
@given(states)
def test_vacuum_ends_the_curve(state: State) -> None:
    edge = wave_curve.curve_vacuum(*state)
    u_b, rho_b, du, drho = wave_curve.curve_point(0.0, *state)
    assert u_b == pytest.approx(edge, abs=1e-15 * (abs(state[1]) + abs(edge)))
    assert (rho_b, du, drho) == (0.0, -math.inf, math.inf)
    assert wave_curve.curve_pressure(edge + 1e-9 * sound(state), *state) == 0.0
    thin, rho_b, _, _ = wave_curve.curve_point(1e-300 * state[2], *state)
    assert 0.0 < rho_b < 1e-100 * state[0]
    # z = 1e-300^((gamma-1)/(2 gamma)) is 2e-14 at gamma 1.1 times 2 a/(gamma-1)
    assert thin == pytest.approx(edge, abs=1e-12 * sound(state))


@pytest.mark.parametrize(("M", "ratio"), NORMAL_SHOCK)
def test_supersonic_outflow_and_the_shock_that_stands_in_the_end(M: float, ratio: float) -> None:
    rho, _, p, gamma = REST
    state = (rho, M * sound(REST), p, gamma)
    p_least = wave_curve.curve_entering(*state)
    assert p_least / p == pytest.approx(ratio, abs=5.1e-7)
    assert exact_riemann.wave_speeds(p_least, *state)[0] == pytest.approx(0.0, abs=1e-10)
    assert wave_curve.curve_end(0.999 * p_least, *state) == (p, rho, state[1])
    p_e, rho_e, u_e = wave_curve.curve_end(1.001 * p_least, *state)
    assert p_e == 1.001 * p_least
    assert 0.0 < u_e < math.sqrt(gamma * p_e / rho_e)


@relaxed
@given(states, ratios)
def test_end_state_is_the_exact_solution_at_the_pipe_end(state: State, ratio: float) -> None:
    """A pipe that flows out into a gas at p_b: the exact solution on the ray x/t = 0.

    That gas is so light, 1e-14 of the pipe's, that it gives way: the contact keeps p_b to 1e-6.
    """
    rho, u, p, gamma = state
    p_b = ratio * p
    p_e, rho_e, u_e = wave_curve.curve_end(p_b, *state)
    assume(u_e > 1e-3 * sound(state))
    light = exact_riemann.GasState(1e-14 * rho, u, p_b, gamma)
    solution = exact_riemann.riemann_exact(exact_riemann.GasState(*state), light)
    assume(abs(solution.wave_l.head) > 1e-4 * sound(state))  # a shock just off the end: either side
    W = solution.sample(0.0)
    assert W[[0, 2]] == pytest.approx([rho_e, p_e], rel=1e-5, abs=0.0)
    assert W[1] == pytest.approx(u_e, abs=1e-5 * sound(state))
