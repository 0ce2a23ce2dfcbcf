"""Verification: the method of characteristics against closed forms and tables of wave theory.

The tables are computed from the relations named beside them (Earnshaw and Riemann; set out by
Benson, 1982, and Blair, 1996, from memory) with five or six digits. Where waves have settled to
levels the mesh has no part in the answer, so the table's last digit is the tolerance; where they
move, the tolerance is the error found at the stated mesh with a margin of a third to a half, and
the error's order shows that it is the mesh's.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from typing import Any, Literal

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from pulse1d.errors import ConvergenceError
from pulse1d.waves.moc import (
    Closed,
    History,
    Junction,
    NonReflecting,
    Open,
    Pipe,
    Pressure,
    Profile,
    Vessel,
    Wave,
    solve,
)

P0, T0, R, GAMMA = 101325.0, 293.0, 287.0, 1.4
"""Air of the tables [Pa, K, J/kg/K, -]."""
GAS = (GAMMA, R)
Order = Literal[1, 2]
A0 = math.sqrt(GAMMA * R * T0)
START, END = (0, "start"), (0, "end")
DIGIT = 1e-5
"""Last digit of a tabulated pressure ratio; half of it is rounding, half the rest of the ramp."""
SPEED = 1e-3
"""The same of a tabulated velocity, printed to 1e-3 [m/s]."""


def pipe(length: float = 0.5, cells: int = 25, bore: float = 0.025, **more: Any) -> Pipe:
    first = {"p": P0, "T": T0, **more}
    return Pipe(length, bore, bore, cells, **first)


def level(ratio: float, rise: float = 4e-3) -> Wave:
    """A wave that rises slowly enough not to shock in half a metre, and stays."""
    return Wave([0.0, rise], [P0, ratio * P0])


def hump(ratio: float, base: float, count: int = 2001) -> Wave:
    t = np.linspace(0.0, base, count)
    return Wave(t, P0 * (1.0 + (ratio - 1.0) * np.sin(np.pi * t / base) ** 2))


def X(ratio: Any) -> Any:
    return ratio ** (1.0 / 7.0)


def reflected(at: Profile, incident: float) -> float:
    """Pressure ratio of the returned wave alone, from superposition in mid-pipe."""
    return float((X(at.p[len(at.p) // 2] / P0) - X(incident) + 1.0) ** 7)


def mach(at: Profile, gas: tuple[float, float] = GAS) -> NDArray[np.float64]:
    return at.u / np.sqrt(gas[0] * gas[1] * at.T)


@cache
def driven(top: float) -> History:
    ends = {START: level(top, 20e-3), END: NonReflecting()}
    return solve([pipe(1.2, 120)], ends, [], GAS, 28e-3, probes=[(0, 0.2), (0, 1.0)])


# --- waves on their own: Earnshaw and Riemann ------------------------------------------------


@pytest.mark.parametrize(
    ("top", "p", "speed", "u", "allowed"),
    [
        (2.1, 1.1, 371.336, 23.519, 1e-4),
        (2.1, 1.2, 397.439, 45.271, 1e-4),
        (2.1, 1.5, 465.882, 102.306, 1e-4),
        (2.1, 2.0, 557.402, 178.573, 1e-4),
        (0.45, 0.8, 278.523, -53.826, 1e-3),
        (0.45, 0.6, 198.232, -120.735, 1e-3),
        (0.45, 0.5, 149.029, -161.738, 1e-3),
    ],
)
def test_a_level_of_a_wave_travels_at_its_own_speed(
    top: float, p: float, speed: float, u: float, allowed: float
) -> None:
    # 10 mm cells; the kink at the wave's start is smeared by a cell, which is felt where the
    # wave is weak: found 0.003 % and 0.03 %
    done = driven(top)
    way = math.copysign(1.0, top - 1.0)
    t_1, t_2 = (np.interp(way * p * P0, way * probe.p, done.t) for probe in done.probes)
    assert 0.8 / (t_2 - t_1) == pytest.approx(speed, rel=allowed)
    assert np.interp(t_2, done.t, done.probes[1].u) == pytest.approx(u, abs=SPEED)


@pytest.mark.parametrize(
    ("right", "left", "p", "u", "fast", "slow"),
    [
        (1.2, 1.2, 1.43335, 0.0, 361.223, -361.223),
        (1.2, 0.8, 0.96561, 99.097, 440.500, -242.307),
        (1.3, 1.1, 1.42503, 42.002, 402.924, -318.920),
        (1.5, 0.7, 1.07181, 187.531, 534.062, -158.999),
        (0.8, 0.8, 0.63531, 0.0, 321.584, -321.584),
    ],
)
def test_opposing_waves_superpose(
    right: float, left: float, p: float, u: float, fast: float, slow: float
) -> None:
    done = solve([pipe()], {START: level(right), END: level(left)}, [], GAS, 12e-3)
    at = done.profiles[0]
    a = math.sqrt(GAMMA * R * at.T[12])
    assert at.p[12] / P0 == pytest.approx(p, abs=DIGIT)
    assert (at.u[12], at.u[12] + a, at.u[12] - a) == pytest.approx((u, fast, slow), abs=SPEED)


@pytest.mark.parametrize(("incident", "p"), [(0.6, 0.3458), (0.8, 0.63531), (1.5, 2.20059)])
def test_a_closed_end_reflects(incident: float, p: float) -> None:
    done = solve([pipe()], {START: level(incident), END: Closed()}, [], GAS, 15e-3)
    assert done.profiles[0].p[-1] / P0 == pytest.approx(p, abs=DIGIT)
    assert done.profiles[0].u[-1] == 0.0


@pytest.mark.parametrize(
    ("incident", "returned", "p", "u"),
    [
        (0.6, 1.31277, 0.80372, -188.75),
        (0.7, 1.25182, 0.88645, -141.16),
        (0.8, 1.17857, 0.94783, -94.57),
        (0.9, 1.09453, 0.98642, -47.91),
        (1.1, 0.90790, 1.0, 47.04),
        (1.3, 0.76141, 1.0, 131.04),
        (1.6, 0.60420, 1.0, 238.29),
    ],
)
def test_an_open_end_returns_the_opposite(
    incident: float, returned: float, p: float, u: float
) -> None:
    # outflow at constant pressure, inflow isentropic from rest outside
    done = solve([pipe()], {START: level(incident), END: Open(P0, T0)}, [], GAS, 20e-3)
    at = done.profiles[0]
    assert reflected(at, incident) == pytest.approx(returned, abs=DIGIT)
    assert at.p[-1] / P0 == pytest.approx(p, abs=DIGIT)
    assert at.u[-1] == pytest.approx(u, abs=5e-3 + SPEED)  # printed to 0.01


@pytest.mark.parametrize(
    ("bores", "incident", "returned", "passed"),
    [
        ((25, 50), 1.2, 0.89430, 1.07627),
        ((25, 50), 0.8, 1.13945, 0.91539),
        ((25, 50), 1.5, 0.77487, 1.17941),
        ((50, 25), 1.2, 1.11624, 1.33573),
        ((50, 25), 0.8, 0.87544, 0.69731),
        ((25, 80), 1.5, 0.70338, 1.07668),
        ((40, 60), 0.8, 1.08759, 0.87243),
        ((25, 25, 25), 1.2, 0.94003, 1.12984),
        ((25, 25, 25), 0.8, 1.07555, 0.86246),
        ((25, 25, 25, 25, 25), 1.5, 0.77487, 1.17941),
        ((25, 25, 25, 25, 25 * math.sqrt(2.0)), 1.2, 0.88317, 1.06322),
        ((25, 25, 25 * math.sqrt(1.5)), 1.5, 0.83425, 1.26435),
    ],
)
def test_waves_pass_steps_and_junctions(
    bores: tuple[float, ...], incident: float, returned: float, passed: float
) -> None:
    # Benson's constant-pressure relations, one entropy level throughout
    pipes = [pipe(bore=1e-3 * bore) for bore in bores]
    onward = range(1, len(pipes))
    meeting = Junction((END, *((i, "start") for i in onward)), mixing="entropy")
    ends: dict[Any, Any] = {(i, "end"): NonReflecting() for i in onward}
    done = solve(pipes, {START: level(incident), **ends}, [meeting], GAS, 22e-3)
    assert reflected(done.profiles[0], incident) == pytest.approx(returned, abs=DIGIT)
    for at in done.profiles[1:]:
        assert at.p[12] / P0 == pytest.approx(passed, abs=DIGIT)


def test_a_pulse_passes_a_junction() -> None:
    # 2 ms pulse, 10 mm cells: found 0.03 % of the overpressure passed on and 0.09 % returned,
    # which has run three times as far
    done = solve(
        [pipe(1.0, 100) for _ in range(3)],
        {START: hump(1.2, 2e-3), (1, "end"): NonReflecting(), (2, "end"): NonReflecting()},
        [Junction((END, (1, "start"), (2, "start")), mixing="entropy")],
        GAS,
        7.5e-3,
        probes=[(0, 0.1), (1, 0.02)],
    )
    back, on = done.probes
    assert on.p.max() / P0 == pytest.approx(1.12984, abs=5e-4 * 0.2)
    assert back.p[done.t > 4.5e-3].min() / P0 == pytest.approx(0.94003, abs=1.5e-3 * 0.2)


# --- waves that travel -----------------------------------------------------------------------


def test_a_driven_pulse_arrives_on_time() -> None:
    # t = tau + x/(a0 + (g+1)/2 u(tau)), exact before the shock at 2.37 m; 10 mm cells: found
    # 1.2 us (a wave takes 29 us over a cell) and 0.01 % of the overpressure
    gas = (1.4, 287.05)
    done = solve(
        [pipe(1.5, 150, T=293.15)],
        {START: hump(1.2, 3e-3), END: NonReflecting()},
        [],
        gas,
        7e-3,
        probes=[(0, 0.5), (0, 1.0)],
    )
    arrivals = (
        (1.89807, 2.09603, 2.29950, 3.29950, 3.59603, 3.89807),
        (3.29614, 3.44205, 3.59900, 4.59900, 4.94205, 5.29614),
    )
    for probe, times in zip(done.probes, arrivals, strict=True):
        p, top = probe.p / P0, int(probe.p.argmax())
        up = np.interp((1.05, 1.10, 1.15), p[: top + 1], done.t[: top + 1])
        down = np.interp((-1.15, -1.10, -1.05), -p[top:], done.t[top:])
        assert 1e3 * np.concatenate([up, down]) == pytest.approx(times, abs=2e-3)
        assert p.max() == pytest.approx(1.2, abs=2e-4 * 0.2)


def at_wall(ratio: float, cells: int, order: Order) -> float:
    """Error of the wall's peak over its exact overpressure: (2 X - 1)^7, homentropic."""
    x = np.linspace(0.0, 2.0, cells + 1)
    p = 1.0 + (ratio - 1.0) * np.where(abs(x - 0.4) < 0.3, np.cos(np.pi * (x - 0.4) / 0.6), 0) ** 2
    moving = pipe(2.0, cells, p=P0 * p, T=T0 * X(p) ** 2, u=5.0 * A0 * (X(p) - 1.0))
    ends = {START: NonReflecting(), END: Closed()}
    done = solve([moving], ends, [], GAS, 7e-3, order=order, probes=[(0, 2.0)])
    exact = (2.0 * X(ratio) - 1.0) ** 7
    return float((done.probes[0].p.max() / P0 - exact) / (exact - 1.0))


