"""Verification: the wave solver marched to steady flow, against closed forms of gas dynamics.

Sources. Fanno and Rayleigh flow, the nozzle's isentropes and its normal shock: NACA Report 1135
(from memory), five digits of an independent calculation; nozzle: the NPARC verification case
(geometry from memory). Error levels of the nozzle: an independent scalar code of the same order on
the same meshes, met within 1.5 as in the shock tubes.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from pulse1d.gas.relations import fanno
from pulse1d.waves.pipes import ConstantGas, FlowHistory, Net, Open, Pipe
from pulse1d.waves.solve import WaveError, WaveRun, solve

Array = NDArray[np.float64]

AIR = ConstantGas(1.4, 287.05)
P_0, T_0 = 101325.0, 293.15
INCH = 249.089
"""Pa of an inch of water in the independent calculation."""
BORE = math.pi / 4 * 0.04**2
CONSTANT = 1e-10
"""Mass flow along a converged duct is one number: face fluxes, to accumulated round-off."""


def face_flow(run: WaveRun) -> Array:
    """Mass flow through every face of pipe "a" in the last step [kg/s]."""
    where = run.arrays.place["a"]
    faces = slice(where.start - 1, where.stop)
    return run.arrays.work[2][0, faces] * run.arrays.shape[0][faces]


def march(net: Net, steps: int, **how: Any) -> WaveRun:
    """So many steps, by the bound on them: the last step up to a given time would be a shorter one,
    and the steady state of a scheme with a half step hangs on the step's length a little."""
    with pytest.raises(WaveError, match="bound on steps") as stop:
        solve(net, 1e3, max_steps=steps, times=1, **how)
    return stop.value.run


def assert_constant(flow: Array) -> None:
    assert np.ptp(flow) <= CONSTANT * abs(flow.mean())


# --- friction ---------------------------------------------------------------------------------

FANNO = {  # inches of water: M behind the mouth, M at the exit, mass flow
    10: (0.152999, 0.154305, 0.078355),
    28: (0.255719, 0.262324, 0.127732),
    60: (0.372078, 0.395959, 0.178039),
    None: (0.597695, 1.0, 200.83 * BORE),
}


@pytest.mark.parametrize("inches", FANNO)
def test_a_duct_with_friction_behind_a_bell_mouth(inches: int | None) -> None:
    """0.05 % at 10 mm: flow falls with the square root of losses that second order has to 1e-3.

    Choked, the exit is a corner of the steady solution (dM/dx without bound): 0.2 %.
    """
    M_1, M_2, mdot = FANNO[inches]
    p_e = P_0 - inches * INCH if inches else 0.3 * P_0
    pipe = Pipe(1.0, diameter=0.04, cells=100, p=P_0, T=T_0, f_D=0.02)
    ends = {("a", "start"): Open(P_0, T_0), ("a", "stop"): Open(p_e, T_0)}
    run = march(Net({"a": pipe}, ends, gas=AIR), 40_000)
    flow = face_flow(run)
    assert_constant(flow)
    room = 5e-4 if inches else 2e-3
    assert flow.mean() == pytest.approx(mdot, rel=room)
    now = run.profiles["a"]
    M = now.u / np.sqrt(1.4 * now.p / now.rho)
    assert np.all(np.diff(M) > 0.0)
    # half a cell from either end, where f x/D of it is used up
    half = 0.02 * 0.005 / 0.04
    assert fanno(M_1, 1.4) - fanno(M[0], 1.4) == pytest.approx(half, abs=2e-3 * fanno(M_1, 1.4))
    if inches:
        assert fanno(M[-1], 1.4) - fanno(M_2, 1.4) == pytest.approx(
            half, abs=2e-3 * fanno(M_2, 1.4)
        )
    # adiabatic: stagnation temperature is one number too, to the truncation of its cells
    T0 = now.T * (1.0 + 0.2 * M * M)
    # second order: 2e-7 at 10 mm; up to the corner of a choked exit
    assert np.allclose(T0[:90], T_0, rtol=1e-5, atol=0.0)


