"""Verification: vessels of finite volume, against blow-down solutions and their own balances.

Source. Adiabatic blow-down through an ideal orifice: choked part in closed form, subsonic part by
quadrature; derived from mass and energy of the vessel (standard), evaluated independently and
crossed with a direct integration to 1e-6. A step takes the vessel as it is in its middle, so the
error is of second order in the step over the time of emptying.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from pulse1d.waves.pipes import Chamber, Closed, ConstantGas, Net, Open, Pipe, Vessel
from pulse1d.waves.solve import WaveRun, solve

P_A = 101325.0

CASES = {  # volume, effective area, p, T, gamma, R [SI]
    "A": (0.5e-3, 1e-4, 6e5, 1300.0, 1.33, 290.0),
    "C": (10e-3, 0.8 * math.pi * 25e-6 / 4, 10e5, 300.0, 1.4, 287.05),
}
TIMES = {
    "A": {
        0.9: 9.653656e-4, 0.75: 2.665989e-3, 0.5: 6.588775e-3, 0.35: 1.020649e-2, 0.25: 1.380199e-2,
        0.2: 1.660752e-2,
    },
    "C": {0.9: 0.2402386, 0.5: 1.648912, 0.25: 3.469458, 0.18: 4.397455},
}  # fmt: skip


def blow_down(case: str, t_end: float, steps: int) -> tuple[WaveRun, ConstantGas, float]:
    """The vessel behind a throat that is a thousandth of a wide, short duct to the open air.

    The duct is so wide that its pressure at the throat is the air's, within rho a u of a velocity
    of half a metre a second.
    """
    V, A, p, T, gamma, R = CASES[case]
    gas = ConstantGas(gamma, R)
    share = 1e-4
    T_air = 300.0
    a = math.sqrt(gamma * R * T_air)
    length = 4.0 * t_end / steps * a / 0.9
    pipe = Pipe(length, area=A / share, cells=4, p=P_A, T=T_air)
    ends = {("a", "start"): Vessel(p, T, V, share), ("a", "stop"): Open(P_A, T_air)}
    run = solve(Net({"a": pipe}, ends, gas=gas), t_end, probes={"a": ("a", 0.0)}, times=4)
    return run, gas, run.end.energy


def vessel_pressure(case: str, t: float, steps: int) -> float:
    """p/p0 of the vessel at a time, from the network's energy less the duct's."""
    V, _, p, _, gamma, _ = CASES[case]
    run, _, _ = blow_down(case, t, steps)
    duct = run.profiles["a"]
    cell = duct.x[1] - duct.x[0]
    A = CASES[case][1] / 1e-4
    held = float(np.sum(duct.p / (gamma - 1.0) + 0.5 * duct.rho * duct.u**2) * cell * A)
    return (run.end.energy - held) * (gamma - 1.0) / V / p


@pytest.mark.parametrize(("case", "ratio"), [(c, r) for c in TIMES for r in TIMES[c]])
def test_blow_down(case: str, ratio: float) -> None:
    # second order in time: below 1e-6 at 2000 steps; the table's times carry seven digits
    assert vessel_pressure(case, TIMES[case][ratio], 2000) == pytest.approx(ratio, rel=2e-6)


def test_blow_down_error_falls_with_the_square_of_the_step() -> None:
    t = TIMES["A"][0.2]
    coarse, fine = (abs(vessel_pressure("A", t, n) / 0.2 - 1.0) for n in (500, 2000))
    assert fine < 0.1 * coarse  # second order would be a sixteenth, first a quarter


@pytest.mark.parametrize("case", ["A", "C"])
def test_table_of_blow_down(case: str) -> None:
    """The table's own consistency: dp/dt = -(gamma R T/V) mdot by quadrature, to its digits."""
    V, A, p0, T0, gamma, R = CASES[case]

    def rate(p: float) -> float:
        T = T0 * (p / p0) ** ((gamma - 1.0) / gamma)
        critical = (2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0))
        r = max(P_A / p, critical)
        M = math.sqrt(2.0 / (gamma - 1.0) * (r ** ((1.0 - gamma) / gamma) - 1.0))
        G = p * math.sqrt(gamma / (R * T)) * M
        G *= (1.0 + 0.5 * (gamma - 1.0) * M * M) ** (-0.5 * (gamma + 1.0) / (gamma - 1.0))
        return gamma * R * T / V * A * G

    for ratio, t in TIMES[case].items():
        found = quad(lambda p: 1.0 / rate(p), ratio * p0, p0, epsrel=1e-9, limit=200)[0]
        assert found == pytest.approx(t, rel=1e-5)