@pytest.mark.parametrize("ratio", [1.1, 1.2])
@pytest.mark.parametrize(("order", "found"), [(1, 0.0252), (2, 0.00073)])
def test_a_pulse_reflects_at_a_wall(ratio: float, order: Order, found: float) -> None:
    # 0.6 m pulse, error at 5 mm as found for 1.2, a third less for 1.1; it falls with the order,
    # by 2 or 4 for half the cell; the near-shock front of 1.2 blurs that by a quarter
    coarse, fine = at_wall(ratio, 200, order), at_wall(ratio, 400, order)
    assert abs(fine) < 1.3 * found
    assert coarse / fine == pytest.approx(2.0**order, rel=0.3)


def test_friction_wears_a_weak_wave_down() -> None:
    # 1/u = 1/u0 + f_D x/(4 D a0), from du + dp/(rho a) = -(f_D/2D) u|u| dt on C+. The wave is
    # read from J+ alone, free of what friction sends back; found 0.04 % after 5 m, the square of
    # its strength. Without friction it would be 2 % off
    done = solve(
        [pipe(5.5, 300, f_D=0.03)],
        {START: hump(1.02, 30e-3), END: NonReflecting()},
        [],
        GAS,
        38e-3,
        probes=[(0, x) for x in (1.0, 2.0, 5.0)],
    )
    u_0 = 5.0 * A0 * (X(1.02) - 1.0)
    for probe, x in zip(done.probes, (1.0, 2.0, 5.0), strict=True):
        worn = 1.0 / (1.0 / u_0 + 0.03 * x / (4.0 * 0.025 * A0))
        J = 0.5 * (probe.u + 5.0 * A0 * (X(probe.p / P0) - 1.0))
        assert J.max() == pytest.approx(worn, rel=1e-3)


