"""Verification: the compiled kernel against the plain numpy solver, and its loops with each other.

The plain solver is of first order, so the kernel is run with its limiter "first order". One step at
a time from one state: what a step does to a cell must agree to round-off. Cells of a taper differ
in volume by design, (A1 + A2 + sqrt(A1 A2))/3 of a cone against the mean area, so the change of
each cell is compared times its volume. Second order: the short loops for plain pipes, the long
ones for pipes with walls, and the two-gas ones, each forced onto the same problem.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from pulse1d.waves import plain
from pulse1d.waves.pipes import Closed, ConstantGas, Free, Net, Open, Passage, Pipe, TwoGases
from pulse1d.waves.solve import Profile, WaveRun, solve
from pulse1d.waves.walls import T_WALL

Array = NDArray[np.float64]

GAS = ConstantGas(1.4, 287.05)
P_0, RHO_0, L, N = 101325.0, 1.2, 0.8, 40
SAME = 1e-12
"""Round-off of one step: sums of some ten terms, each up to a hundred times the change itself."""


def start() -> Array:
    """Shock, contact, fan and a smooth wave: rho, u, p of the cells."""
    x = (np.arange(N) + 0.5) / N
    rho = np.where(x < 0.3, 2.4, np.where(x < 0.6, 1.2, 0.5)) * (1.0 + 0.1 * np.sin(12.0 * x))
    u = np.where(x < 0.5, 60.0, -90.0) + 30.0 * np.cos(9.0 * x)
    p = P_0 * (np.where(x < 0.4, 2.0, 1.0) + 0.2 * np.cos(15.0 * x))
    return np.array([rho, u, p])


def wide(x: Array) -> Array:
    return np.asarray(math.pi / 4 * (0.03 + 0.04 * x) ** 2)


def even(x: Array) -> Array:
    return np.full(np.shape(x), 1e-3)


def sine(x: Array) -> Array:
    return np.asarray(1e-3 * (1.0 + 0.5 * np.sin(2.0 * np.pi * x / L)))


def kernel(W: Array, t: float, ends: tuple[Any, Any], **pipe: Any) -> WaveRun:
    """One step or many; a step is one when t is below the Courant limit."""
    rho, u, p = W
    net = Net(
        {"a": Pipe(L, cells=N, p=p, u=u, T=p / (rho * GAS.R), **pipe)},
        {("a", "start"): ends[0], ("a", "stop"): ends[1]},
        gas=GAS,
    )
    return solve(net, t, limiter="first order", times=1, start_steps=0)


def of(profile: Profile) -> Array:
    return np.array([profile.rho, profile.u, profile.p])


ENDS = {
    "closed": ((Closed(), Closed()), (plain.closed, plain.closed)),
    "free": ((Free(), Free()), (plain.non_reflecting, plain.non_reflecting)),
}


@pytest.mark.parametrize("f_D", [0.0, 0.05])
@pytest.mark.parametrize("area", [even, wide, sine])
@pytest.mark.parametrize("ends", ENDS)
def test_every_step_is_that_of_the_plain_solver(
    ends: str, area: Callable[[Array], Array], f_D: float
) -> None:
    """Inner cells; the cells at the ends answer along exact waves here and by HLLC there."""
    ours, theirs = ENDS[ends]
    faces = np.linspace(0.0, L, N + 1)
    A = area(faces)
    dx, mean = L / N, 0.5 * (A[1:] + A[:-1])
    V = dx * (A[1:] + A[:-1] + np.sqrt(A[1:] * A[:-1])) / 3.0
    W, dt = start(), 8e-6
    inner = slice(1, -1)
    for _ in range(25):
        run = kernel(W, dt, ours, area=area, f_D=f_D)
        assert run.steps == 1
        old = plain.conserved(W, 1.4)
        found = V * (plain.conserved(of(run.profiles["a"]), 1.4) - old)
        # friction acts on the volume itself and with the diameter of the volume, not of the mean
        plain_free = plain.solve(W, A, dx, dt, theirs, f_D=0.0)
        expected = mean * dx * (plain.conserved(plain_free, 1.4) - old)
        if f_D > 0.0:
            rho, u, _ = W
            D = np.sqrt(4.0 * V / dx / np.pi)
            expected[1] -= V * dt * f_D / (2.0 * D) * rho * u * np.abs(u)
        size = V * np.abs(old).max(axis=1, keepdims=True)
        assert np.all(np.abs(found - expected)[:, inner] <= SAME * size[:, inner])
        assert np.abs(found / size).max() > 1e-4  # something happens in a step
        W = plain.solve(W, A, dx, dt, theirs, f_D=f_D)


def test_whole_runs_with_open_ends_agree() -> None:
    """A tube that empties through an open end, by both solvers to their common first order.

    The open ends' laws are the same physics solved in two ways (wave curve; isentropes), and HLLC
    stands for the exact wave at the ends of the plain one: 1 % of the pressure fall over 40 cells.
    """
    W = np.array([np.full(N, 2.0), np.zeros(N), np.full(N, 1.5 * P_0)])
    room = (P_0, RHO_0)
    found = of(
        kernel(W, 3e-3, (Closed(), Open(P_0, P_0 / (RHO_0 * GAS.R))), area=even).profiles["a"]
    )
    expected = plain.solve(W, even(np.linspace(0, L, N + 1)), L / N, 3e-3,
                           (plain.closed, plain.open_to(*room)))  # fmt: skip
    assert np.abs(found[2] - expected[2]).max() <= 0.01 * 0.5 * P_0
    assert np.abs(found[1] - expected[1]).max() <= 0.01 * 150.0  # u of the emptying


# --- one loop against another -----------------------------------------------------------------

FORCED: dict[str, dict[str, Any]] = {
    "plain": {},
    "walls": {"rows": {T_WALL: 0.0}},
    "two compositions": {"Y": 0.5},
}


def second_order(extra: dict[str, Any], gas: Any = GAS, mode: str | None = None) -> WaveRun:
    rho, u, p = start()
    pipes = {
        "a": Pipe(L, area=1e-3, cells=N, p=p, u=u, T=p / (rho * GAS.R), **extra),
        "b": Pipe(L, area=2e-3, cells=N, p=P_0, T=400.0, **extra),
    }
    ends = {("a", "start"): Closed(), ("b", "stop"): Open(P_0, 300.0, Y=extra.get("Y", 0.0))}
    nodes = (Passage((("a", "stop"), ("b", "start"))),)
    return solve(Net(pipes, ends, nodes, gas), 2e-3, times=1, mode=mode)


@pytest.mark.parametrize("name", FORCED)
def test_long_loops_and_short_ones_are_one_scheme(name: str) -> None:
    """To 1e-11 over a whole run of 100 steps with shocks, which amplify round-off a little."""
    short, long = second_order({}), second_order(FORCED[name])
    assert bool(short.arrays.legs[2].all())
    assert bool(long.arrays.legs[2].any()) == (name == "plain")
    assert short.steps == long.steps
    for pipe in "ab":
        one, other = of(short.profiles[pipe]), of(long.profiles[pipe])
        size = np.array([[1.0], [300.0], [P_0]])
        assert np.all(np.abs(one - other) <= 1e-11 * size)


@pytest.mark.parametrize("mode", ["conservative", "equilibrium"])
def test_two_gas_loops_with_one_gas_of_constant_gamma_are_the_same_scheme(mode: str) -> None:
    short = second_order({})
    long = second_order({"Y": 0.5}, TwoGases(GAS, GAS), mode)
    assert long.mode == mode
    for pipe in "ab":
        one, other = of(short.profiles[pipe]), of(long.profiles[pipe])
        size = np.array([[1.0], [300.0], [P_0]])
        # temperatures by Newton to 1e-13 each step
        assert np.all(np.abs(one - other) <= 1e-10 * size)
    assert np.all(np.abs(long.profiles["a"].Y - 0.5) <= 1e-13)  # a uniform mixture stays one
