"""Verification: the method of characteristics marched to steady flow, against closed forms.

Relations: Earnshaw and Riemann; set out by Benson, 1982, and Blair, 1996, from memory. Tables hold
five or six digits. Where waves have settled to levels the mesh has no part in the answer, so the
table's last digit is the tolerance; where they move, the tolerance is the error found at the stated
mesh with a margin of a third to a half, and the error's order shows that it is the mesh's.
"""

from __future__ import annotations

import math
from typing import Any, Literal

import numpy as np
import pytest

from pulse1d.waves.moc import (
    History,
    Junction,
    NonReflecting,
    Open,
    Pipe,
    Pressure,
    solve,
)
from tests.moc_pipes import END, GAMMA, GAS, P0, START, T0, R, level, mach, pipe, reflected


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