def test_supersonic_flow_carries_both_waves_down() -> None:
    # a bump at rest in moving gas parts into u - a and u + a; one cell of place
    x, u = np.linspace(0.0, 2.0, 201), 500.0
    p = P0 * (1.0 + 1e-3 * np.exp(-(((x - 0.4) / 0.05) ** 2)))
    moving = pipe(2.0, 200, p=p, T=T0 * X(p / P0) ** 2, u=u)
    done = solve([moving], {START: NonReflecting(), END: NonReflecting()}, [], GAS, 1.5e-3)
    half = done.profiles[0].p[:111], done.profiles[0].p[111:]
    places = x[half[0].argmax()], x[111 + half[1].argmax()]
    exact = 0.4 + 1.5e-3 * (u - A0), 0.4 + 1.5e-3 * (u + A0)
    assert places == pytest.approx(exact, abs=0.01)


def test_a_cone_rings_at_its_own_pitch() -> None:
    # closed small end, open large end: tan kL = -k r1, spherical waves; 30 -> 90 mm, 0.6 m.
    # 20 mm cells, found 1.3e-4; 3e-4 is half a cent of pitch
    c, r_1, L = 343.2, 0.3, 0.6
    k = brentq(lambda k: math.tan(k * L) + k * r_1, 2.7, 5.2)
    x = np.linspace(0.0, L, 31)
    shape = 1e-4 * np.sin(k * (L - x)) / (r_1 + x)
    p, T = P0 * (1.0 + shape), c * c / (GAMMA * R)
    horn = Pipe(L, 0.03, 0.09, 30, p, T * X(p / P0) ** 2)
    ends = {START: Closed(), END: Open(P0, T)}
    done = solve([horn], ends, [], GAS, 0.03, probes=[(0, 0.0)])
    over = done.probes[0].p - P0
    i = np.flatnonzero(over[:-1] * over[1:] < 0.0)[:9]
    crossing = done.t[i] + np.diff(done.t)[i] * over[i] / (over[i] - over[i + 1])
    assert 0.5 / np.diff(crossing).mean() == pytest.approx(c * k / (2.0 * np.pi), rel=3e-4)


