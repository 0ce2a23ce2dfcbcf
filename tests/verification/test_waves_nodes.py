"""Verification: laws of every end and node: mirrors, order, mass and energy, steady flow.

Conservation and symmetry, Borda's expansion for the steady flow, and harsh states that have to stay
finite; no other source.
"""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np
import pytest

from pulse1d.losses.element import Law, Step
from pulse1d.waves.node_arrays import sudden_change
from pulse1d.waves.pipes import (
    Chamber,
    Closed,
    FlowHistory,
    Free,
    Joint,
    Net,
    Open,
    Passage,
    Pipe,
    PressureHistory,
    Vessel,
)
from pulse1d.waves.solve import WaveRun, solve
from pulse1d.waves.wave_curve import curve_density, curve_pressure
from tests.wave_ends import A_0, GAMMA, GAS, P_0, RHO_0, ROUND, T_0, simple


def one_pipe(kind: str) -> Net:
    """A pipe with waves in it between an end of this kind and a wall."""
    ends = {
        "closed": Closed(),
        "free": Free(),
        "open": Open(P_0, T_0, K=0.5),
        "vessel": Vessel(1.4e5, 400.0, 2e-4, 0.4, 0.3),
        "pressure": PressureHistory(np.array([[0.0, P_0], [2e-3, 1.3 * P_0], [4e-3, 0.9 * P_0]])),
        "flow": FlowHistory(np.array([[0.0, 0.0], [1e-3, 0.03], [3e-3, -0.03]])),
    }
    pipe = waving(0.5, 0.03)
    return Net({"a": pipe}, {("a", "stop"): ends[kind], ("a", "start"): Closed()}, gas=GAS)


def waving(length: float, diameter: float, phase: float = 0.0) -> Pipe:
    def p(x: np.ndarray) -> np.ndarray:
        return P_0 * (1.0 + 0.3 * np.sin(9.0 * x / length + phase))

    return Pipe(
        length, lambda x: diameter * (1.0 + 0.2 * x / length), cells=30, p=p,
        T=lambda x: T_0 * (1.0 + 0.2 * np.cos(5.0 * x / length + phase)),
        u=lambda x: 60.0 * np.sin(7.0 * x / length + phase),
    )  # fmt: skip


def turned(pipe: Pipe) -> Pipe:
    """The same pipe seen from its other end."""

    def flip(f, sign=1.0):
        return (lambda x: sign * np.asarray(f(pipe.length - x))) if callable(f) else sign * f

    return Pipe(
        pipe.length, flip(pipe.diameter), cells=pipe.cells, p=flip(pipe.p), T=flip(pipe.T),
        u=flip(pipe.u, -1.0),
    )  # fmt: skip


def mirrored(net: Net, names: set[str]) -> Net:
    def other(where: tuple[str, str]) -> tuple[str, str]:
        name, side = where
        return (name, {"start": "stop", "stop": "start"}[side]) if name in names else where

    pipes = {k: turned(v) if k in names else v for k, v in net.pipes.items()}
    nodes = tuple(
        type(n)(**{**n.__dict__, "ends": tuple(other(w) for w in n.ends)}) for n in net.nodes
    )
    return Net(pipes, {other(w): e for w, e in net.ends.items()}, nodes, net.gas)


def tree(kind: str) -> Net:
    legs = {"a": waving(0.4, 0.03), "b": waving(0.5, 0.035, 1.0), "c": waving(0.6, 0.05, 2.0)}
    where = (("a", "stop"), ("b", "stop"), ("c", "start"))
    s = math.sqrt(0.5)
    directions = ((-s, s, 0.0), (-s, -s, 0.0), (1.0, 0.0, 0.0))
    nodes = {
        "joint": (Joint(where),),
        "lossy joint": (Joint(where, directions),),
        "lossy run": (Joint(where, ((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)), True),),
        "chamber": (Chamber(where, 3e-4, P_0, T_0, K=0.5),),
        "passage": (Passage((("a", "stop"), ("c", "start"))),),
    }[kind]
    ends = {(n, "start"): Closed() for n in "ab"} | {("c", "stop"): Open(P_0, T_0)}
    if kind == "passage":
        ends = {("a", "start"): Closed(), ("c", "stop"): Open(P_0, T_0)}
        legs.pop("b")
    return Net(legs, ends, nodes, GAS)