# --- heat -------------------------------------------------------------------------------------

RAYLEIGH = {1000.0: (0.268182, 103654.9), 800.0: (0.235188, 105891.8), 1400.0: (0.331373, 98889.5)}
G_HOT = ConstantGas(1.4, 287.0)


def rayleigh(M_1: float, T_1: float, p_1: float, T_2: float) -> tuple[float, float]:
    """M and p behind a change of stagnation temperature at constant G and impulse, subsonic."""

    def number(M: float) -> float:
        return M * M * (1.0 + 0.2 * M * M) / (1.0 + 1.4 * M * M) ** 2

    M_2 = brentq(lambda M: number(M) * T_1 - number(M_1) * T_2, 1e-3, 1.0, xtol=1e-15)
    return M_2, p_1 * (1.0 + 1.4 * M_1**2) / (1.0 + 1.4 * M_2**2)


@pytest.mark.parametrize("T_2", RAYLEIGH)
def test_a_duct_that_is_heated_or_cooled(T_2: float) -> None:
    """Flow and T0 = 1200 K given, pressure kept at the exit; a wall that brings T0 near T_2.

    Whatever the wall's law, M and p follow T0 alone: held at every cell, 1e-4, four times
    what second order leaves in the steepest case at 10 mm.
    """
    M_1, T_1, p_1 = 0.3, 1200.0, 101325.0
    M_2, p_2 = rayleigh(M_1, T_1, p_1, T_2)
    assert (M_2, p_2) == pytest.approx(RAYLEIGH[T_2], rel=1e-5)
    T_s = T_1 / (1.0 + 0.2 * M_1**2)
    G = p_1 * M_1 * math.sqrt(1.4 / (287.0 * T_s))
    pipe = Pipe(
        1.0, diameter=0.04, cells=100, p=p_2, T=T_s, T_wall=600.0 if T_2 < T_1 else 2200.0,
        h={1000.0: 330.0, 800.0: 880.0, 1400.0: 180.0}[T_2],
    )  # fmt: skip
    flow = np.array([[0.0, G * BORE], [1.0, G * BORE]])
    ends = {("a", "start"): FlowHistory(flow, T_1), ("a", "stop"): Open(p_2, 300.0)}
    run = march(Net({"a": pipe}, ends, gas=G_HOT), 40_000)
    assert_constant(face_flow(run))
    assert face_flow(run).mean() == pytest.approx(G * BORE, rel=1e-12)
    now = run.profiles["a"]
    M = now.u / np.sqrt(1.4 * now.p / now.rho)
    T0 = now.T * (1.0 + 0.2 * M * M)
    assert abs(T0[-1] - T_1) > 0.5 * abs(T_2 - T_1)  # the wall does much of what it should
    # from the last cell back to every other
    pairs = [rayleigh(M[-1], T0[-1], now.p[-1], T) for T in T0]
    assert np.allclose([(m, p) for m, p in pairs], np.c_[M, now.p], rtol=1e-4, atol=0.0)
    # the wall's heat, cell by cell: cp G dT0 = 4 h/D (Tw - T) dx, same law in the balance
    heat = 4.0 * pipe.h / 0.04 * (pipe.T_wall - now.T) * 0.01
    rise = G * 1004.5 * (T0[-1] - T_1)
    assert rise == pytest.approx(heat.sum(), rel=5e-3)  # T0[-1] stands half a cell before the end


# --- a nozzle ---------------------------------------------------------------------------------

