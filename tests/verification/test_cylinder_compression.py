"""Verification: Annand's wall heat, two-part burning and injected fuel, against closed forms.

Sources. Wall heat: Annand 1963, from memory. Two-part burning: Watson, Pilley & Marzouk 1980, from
memory. Diesel and limited-pressure cycles: any textbook of thermodynamics, Heywood 1988 section
5.4. First law with the gas functions of ``pulse1d.gas.state``, integrated by scipy.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from pulse1d.cylinder.annand import RADIATING, STEFAN, q_annand, transport
from pulse1d.cylinder.burn import double_wiebe, wiebe
from pulse1d.gas import state as gas
from pulse1d.waves.kinds import FRESH, HELD, HELD_Y, INJECTED, LOST, MASS, RELEASED, WORK
from pulse1d.waves.pipes import ConstantGas
from tests.one_cylinder import (
    AIR,
    BORE,
    BURNED,
    EVENTS,
    STROKE,
    R_of,
    cylinder,
    e_of,
    state_of,
    turn,
    volume_of,
)

SIGMA_DIESEL = RADIATING["compression"] * STEFAN
MAIN, FIRST = (70.0, 0.9), (0.12, 8.0, 2.0)


def test_annand() -> None:
    """1500 K against 450 K, k 0.1 W/m/K, B 0.1 m, Re 1e5, a 0.5, c 0.576 sigma; by hand.

    0.5 x 1 x 3162.28 x 1050 = 1.660196e6; 3.266135e-8 x (5.0625e12 - 4.100625e10) = 1.640086e5
    """
    q = q_annand(1500.0, 450.0, 0.1, 0.1, 1e5, 0.5, SIGMA_DIESEL)
    assert q == pytest.approx(1.824205e6, rel=1e-6)  # its digits


def test_annand_scales() -> None:
    """Re^0.7, k/B, a; no flow of heat at the wall's temperature, with or without fire."""

    def q(T: float = 900.0, k: float = 0.06, B: float = 0.09, Re: float = 2e4, a: float = 0.4,
          c: float = 0.0) -> float:  # fmt: skip
        return float(q_annand(T, 450.0, k, B, Re, a, c))

    assert q(Re=4e4) / q() == pytest.approx(2.0**0.7, rel=1e-12)
    assert q(k=0.12) / q() == pytest.approx(2.0, rel=1e-12)
    assert q(B=0.18) / q() == pytest.approx(0.5, rel=1e-12)
    assert q(a=0.8) / q() == pytest.approx(2.0, rel=1e-12)
    assert q(T=1350.0) / q() == pytest.approx(2.0, rel=1e-12)
    assert q(T=450.0, c=SIGMA_DIESEL) == 0.0
    assert q(T=400.0) < 0.0  # a hot wall heats the charge
    radiated = q(c=SIGMA_DIESEL) - q()
    assert radiated == pytest.approx(0.576 * STEFAN * (900.0**4 - 450.0**4), rel=1e-9)


def test_transport_of_a_blend() -> None:
    for T in (400.0, 1200.0, 2400.0):
        fresh, burned = (
            (float(gas.k_th(T, mix.table)), float(gas.mu(T, mix.table))) for mix in (AIR, BURNED)
        )
        assert transport(T, 0.0, AIR.table, BURNED.table) == pytest.approx(fresh, rel=1e-14)
        half = [0.5 * (a + b) for a, b in zip(fresh, burned, strict=True)]
        assert transport(T, 0.5, AIR.table, BURNED.table) == pytest.approx(half, rel=1e-14)
        assert (
            max(abs(a / b - 1.0) for a, b in zip(fresh, burned, strict=True)) < 0.25
        )  # its Limits