# --- contacts and shocks ---------------------------------------------------------------------


def test_a_hot_front_is_carried_without_smearing_or_noise() -> None:
    # uniform p and u: exact but for round-off; the path lines keep the front within its first cell
    x = np.linspace(0.0, 1.0, 51)
    front = pipe(1.0, 50, p=1e5, T=np.where(x < 0.2, 900.0, 300.0), u=50.0)
    done = solve([front], {START: NonReflecting(), END: NonReflecting()}, [], GAS, 10e-3)
    at = done.profiles[0]
    assert at.p == pytest.approx(1e5, rel=1e-12)
    assert at.u == pytest.approx(50.0, rel=1e-12)
    assert np.interp(-600.0, -at.T, x) == pytest.approx(0.19 + 50.0 * 10e-3, abs=0.01)
    assert np.count_nonzero((at.T > 301.0) & (at.T < 899.0)) <= 1


@pytest.mark.parametrize(("T_1", "T_2"), [(300.0, 900.0), (900.0, 300.0)])
def test_a_wave_is_split_by_a_hot_front(T_1: float, T_2: float) -> None:
    # p and u are one across the front: X = (a1 (2 Xi - 1) + a2)/(a1 + a2), derived; 10 mm cells
    x = np.linspace(0.0, 1.0, 101)
    front = pipe(1.0, 100, T=np.where(x < 0.5, T_1, T_2))
    done = solve([front], {START: level(1.2, 2e-3), END: NonReflecting()}, [], GAS, 6e-3)
    a_1, a_2 = math.sqrt(T_1), math.sqrt(T_2)
    passed = ((a_1 * (2.0 * X(1.2) - 1.0) + a_2) / (a_1 + a_2)) ** 7
    assert done.profiles[0].p[[1, -2]] / P0 == pytest.approx(passed, abs=DIGIT)