SINGLE = ["closed", "free", "open", "vessel", "pressure", "flow"]
SHARED = ["joint", "lossy joint", "lossy run", "chamber", "passage"]
ALIKE = 1e-9
"""Sums in another order differ by rounding, 1e-16; iterations end at 1e-11 to 1e-13 and hundreds of
steps repeat them."""


def assert_alike(a: WaveRun, b: WaveRun, flipped: set[str], tolerance: float) -> None:
    assert a.steps == b.steps
    for name, one in a.profiles.items():
        two = b.profiles[name]
        turn = slice(None, None, -1) if name in flipped else slice(None)
        sign = -1.0 if name in flipped else 1.0
        np.testing.assert_allclose(two.p[turn], one.p, rtol=tolerance)
        np.testing.assert_allclose(two.rho[turn], one.rho, rtol=tolerance)
        np.testing.assert_allclose(sign * two.u[turn], one.u, atol=tolerance * A_0)


@pytest.mark.parametrize("kind", SINGLE)
def test_a_mirrored_end_does_the_same(kind: str) -> None:
    net = one_pipe(kind)
    a, b = solve(net, 4e-3), solve(mirrored(net, {"a"}), 4e-3)
    assert_alike(a, b, {"a"}, ALIKE)
    assert np.ptp(a.profiles["a"].p) > 100.0  # there is something to compare


@pytest.mark.parametrize("kind", SHARED)
def test_mirrored_legs_do_the_same(kind: str) -> None:
    net = tree(kind)
    a = solve(net, 4e-3)
    for names in ({"a"}, {"c"}, set(net.pipes)):
        assert_alike(a, solve(mirrored(net, names), 4e-3), names, ALIKE)


@pytest.mark.parametrize("kind", SHARED)
def test_the_order_of_pipes_and_legs_does_not_matter(kind: str) -> None:
    net = tree(kind)
    a = solve(net, 4e-3)
    for order in permutations(net.pipes):
        pipes = {name: net.pipes[name] for name in order}
        node = net.nodes[0]
        if kind != "passage":
            k = [[w[0] for w in node.ends].index(name) for name in order]
            change = {"ends": tuple(node.ends[i] for i in k)}
            if getattr(node, "directions", None) is not None:
                change["directions"] = tuple(node.directions[i] for i in k)
            node = type(node)(**{**node.__dict__, **change})
        b = solve(Net(pipes, dict(reversed(net.ends.items())), (node,), GAS), 4e-3)
        assert_alike(a, b, set(), ALIKE)


@pytest.mark.parametrize("kind", SHARED)
def test_nodes_keep_mass_and_energy(kind: str) -> None:
    """A closed network: what leaves one leg enters the others (1e-12: hundreds of steps' sums)."""
    net = tree(kind)
    shut = Net(net.pipes, dict.fromkeys(net.ends, Closed()), net.nodes, GAS)
    run = solve(shut, 4e-3)
    assert run.end.mass == pytest.approx(run.start.mass, rel=1e-12)
    assert run.end.energy == pytest.approx(run.start.energy, rel=1e-12)


# Steady flow through joints and passages


@pytest.mark.parametrize("depression", [2500.0, 12000.0])
def test_passage_marches_to_the_sudden_expansion(depression: float) -> None:
    """Steady flow through 25 -> 40 mm: both sides lie on the compressible momentum balance."""
    pipes = {
        "a": Pipe(0.2, 0.025, cells=20, p=P_0, T=T_0),
        "b": Pipe(0.2, 0.04, cells=20, p=P_0 - depression, T=T_0),
    }
    ends = {("a", "start"): Open(P_0, T_0), ("b", "stop"): Open(P_0 - depression, T_0)}
    net = Net(pipes, ends, (Passage((("a", "stop"), ("b", "start"))),), GAS)
    run = solve(net, 0.15)
    a, b = run.profiles["a"], run.profiles["b"]
    s = (0.025 / 0.04) ** 2
    steady = np.ptp(a.u) / a.u.mean()
    assert steady < 1e-6  # uniform: the start has left through both ends
    rho, u, p = a.rho[-1], a.u[-1], a.p[-1]
    G, J = s * rho * u, p + s * rho * u**2
    h0 = 3.5 * p / rho + 0.5 * u**2
    u_b = (3.5 * J - math.sqrt((3.5 * J) ** 2 - 12.0 * G**2 * h0)) / (6.0 * G)
    assert b.u[0] == pytest.approx(u_b, rel=1e-5)  # ten times what is left of the start
    assert b.p[0] == pytest.approx(J - G * u_b, rel=1e-6)


