"""Verification: the method of characteristics at valves, throats and vessels.

Relations: Earnshaw and Riemann; set out by Benson, 1982, and Blair, 1996, from memory. Tables hold
five or six digits. Where waves have settled to levels the mesh has no part in the answer, so the
table's last digit is the tolerance; where they move, the tolerance is the error found at the stated
mesh with a margin of a third to a half, and the error's order shows that it is the mesh's.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from pulse1d.waves.moc import (
    NonReflecting,
    Open,
    Pipe,
    Pressure,
    Vessel,
    solve,
)
from tests.moc_pipes import END, GAS, P0, START, T0, R, mach, pipe


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