def test_a_pulse_through_a_warm_stretch_converges_at_second_order() -> None:
    # no closed form: the change from mesh to mesh falls by four (3.6 allows for what the limited
    # bends cost; the entropy term taken at the foot alone gives 2.7)
    profiles = []
    for cells in (100, 200, 400):
        x = np.linspace(0.0, 1.0, cells + 1)
        warm = pipe(1.0, cells, T=600.0 + 300.0 * np.tanh((x - 0.5) / 0.1))
        done = solve([warm], {START: hump(1.2, 2e-3), END: NonReflecting()}, [], GAS, 2e-3)
        profiles.append(done.profiles[0].p[:: cells // 25])
    coarse, fine = (abs(a - b).mean() for a, b in pairwise(profiles))
    assert coarse / fine > 3.6


def test_the_shock_tube_shows_what_the_method_cannot_do() -> None:
    # Sod's tube. Two waves joined by isentropic curves give the two-rarefaction state; the exact
    # one is p* 0.30313, u* 0.92745, shock 1.75216 (exact Riemann solution; Sod, 1978). So this
    # method misses by +1.2 %, -0.9 % and -3.0 %: it is not shock-capturing
    cells = 400
    x = np.linspace(0.0, 1.0, cells + 1)
    left = x < 0.5
    tube = Pipe(1.0, 0.1, 0.1, cells, np.where(left, 1.0, 0.1), np.where(left, 1.0, 0.8))
    done = solve([tube], {START: NonReflecting(), END: NonReflecting()}, [], (1.4, 1.0), 0.2)
    at = done.profiles[0]
    a_l, a_r = math.sqrt(1.4), math.sqrt(1.4 * 0.8)
    p = ((a_l + a_r) / (a_l + a_r / X(0.1))) ** 7
    u = 5.0 * a_l * (1.0 - X(p))
    assert np.interp(0.75, x, at.p) == pytest.approx(p, rel=1e-4)  # levels: digits of the mesh
    assert np.interp(0.75, x, at.u) == pytest.approx(u, rel=1e-4)
    assert p / 0.30313 - 1.0 == pytest.approx(0.012, abs=0.001)
    front = (np.interp(-0.2, -at.p, x) - (0.5 - 0.5 / cells)) / 0.2
    assert front / 1.75216 - 1.0 == pytest.approx(-0.030, abs=0.005)  # a cell in 0.35 is 0.7 %


# --- throats and vessels ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("p_v", "T_v", "gas", "T", "phi", "p", "u"),
    [
        (1.5, 293.0, GAS, 293.0, 0.1, 1.11563, 23.76),
        (1.5, 293.0, GAS, 293.0, 0.2, 1.19506, 40.94),
        (1.5, 293.0, GAS, 293.0, 0.4, 1.30354, 62.91),
        (1.5, 293.0, GAS, 293.0, 0.8, 1.40804, 82.68),
        (1.5, 293.0, GAS, 293.0, 1.0, 1.43319, 87.25),
        (3.0, 1000.0, (1.33, 287.0), 800.0, 0.1, 1.24454, 86.58),
        (3.0, 1000.0, (1.33, 287.0), 800.0, 0.2, 1.43788, 148.92),
        (3.0, 1000.0, (1.33, 287.0), 800.0, 0.4, 1.75944, 238.56),
        (3.0, 1000.0, (1.33, 287.0), 800.0, 0.8, 2.19551, 340.93),
    ],
)
def test_a_valve_opens_on_a_vessel(
    p_v: float, T_v: float, gas: tuple[float, float], T: float, phi: float, p: float, u: float
) -> None:
    # Table: throat relations matched to the exact shock into the pipe. This method meets them on
    # the isentropic curve, which lies above the shock by the cube of its strength: twelfth part
    # (g+1)^2/(16 g^2) z^3 of u, z the overpressure ratio; half as much again is allowed, and
    # 3e-4 for the table's digits
    done = solve(
        [pipe(bore=0.05, T=T)],
        {START: Vessel(1e5 * p_v, T_v, phi), END: NonReflecting()},
        [],
        gas,
        1e-3,
        probes=[(0, 0.0)],
    )
    z = 1e5 * p / P0 - 1.0
    off = 1.5 * (gas[0] + 1.0) ** 2 / (96.0 * gas[0] ** 2) * z**3 + 3e-4
    probe = done.probes[0]
    assert probe.u[-1] == pytest.approx(u, rel=off)
    assert (1e-5 * probe.p[-1] - p) / (p - 1.01325) == pytest.approx(0.0, abs=off)
    cp = gas[0] * gas[1] / (gas[0] - 1.0)
    assert probe.T[-1] + 0.5 * probe.u[-1] ** 2 / cp == pytest.approx(T_v, rel=1e-12)


def test_a_choked_vessel_fills_a_pipe_at_sonic_speed_at_most() -> None:
    # into 0.2 bar the jet fills the pipe at M = 1: phi times the choked flow of the vessel,
    # 0.684731 A p0/sqrt(R T0), and p = phi 0.528282 p0 (NACA 1135, from memory; six digits)
    phi, p_v = 0.5, 3e5
    ends = {START: Vessel(p_v, T0, phi), END: NonReflecting()}
    at = solve([pipe(p=2e4)], ends, [], GAS, 1e-3).profiles[0]
    G = at.p[0] * at.u[0] / (R * at.T[0])
    assert mach(at)[0] == pytest.approx(1.0, rel=1e-12)
    assert G == pytest.approx(phi * 0.684731 * p_v / math.sqrt(R * T0), rel=2e-6)
    assert at.p[0] == pytest.approx(phi * 0.528282 * p_v, rel=2e-6)


def test_an_imposed_pressure_fills_a_pipe_at_sonic_speed_at_most() -> None:
    ends = {START: Pressure(0.0, 1e5, 350.0), END: NonReflecting()}
    at = solve([pipe(p=2e4)], ends, [], GAS, 1e-3).profiles[0]
    found = at.p[0], at.T[0], mach(at)[0]
    assert found == pytest.approx((1e5, 350.0, 1.0), rel=1e-12)


def test_a_vessel_blows_down_through_an_orifice() -> None:
    # 0.5 L, 1 cm2, 6 bar 1300 K, g 1.33, R 290: quasi-steady orifice, closed form while choked
    # (p/p0 to 0.35), quadrature after. The short wide pipe stays within 1e-4 of ambient, which
    # moves the last time by 1e-4; 2e-4 allows for it, 1e-6 is the step's second order
    bore = 0.1
    phi = 1e-4 / (0.25 * math.pi * bore**2)
    done = solve(
        [Pipe(0.1, bore, bore, 20, P0, 1300.0)],
        {START: Vessel(6e5, 1300.0, phi, volume=0.5e-3), END: Open(P0, 1300.0)},
        [],
        (1.33, 290.0),
        0.03,
    )
    inside = done.vessels[START]
    ratios = (0.9, 0.75, 0.5, 0.35, 0.25, 0.2)
    times = (9.653656e-4, 2.665989e-3, 6.588775e-3, 1.020649e-2, 1.380199e-2, 1.660752e-2)
    found = [np.interp(-6e5 * ratio, -inside.p, done.t) for ratio in ratios]
    assert found[:4] == pytest.approx(times[:4], rel=1e-6)
    assert found[4:] == pytest.approx(times[4:], rel=2e-4)
    assert inside.T[-1] == pytest.approx(836.15, abs=0.05)


# --- steady flow, marched to -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("inches", "cells", "M_1", "M_2", "mdot", "allowed"),
    [
        (10, 25, 0.152999, 0.154305, 0.078355, 3e-5),
        (28, 25, 0.255719, 0.262324, 0.127732, 3e-5),
        (60, 25, 0.372078, 0.395959, 0.178039, 3e-5),
        (300, 100, 0.597695, 1.0, 200.83 * 0.25 * math.pi * 0.04**2, 1e-3),
    ],
)
def test_friction_settles_on_the_fanno_line(
    inches: float, cells: int, M_1: float, M_2: float, mdot: float, allowed: float
) -> None:
    # Bell mouth, 1 m of 40 mm, f_D 0.02, exit pressure below the room (NACA 1135 and Shapiro ch.
    # 6, from memory). 40 mm cells: found 1.2e-5 (the reference has six digits, and a trace of the
    # first waves is left); choked, p falls steeply at the exit and 10 mm cells leave 0.07 %
    exit_p = P0 - 249.089 * inches
    p = np.linspace(P0, max(exit_p, 4.5e4), cells + 1)
    done = solve(
        [pipe(1.0, cells, bore=0.04, T=293.15, p=p, f_D=0.02)],
        {START: Open(P0, 293.15), END: Pressure(0.0, exit_p, 293.15)},
        [],
        (1.4, 287.05),
        0.3 if M_2 < 1.0 else 0.1,
    )
    at = done.profiles[0]
    flow = at.p * at.u / (287.05 * at.T) * 0.25 * math.pi * 0.04**2
    assert flow == pytest.approx(mdot, rel=allowed)
    M = mach(at, (1.4, 287.05))
    assert (M[0], M[-1]) == pytest.approx((M_1, M_2), rel=1.5 * allowed)
    if M_2 == 1.0:
        assert at.p[-1] == pytest.approx(44946.0, rel=allowed)