# Extreme inputs


HARSH = {
    "vacuum behind a passage": ("passage", {"c": (50.0, 300.0)}),
    "vacuum at a joint": ("joint", {"a": (50.0, 300.0)}),
    "vacuum at a lossy joint": ("lossy joint", {"a": (50.0, 300.0)}),
    "vacuum at a chamber": ("chamber", {"b": (50.0, 300.0)}),
    "hot and cold at a joint": ("joint", {"a": (8e5, 2500.0), "c": (9e4, 180.0)}),
    "hot and cold at a lossy joint": ("lossy joint", {"a": (8e5, 2500.0), "c": (9e4, 180.0)}),
    "hot and cold at a run": ("lossy run", {"b": (8e5, 2500.0), "c": (9e4, 180.0)}),
    "hot and cold at a passage": ("passage", {"a": (2e6, 2500.0), "c": (9e4, 180.0)}),
    "backwards through a passage": ("passage", {"a": (9e4, 180.0), "c": (2e6, 2500.0)}),
}


@pytest.mark.parametrize("name", list(HARSH))
def test_harsh_nodes_stay_finite(name: str) -> None:
    kind, states = HARSH[name]
    net = tree(kind)
    pipes = {
        n: Pipe(p.length, p.diameter, cells=30, p=states.get(n, (P_0, T_0))[0],
                T=states.get(n, (P_0, T_0))[1])
        for n, p in net.pipes.items()
    }  # fmt: skip
    shut = Net(pipes, dict.fromkeys(net.ends, Closed()), net.nodes, GAS)
    assert_sound(shut)


@pytest.mark.parametrize("u", [-900.0, -400.0, 400.0, 900.0])
@pytest.mark.parametrize(
    "end",
    [
        Closed(), Free(), Open(P_0, T_0, K=1.0), Open(100.0, T_0), Open(5e6, 2500.0),
        Vessel(2e6, 2500.0, 1e-4, 0.3), Vessel(100.0, 300.0, 1e-4, 0.3),
        Vessel(P_0, T_0, 1e-5, 0.0),
        PressureHistory(np.array([[0.0, 10.0], [1e-3, 3e6]])),
        FlowHistory(np.array([[0.0, 1.0], [1e-3, -1.0]])),
    ],
    ids=lambda e: f"{type(e).__name__} {getattr(e, 'p', '')}",
)  # fmt: skip
def test_harsh_ends_stay_finite(end, u: float) -> None:
    pipe = Pipe(0.3, 0.03, cells=30, p=P_0, T=T_0, u=u)
    assert_sound(Net({"a": pipe}, {("a", "start"): Closed(), ("a", "stop"): end}, gas=GAS))


def assert_sound(net: Net) -> None:
    """Finite and positive to the end."""
    run = solve(net, 3e-3, max_steps=200_000)
    for profile in run.profiles.values():
        assert np.all(np.isfinite(profile.u))
        assert np.all((profile.p > 0.0) & (profile.rho > 0.0) & np.isfinite(profile.p))


def test_step_rows_match_the_areas() -> None:
    """The default of a passage is one jet as wide as the narrower side, both ways."""
    step = Step(*sudden_change(1.0, 4.0)[0])
    assert (step.law, step.jet, step.jet_rev, step.A_1, step.A_2) == (Law.JET, 1.0, 1.0, 1.0, 4.0)


def test_curve_density_of_a_wall() -> None:
    """A closed end leaves the gas on its isentrope after an expansion."""
    p = curve_pressure(0.0, *simple(0.8))
    assert curve_density(p, *simple(0.8)[::2], GAMMA) == pytest.approx(
        RHO_0 * (p / P_0) ** (1 / 1.4), rel=ROUND
    )