def test_vessel_keeps_mass_and_energy() -> None:
    """A vessel on a closed pipe: both hold for the sum to rounding of a thousand steps."""
    pipe = Pipe(0.5, 0.03, cells=50, p=P_A, T=300.0)
    vessel = Vessel(6e5, 1200.0, 5e-4, 0.3, 0.2)
    net = Net({"a": pipe}, {("a", "start"): vessel, ("a", "stop"): Closed()})
    run = solve(net, 0.02)
    assert run.end.mass == pytest.approx(run.start.mass, rel=1e-12)
    assert run.end.energy == pytest.approx(run.start.energy, rel=1e-12)
    assert run.profiles["a"].p.min() > 1.5 * P_A  # the vessel did empty into it


def test_vessels_that_share_a_pressure_stay_at_rest() -> None:
    """One pressure, two temperatures: nothing moves, 1e-10 m/s."""
    pipes = {
        "a": Pipe(0.3, 0.03, cells=30, p=2e5, T=300.0),
        "b": Pipe(0.3, 0.05, cells=30, p=2e5, T=900.0),
    }
    ends = {("a", "start"): Vessel(2e5, 1200.0, 5e-4, 0.3), ("b", "stop"): Open(2e5, 250.0)}
    chamber = Chamber((("a", "stop"), ("b", "start")), 1e-3, 2e5, 700.0)
    run = solve(Net(pipes, ends, (chamber,)), 0.01)
    for profile in run.profiles.values():
        assert abs(profile.u).max() < 1e-10


def test_opening_schedule_starts_and_stops_the_flow() -> None:
    opening = np.array([[0.0, 0.0], [1e-3, 0.0], [1.5e-3, 1.0], [2.5e-3, 1.0], [3e-3, 0.0]])
    pipe = Pipe(3.0, 0.025, cells=150, p=P_A, T=293.0)
    vessel = Vessel(1.5e5, 293.0, 912e-6, 1.0, opening=opening)
    net = Net({"a": pipe}, {("a", "start"): vessel, ("a", "stop"): Closed()})
    run = solve(net, 8e-3, probes={"a": ("a", 0.0)}, times=800)
    trace = run.traces["a"]
    assert abs(trace.u[trace.t < 1e-3]).max() < 1e-10
    assert trace.u.max() > 50.0
    assert run.end.mass == pytest.approx(run.start.mass, rel=1e-12)


@pytest.mark.parametrize("phi", [0.6, 0.9])
def test_a_choked_throat_feeds_a_pipe_that_widens_and_sucks(phi: float) -> None:
    """From 4 bar into a cone at 0.15 bar: the choked flux and no more, whatever the pipe draws.

    The gas enters at the speed of sound at most and expands in the cone: Mach above 1 there, and
    the isentropic relation of area and Mach number between two of its sections.
    """
    gamma, R = 1.3, 290.0
    gas = ConstantGas(gamma, R)
    cone = Pipe(
        0.2, area=lambda x: 8e-4 * (1.0 + 5.0 * x), cells=200, p=0.15 * P_A, T=900.0
    )  # twice as wide at its end
    ends = {("a", "start"): Vessel(4e5, 1300.0, throat=phi), ("a", "stop"): Open(0.15 * P_A, 900.0)}
    run = solve(Net({"a": cone}, ends, gas=gas), 0.02, times=2)
    p, rho, u = run.profiles["a"].p, run.profiles["a"].rho, run.profiles["a"].u
    x = run.profiles["a"].x
    area = 8e-4 * (1.0 + 5.0 * x)
    power = 0.5 * (gamma + 1.0) / (gamma - 1.0)
    choked = phi * 8e-4 * 4e5 * math.sqrt(gamma / (R * 1300.0)) * (2.0 / (gamma + 1.0)) ** power
    # steady after ten transits; a cell's mean against its edges' flux, second order of 1 mm
    np.testing.assert_allclose(rho * u * area, choked, rtol=1e-3)
    mach = u / np.sqrt(gamma * p / rho)
    assert np.all(mach[5:] > 1.0)
    relation = area * mach / (1.0 + 0.5 * (gamma - 1.0) * mach**2) ** power
    np.testing.assert_allclose(relation[20:] / relation[-1], 1.0, rtol=2e-3)