@pytest.mark.parametrize(
    ("bores", "p_exit", "found"), [((0.06, 0.04), 0.95, 4.2e-4), ((0.04, 0.06), 0.98, 1.7e-3)]
)
def test_a_cone_settles_on_isentropic_flow(
    bores: tuple[float, float], p_exit: float, found: float
) -> None:
    # NACA 1135, from memory. 12.5 mm cells, error of flow as found; a diffuser is the harder, for
    # its flow is what is left of 1 - 0.98 of p0
    ends = {START: Open(P0, T0), END: Pressure(0.0, p_exit * P0, T0)}
    at = solve([Pipe(0.5, *bores, 40, P0, T0)], ends, [], GAS, 0.2).profiles[0]
    M_2 = math.sqrt(5.0 * (p_exit ** (-1.0 / 3.5) - 1.0))
    exact = p_exit * M_2 * math.sqrt(1.0 + 0.2 * M_2**2) * bores[1] ** 2
    flow = at.p / P0 * mach(at) * np.sqrt(T0 / at.T) * np.linspace(*bores, 41) ** 2
    assert flow == pytest.approx(exact, rel=1.4 * found)


def test_a_wall_cools_the_gas() -> None:
    # T = T_w + (T_1 - T_w) exp(-f_D x/2D): Reynolds analogy, constant h, low Mach number (M2/2 of
    # 1000 K is 0.7 K where the gas is fastest; 0.2 K found)
    D, f_D, T_w, n = 0.04, 0.03, 600.0, 25
    tube = Pipe(1.0, D, D, n, P0, np.linspace(1000.0, 800.0, n + 1), 30.0, f_D, T_w)
    ends = {START: Open(P0 + 300.0, 1000.0), END: Pressure(0.0, P0, 800.0)}
    at = solve([tube], ends, [], GAS, 0.2).profiles[0]
    exact = T_w + (at.T[0] - T_w) * np.exp(-0.5 * f_D * at.x / D)
    assert at.T == pytest.approx(exact, abs=0.2)
    assert exact[-1] < 880.0


def marched_step(
    bores: tuple[float, float],
    p_in: float,
    model: Literal["pressure", "momentum"] = "momentum",
    K: float = 0.0,
) -> History:
    meeting = Junction((END, (1, "start")), model=model, K=K)
    ends: dict[Any, Any] = {START: Open(p_in * P0, T0), (1, "end"): Pressure(0.0, P0, T0)}
    return solve([pipe(0.3, 8, bore=bore) for bore in bores], ends, [meeting], GAS, 0.15)


def test_a_sudden_widening_keeps_momentum() -> None:
    # p1 A2 + rho u2 A1 = (p + rho u2) A2, T0 and flow kept (Borda); round-off of a settled flow
    before, after = marched_step((0.025, 0.05), 1.1).profiles
    M_1, M_2, ratio = mach(before)[-1], mach(after)[0], 4.0
    thrust = before.p[-1] * (ratio + GAMMA * M_1**2)
    assert after.p[0] * ratio * (1.0 + GAMMA * M_2**2) == pytest.approx(thrust, rel=1e-10)
    total = before.T[-1] * (1.0 + 0.2 * M_1**2), after.T[0] * (1.0 + 0.2 * M_2**2)
    assert total[1] == pytest.approx(total[0], rel=1e-10)
    flows = before.p[-1] * before.u[-1] / before.T[-1], after.p[0] * after.u[0] / after.T[0]
    assert flows[0] == pytest.approx(ratio * flows[1], rel=1e-10)
    assert M_1 > 0.4