P_N, T_N = 6894.757, 100.0 / 1.8
NOZZLE = {  # exit pressure: exit M
    0.89: 0.411436,
    0.75: 0.501915,
    0.16: 1.854124,
}
LEVELS = {  # exit pressure, cells: mean |p - exact|/p0, relative error of flow
    (0.89, 50): (3.3e-4, 4.1e-4), (0.89, 100): (8.4e-5, 2.4e-4), (0.89, 200): (2.2e-5, 7.8e-5),
    (0.16, 100): (9.3e-5, 2.5e-4), (0.16, 200): (2.5e-5, 6.4e-5),
    (0.75, 100): (2.0e-3, 1.1e-3), (0.75, 200): (6.5e-4, 3.8e-4),
}  # fmt: skip


def nozzle_area(x: Array) -> Array:
    c = np.cos((0.2 * np.asarray(x) - 1.0) * np.pi)
    return np.asarray(np.where(np.asarray(x) <= 5.0, 1.75 - 0.75 * c, 1.25 - 0.25 * c))


def area_number(M: float) -> float:
    """A/A*."""
    return ((1.0 + 0.2 * M * M) / 1.2) ** 3 / M


def nozzle_pressure(x: float, ratio: float) -> float:
    """Exact p/p0: isentropes and, for 0.75, the tabulated shock at x = 7.562286."""
    throat = {0.89: 0.965066, 0.75: 1.0, 0.16: 1.0}[ratio]
    A = float(nozzle_area(np.array(x)))
    fast = x > 5.0 and (ratio == 0.16 or (ratio == 0.75 and x < 7.562286))
    behind = ratio == 0.75 and x >= 7.562286
    p0 = 0.890798 if behind else 1.0
    if behind:
        throat = 1.0 / 0.890798
    low, high = (1.0, 5.0) if fast else (1e-3, 1.0)
    a = max(A / throat, 1.0)
    M = brentq(lambda M: area_number(M) - a, low, high, xtol=1e-14) if a > 1.0 else 1.0
    return p0 * (1.0 + 0.2 * M * M) ** -3.5


@pytest.mark.parametrize(("ratio", "n"), LEVELS)
def test_nozzle(ratio: float, n: int) -> None:
    pipe = Pipe(
        10.0, area=nozzle_area, cells=n, p=lambda x: P_N * (1.0 - (1.0 - ratio) * x / 10.0), T=T_N
    )
    ends = {("a", "start"): Open(P_N, T_N), ("a", "stop"): Open(ratio * P_N, T_N)}
    run = march(Net({"a": pipe}, ends, gas=AIR), 200 * n, limiter="van leer", cfl=0.8)
    flow, now = face_flow(run), run.profiles["a"]
    assert_constant(flow)
    throat = {0.89: 0.965066, 0.75: 1.0, 0.16: 1.0}[ratio]
    exact = 0.684731 * P_N / math.sqrt(287.05 * T_N) * throat
    error, flow_error = LEVELS[ratio, n]
    # the tabulated choked number has six digits
    assert abs(flow.mean() / exact - 1.0) <= 1.5 * flow_error + 1e-6
    exact_p = np.array([nozzle_pressure(x, ratio) for x in now.x])
    assert np.abs(now.p / P_N - exact_p).mean() <= 1.5 * error


@pytest.mark.parametrize("ratio", NOZZLE)
def test_the_exact_nozzle_is_the_tabulated_one(ratio: float) -> None:
    table = {
        0.89: {0.0: 0.96365, 2.5: 0.92223, 5.0: 0.65278, 8.0: 0.85287},
        0.75: {0.0: 0.96085, 5.0: 0.52828, 7.5: 0.23537, 8.0: 0.69563, 10.0: 0.75},
        0.16: {0.0: 0.96085, 6.0: 0.38464, 10.0: 0.16018},
    }[ratio]
    for x, p in table.items():
        assert nozzle_pressure(x, ratio) == pytest.approx(p, abs=2e-5)  # last digit
    M = NOZZLE[ratio]
    p0 = 0.890798 if ratio == 0.75 else 1.0
    exit_p = nozzle_pressure(10.0, ratio)
    assert exit_p == pytest.approx(p0 * (1.0 + 0.2 * M * M) ** -3.5, abs=2e-5)