def test_double_wiebe() -> None:
    """At 4 deg of 8 and 70: 0.12 x 0.467891 + 0.88 x (1 - exp(-5 x (4/70)^1.9))/0.993262, by hand.

    (4/70)^1.9 = exp(-1.9 x 2.862201) = 4.34738e-3; 1 - exp(-0.0217369) = 0.0215024
    """
    x = double_wiebe(-4.0, -8.0, 5.0, *MAIN, *FIRST)
    assert x == pytest.approx(0.12 * 0.467891 + 0.88 * 0.0215024 / 0.993262, abs=1e-6)  # its digits
    angles = np.linspace(-8.0, 62.0, 500)
    x = np.array([double_wiebe(t, -8.0, 5.0, *MAIN, *FIRST) for t in angles])
    assert x[0] == 0.0
    assert np.all(np.diff(x) > 0.0)
    assert x[-1] == pytest.approx(1.0, abs=1e-14)  # rounding
    assert double_wiebe(-8.1, -8.0, 5.0, *MAIN, *FIRST) == 0.0
    assert double_wiebe(712.0, -8.0, 5.0, *MAIN, *FIRST) == 0.0
    # 8 deg in, all of the premixed part is over
    main = wiebe(0.0, -8.0, 70.0, 5.0, 0.9)
    assert double_wiebe(0.0, -8.0, 5.0, *MAIN, *FIRST) == pytest.approx(0.12 + 0.88 * main)
    for share, alone in ((0.0, (70.0, 0.9)), (1.0, (8.0, 2.0))):
        found = [double_wiebe(t, -8.0, 5.0, *MAIN, share, 8.0, 2.0) for t in angles]
        assert found == [wiebe(t, -8.0, alone[0], 5.0, alone[1]) for t in angles]


@pytest.mark.parametrize("jump", [1.0, 1.5])
def test_limited_pressure_cycle(jump: float) -> None:
    """Pressure rises at once by a factor, then stays; 1: the Diesel cycle.

    eta = 1 - r^(1-g) (j b^g - 1)/((j - 1) + g j (b - 1)). A main part with m = 1 and a next to 0
    burns as the square of the angle, as the volume grows behind top dead centre; a premixed part
    of 0.05 deg burns at once.
    """
    g, R, r, last = 1.33, 287.0, 17.0, 10.0
    gap = STROKE / (r - 1.0)
    down = volume_of(last) / (0.25 * math.pi * BORE**2) - STROKE / 8.5  # piston travel: r of 9.5
    b = 1.0 + down / gap
    T_2 = 350.0 * r ** (g - 1.0)
    cv = R / (g - 1.0)
    at_once, then = cv * T_2 * (jump - 1.0), g * cv * jump * T_2 * (b - 1.0)
    heat = at_once + then
    item = cylinder(
        ratio=r, p=1e5, T=350.0, Y=0.0, heat=heat, burn=(0.0, last, 1e-6, 1.0),
        premixed=(at_once / heat, 0.05, 2.0),
    )  # fmt: skip
    run = turn(item, 360.0, 7200, ConstantGas(g, R))
    now = state_of(run)
    eta = 1.0 - r ** (1.0 - g) * (jump * b**g - 1.0) / ((jump - 1.0) + g * jump * (b - 1.0))
    assert now[RELEASED] == pytest.approx(now[MASS] * heat, rel=1e-9)  # rounding of 1 - exp(-1e-6)
    # the volume departs from the angle's square by 0.1 % of its growth, so the pressure by 2e-4
    # half way, and that acts over a fifth of the work; twentieths of a degree leave less
    assert now[WORK] / now[RELEASED] == pytest.approx(eta, rel=4e-5)
    otto = 1.0 - r ** (1.0 - g)
    assert eta < (1.0 - 2e-3) * otto  # fifty tolerances: the check can tell them apart