@pytest.mark.parametrize("K", [0.0, 0.4])
def test_a_sudden_narrowing_loses_K(K: float) -> None:
    before, after = marched_step((0.05, 0.025), 1.1, K=K).profiles
    M_1, M_2 = mach(before)[-1], mach(after)[0]
    p0 = (before.p[-1] * (1 + 0.2 * M_1**2) ** 3.5, after.p[0] * (1 + 0.2 * M_2**2) ** 3.5)
    assert math.log(p0[0] / p0[1]) == pytest.approx(0.5 * GAMMA * K * M_2**2, abs=1e-12)
    assert M_2 > 0.3


@pytest.mark.parametrize(
    ("bores", "model"),
    [
        ((0.025, 0.05), "momentum"),
        ((0.05, 0.025), "momentum"),
        ((0.025, 0.05), "pressure"),
    ],
)
def test_a_step_chokes_at_three_bar(
    bores: tuple[float, float], model: Literal["pressure", "momentum"]
) -> None:
    # sonic in the smaller pipe: 0.684731 A p0/sqrt(R T0) (NACA 1135, from memory); 0.5 %, as the
    # last of the approach to M = 1 is slow: u - a, which brings it, vanishes
    done = marched_step(bores, 3.0, model)
    assert max(mach(at).max() for at in done.profiles) < 1.005
    G = [at.p[4] * at.u[4] / (R * at.T[4]) for at in done.profiles]
    narrow = bores.index(0.025)
    assert G[narrow] == pytest.approx(0.684731 * 3.0 * P0 / math.sqrt(R * T0), rel=5e-3)
    assert 4.0 * G[1 - narrow] == pytest.approx(G[narrow], rel=5e-3)


def test_a_weak_wave_sees_the_same_step_by_momentum() -> None:
    # R = (A1 - A2)/(A1 + A2) in the acoustic limit; the two laws differ by the Mach number
    meeting = Junction((END, (1, "start")), model="momentum")
    ends: dict[Any, Any] = {START: level(1.0001), (1, "end"): NonReflecting()}
    done = solve([pipe(), pipe(bore=0.05)], ends, [meeting], GAS, 12e-3)
    R_wave = (reflected(done.profiles[0], 1.0001) - 1.0) / 1e-4
    assert R_wave == pytest.approx(-0.6, abs=2e-4)  # twice the overpressure


# --- laws that hold for any network ----------------------------------------------------------


def odd_network(turned: bool, swapped: bool = False) -> History:
    """A cone with a pulse and a hot end behind a valve, a pipe and a branch to the open."""
    x = np.linspace(0.0, 0.5, 61)
    p = P0 * (1.0 + 0.3 * np.exp(-(((x - 0.2) / 0.05) ** 2)))
    T = T0 * X(p / P0) ** 2 * np.where(x > 0.3, 1.5, 1.0)
    s, e = ("end", "start") if turned else ("start", "end")
    way = -1 if turned else 1
    cone = Pipe(0.5, *(0.03, 0.04)[::way], 60, p[::way], T[::way], 20.0 * way, f_D=0.02)
    onward = (2, 1) if swapped else (1, 2)
    pipes = [cone, pipe(0.4, 40, bore=0.05), pipe(0.4, 40, bore=0.02)]
    pipes = [pipes[0], *(pipes[i] for i in onward)]
    ends: dict[Any, Any] = {
        (0, s): Vessel(1.5 * P0, 500.0, 0.3, volume=1e-3),
        (onward[0], "end"): Open(P0, T0),
        (onward[1], "end"): Closed(),
    }
    meeting = Junction(((0, e), (1, "start"), (2, "start")))
    return solve(pipes, ends, [meeting], GAS, 4e-3)


def test_left_and_right_are_alike() -> None:
    one, other = odd_network(False), odd_network(True)
    a, b = one.profiles[0], other.profiles[0]
    for name, way in (("p", 1.0), ("T", 1.0), ("u", -1.0)):
        # round-off of 300 steps
        assert way * getattr(b, name)[::-1] == pytest.approx(getattr(a, name), rel=1e-11, abs=1e-9)


def test_the_order_of_pipes_does_not_matter() -> None:
    one, other = odd_network(False), odd_network(False, swapped=True)
    for i, j in ((0, 0), (1, 2), (2, 1)):
        assert other.profiles[j].p == pytest.approx(one.profiles[i].p, rel=1e-11)


def test_gas_at_rest_stays_at_rest() -> None:
    # cone, step, junction, shut valve, temperature that varies: round-off of 1000 steps
    x = np.linspace(0.0, 0.4, 41)
    warm = T0 * (1.0 + 0.8 * np.sin(9.0 * x) ** 2)
    pipes = [Pipe(0.4, 0.03, 0.07, 40, P0, warm, f_D=0.03), pipe(), pipe(bore=0.04, T=600.0)]
    ends: dict[Any, Any] = {
        START: Vessel(5e5, 900.0, 0.0, volume=1e-3),
        (1, "end"): Open(P0, 400.0),
        (2, "end"): Closed(),
    }
    done = solve(pipes, ends, [Junction((END, (1, "start"), (2, "start")))], GAS, 15e-3)
    for at in done.profiles:
        assert abs(at.u).max() < 1e-9
        assert at.p == pytest.approx(P0, rel=1e-12)