def annand_cycle(fuel: float, heat: float) -> dict[str, float]:
    """Inlet closing to exhaust opening by scipy: wall heat by Annand, two parts, fuel injected."""
    start, stop = EVENTS[0] - 720.0, EVENTS[1]
    p0, T0, Y0, T_w, a = 1.3e5, 380.0, 0.06, 450.0, 0.5
    m0 = p0 * volume_of(start) / (R_of(Y0) * T0)
    fresh = m0 * (1.0 - Y0)
    speed = 2.0 * STROKE * 50.0

    def part(theta: float, length: float, m: float) -> float:
        z = min(max((theta + 8.0) / length, 0.0), 1.0)
        return (1.0 - math.exp(-5.0 * z ** (m + 1.0))) / (1.0 - math.exp(-5.0))

    def share(theta: float) -> float:
        return 0.88 * part(theta, 70.0, 0.9) + 0.12 * part(theta, 8.0, 2.0)

    def rates(theta: float, y: list[float]) -> list[float]:
        x = share(theta)
        m = m0 + fuel * fresh * x
        Y = (m0 * Y0 + (1.0 + fuel) * fresh * x) / m
        T = float(brentq(lambda T: e_of(T, Y) - y[0] / m, 150.0, 3500.0, xtol=1e-9))
        V = volume_of(theta)
        p = m * R_of(Y) * T / V
        dV = (volume_of(theta + 1e-3) - volume_of(theta - 1e-3)) / 2e-3
        dx = (share(theta + 1e-4) - share(theta - 1e-4)) / 2e-4
        k, mu = (
            (1.0 - Y) * float(f(T, AIR.table)) + Y * float(f(T, BURNED.table))
            for f in (gas.k_th, gas.mu)
        )
        q = a * k / BORE * (m / V * speed * BORE / mu) ** 0.7 * (T - T_w)
        if theta >= -8.0:
            q += 0.576 * STEFAN * (T**4 - T_w**4)
        disc = 0.25 * math.pi * BORE**2
        loss = q * (2.0 * disc + math.pi * BORE * V / disc) / (360.0 * 50.0)
        return [fresh * heat * dx - p * dV - loss, p * dV, loss]

    y = [m0 * e_of(T0, Y0), 0.0, 0.0]
    for one, other in ((start, -8.0), (-8.0, 0.0), (0.0, 62.0), (62.0, stop)):
        y = list(solve_ivp(rates, (one, other), y, rtol=1e-9, atol=1e-8).y[:, -1])
    return {"energy": y[0], "work": y[1], "lost": y[2], "held": m0, "fresh": fresh}


def test_a_shut_cycle_with_injection() -> None:
    """Work, wall heat and energy against the first law by scipy; masses by count."""
    fuel, heat = 0.046, 1.9e6
    item = cylinder(
        start=EVENTS[0] - 720.0, p=1.3e5, T=380.0, Y=0.06, heat=heat, fuel=fuel,
        burn=(-8.0, 70.0, 5.0, 0.9), premixed=FIRST, wall_factor=1.0, annand=(0.5, SIGMA_DIESEL),
    )  # fmt: skip
    now = state_of(turn(item, EVENTS[1] - EVENTS[0] + 720.0, 2000))
    known = annand_cycle(fuel, heat)
    # eighth-degree steps, second order: 1.1e-6 found of each, three times that
    assert now[WORK] == pytest.approx(known["work"], rel=3e-6)
    assert now[LOST] == pytest.approx(known["lost"], rel=3e-6)
    assert now[1] == pytest.approx(known["energy"], rel=4e-6)
    # what was fresh burns to the last, and its fuel comes in with it: rounding of 2000 steps
    assert now[FRESH] == pytest.approx(known["fresh"], rel=1e-12)
    assert now[RELEASED] == pytest.approx(known["fresh"] * heat, rel=1e-11)
    assert now[INJECTED] == pytest.approx(known["fresh"] * fuel, rel=1e-11)
    assert now[MASS] == pytest.approx(known["held"] + fuel * known["fresh"], rel=1e-12)
    assert now[2] == pytest.approx(now[MASS], rel=1e-12)
    assert now[HELD] == pytest.approx(known["held"], rel=1e-12)
    assert now[HELD_Y] == pytest.approx(0.06 * known["held"], rel=1e-11)


def test_no_fire_no_radiation() -> None:
    """A motored cylinder loses by convection alone, the same with Annand's c as without."""
    lost = []
    for c in (0.0, SIGMA_DIESEL):
        item = cylinder(annand=(0.5, c), wall_factor=1.0)
        lost.append(state_of(turn(item, 360.0, 400))[LOST])
    assert lost[0] > 0.0
    assert lost[0] == lost[1]


def test_a_factor_on_the_wall_heat() -> None:
    """Twice the factor, twice the heat, as long as the gas is the same: one small step."""
    lost = []
    for factor in (1.0, 2.0):
        item = cylinder(
            start=20.0, p=5e6, T=2000.0, Y=1.0, annand=(0.5, SIGMA_DIESEL), wall_factor=factor
        )
        lost.append(state_of(turn(item, 1e-3, 2))[LOST])
    assert lost[1] / lost[0] == pytest.approx(2.0, rel=1e-5)  # gas cools by 1e-6 in 1e-3 deg