def test_energy_is_mixed_at_a_junction() -> None:
    # hot and cold streams meet: the flow-weighted stagnation temperature leaves; round-off
    pipes = [pipe(T=T) for T in (600.0, 300.0, 400.0)]
    ends: dict[Any, Any] = {
        START: Open(1.05 * P0, 600.0),
        (1, "start"): Open(1.05 * P0, 300.0),
        (2, "end"): Pressure(0.0, P0, 400.0),
    }
    done = solve(pipes, ends, [Junction((END, (1, "end"), (2, "start")))], GAS, 0.1)
    hot, cold, out = done.profiles
    total = [at.T + 0.5 * at.u**2 / (3.5 * R) for at in (hot, cold, out)]
    flow = [at.p[-1] * at.u[-1] / at.T[-1] for at in (hot, cold)]
    mixed = (total[0][-1] * flow[0] + total[1][-1] * flow[1]) / sum(flow)
    assert total[2][0] == pytest.approx(mixed, rel=1e-10)
    assert 350.0 < mixed < 450.0


# --- mass ------------------------------------------------------------------------------------


def made(cells: int, order: Order) -> float:
    x = np.linspace(0.0, 0.6, cells + 1)
    p = P0 * (1.0 + 0.1 * np.exp(-(((x - 0.3) / 0.1) ** 2)))
    cone = Pipe(0.6, 0.03, 0.09, cells, p, T0 * X(p / P0) ** 2)
    done = solve([cone], {START: Closed(), END: Closed()}, [], GAS, 3e-3, order=order)
    return float(abs(done.mass_error).max())


@pytest.mark.parametrize(("order", "found"), [(1, 1.7e-4), (2, 1.25e-5)])
def test_mass_made_in_a_closed_cone_is_reported_and_shrinks(order: Order, found: float) -> None:
    # The method does not conserve: what a 10 % pulse in a closed cone has made after 3 ms at 12 mm
    # cells is as found, and falls with the order as the cell is halved
    coarse, fine = made(50, order), made(100, order)
    assert 0.5 * found < coarse < 1.3 * found
    assert coarse / fine == pytest.approx(2.0**order, rel=0.2)


def test_the_reported_mass_is_that_of_pipes_and_flows() -> None:
    # a closed pipe filled from the open; sums over the same steps, so round-off (the first step
    # starts from a state that its end has not met yet)
    ends = {START: Open(1.3 * P0, T0), END: Closed()}
    done = solve([pipe(0.5, 25, bore=0.04)], ends, [], GAS, 0.01, probes=[(0, 0.0)])
    A = 0.25 * math.pi * 0.04**2
    at = done.profiles[0]
    assert done.mass[-1] == pytest.approx(np.trapezoid(at.p / (R * at.T), at.x) * A, rel=1e-12)
    probe = done.probes[0]
    entered = np.trapezoid((probe.p * probe.u / (R * probe.T) * A)[1:], done.t[1:])
    assert done.entered[-1] - done.entered[1] == pytest.approx(entered, rel=1e-12)
    balance = done.mass[-1] - done.mass[0] - done.entered[-1]
    assert done.mass_error[-1] * done.mass[0] == pytest.approx(balance, abs=1e-15)
    assert done.entered[-1] > 0.1 * done.mass[0]


# --- what is refused -------------------------------------------------------------------------


def test_a_state_that_stops_being_physical_is_told() -> None:
    # two streams part at 5000 m/s, more than the 10 a0 that gas can follow: a vacuum
    x = np.linspace(0.0, 0.5, 101)
    torn = pipe(cells=100, u=np.where(x < 0.25, -2500.0, 2500.0))
    with pytest.raises(ConvergenceError, match="a state failed at t ="):
        solve([torn], {START: NonReflecting(), END: NonReflecting()}, [], GAS, 1e-3)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"ends": {START: Closed()}}, "has 0 laws"),
        ({"junctions": [Junction((START, END))]}, "has 2 laws"),
        ({"ends": {START: Closed(), (1, "end"): Closed()}}, "no pipe end"),
        ({"pipes": [pipe(cells=2)]}, "2 cells"),
        ({"pipes": [pipe(p=-1.0)]}, "not positive"),
        ({"ends": {START: Closed(), END: Pressure([0.0, 0.0], [P0, P0], T0)}}, "rising times"),
        ({"ends": {START: Vessel(P0, T0, 1.2), END: Closed()}}, "area ratio"),
        ({"ends": {START: Vessel(P0, T0, volume=0.0), END: Closed()}}, "positive p, T and volume"),
        ({"probes": [(0, 0.6)]}, "outside its pipe"),
        ({"cfl": 1.5}, "cfl 1.5"),
        ({"order": 3}, "order 3"),
    ],
)
def test_a_network_that_does_not_fit_is_refused(change: dict[str, Any], message: str) -> None:
    given: dict[str, Any] = {
        "pipes": [pipe()],
        "ends": {START: Closed(), END: Closed()},
        "junctions": [],
        "gas": GAS,
        "t_end": 1e-3,
        **change,
    }
    with pytest.raises(ValueError, match=message):
        solve(**given)
