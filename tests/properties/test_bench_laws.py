"""Laws that bench flow obeys whatever the sizes: budgets, order, symmetry, mass, honesty.

Sources: conservation of mass and energy, and the order of resistances in series; no coefficient.
Where a law has an exception, the exception is named beside it. One law that is often said and is
not one: "a port flows less when others are open". Two jets fill a wide collector better than one,
and with Borda's expansion s -> n s, s = A_runner/A_collector, the sum of expansion and exit loss of
n equal jets, 1 - 2 n s + 2 n^2 s^2, exceeds one jet's only for s > 1/(n + 1); and a small stream is
drawn along by a large one. So it is asserted of equal ports with s well above that.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pulse1d
from tests.bench_layouts import (
    GAMMA,
    INCH_WATER,
    R_AIR,
    ROOM,
    T_ROOM,
    bores,
    design,
    directions,
    inches_of_water,
    lengths,
    log,
    merge,
    pipe,
    predict,
    quick,
    relaxed,
    runner,
    trunk,
)

SAME = 1e-7
"""Two ways to one answer: solvers stop at 1e-10 of the depression, flow moves with half of it, and
a joint's law or two are walked in another order."""


def nested(bore: float, middle: float, last: float, angle: float, **more: Any) -> pulse1d.Design:
    """Four into two into one."""
    runners = [
        runner(str(k + 1), bore, [pipe(0.4)], {"joint": "ab"[k // 2], "angle": f"{angle} deg"})
        for k in range(4)
    ]
    to = {"joint": "c", "angle": f"{angle} deg"}
    trunks = [trunk(name, to, middle, 0.3) for name in "ab"] + [trunk("c", "outlet", last, 0.2)]
    return design(runners, trunks, dict.fromkeys("abc", "merge"), **more)


def loop(bore: float, ways: tuple[float, float], last: float, angle: float) -> pulse1d.Design:
    """Two ports into a joint, two pipes side by side, and one outlet."""
    runners = [
        runner(str(k + 1), bore, [pipe(0.3)], {"joint": "a", "angle": "15 deg"}) for k in range(2)
    ]
    trunks = [
        {
            **trunk(
                {"joint": "a", "angle": f"{angle} deg", "around": f"{90 + 180 * k} deg"},
                {"joint": "b", "angle": f"{angle} deg", "around": f"{90 + 180 * k} deg"},
                way,
                0.2,
            ),
            "name": f"way {k + 1}",
        }
        for k, way in enumerate(ways)
    ]
    return design(runners, [*trunks, trunk("b", "outlet", last, 0.2)], {"a": "merge", "b": "merge"})


angles = st.sampled_from([0.0, 10.0, 20.0, 30.0, 60.0, 90.0])


@relaxed
@given(st.integers(2, 8), bores, lengths, st.floats(1.0, 1.6), angles, inches_of_water, directions)
def test_equal_ports_of_a_merge_flow_equally(
    n: int, bore: float, length: float, wider: float, angle: float, inches: float, direction: str
) -> None:
    part = merge([bore] * n, [length] * n, wider * bore, min(angle, 30.0))
    result = predict(part, inches, together=True, direction=direction)
    assert result.converged
    assert result.mdot == pytest.approx([result.mdot[0]] * n, rel=SAME)
    alone = predict(part, inches, direction=direction)
    assert alone.mdot == pytest.approx([alone.mdot[0]] * n, rel=SAME)
    # Collectors up to 1.6 bores, s above .39: beyond 1/(n + 1) for n = 2 and more, see the top.
    assert abs(result.mdot[0]) <= abs(alone.mdot[0])


networks = st.one_of(
    st.builds(
        lambda n, bore, wider, angle: log([bore] * n, wider * bore, angle),
        st.integers(2, 6),
        bores,
        st.floats(1.0, 1.8),
        st.sampled_from([30.0, 45.0, 60.0, 90.0]),
    ),
    st.builds(
        lambda b, n, wider, angle: merge(b[:n], [0.1, 0.3, 0.5, 0.7][:n], wider * max(b), angle),
        st.lists(bores, min_size=4, max_size=4),
        st.integers(2, 4),
        st.floats(1.0, 2.0),
        st.sampled_from([10.0, 15.0, 30.0]),
    ),
    st.builds(
        lambda bore, wider, angle: nested(bore, wider * bore, wider**2 * bore, angle),
        bores,
        st.floats(1.0, 1.4),
        st.sampled_from([10.0, 15.0, 30.0]),
    ),
    st.builds(
        lambda bore, a, b, angle: loop(bore, (a * bore, b * bore), 1.2 * bore, angle),
        bores,
        st.floats(0.4, 1.2),
        st.floats(0.4, 1.2),
        st.sampled_from([0.0, 10.0, 30.0]),
    ),
)


@quick
@given(networks, st.floats(0.5, 60.0), directions)
def test_together_converges_and_adds_up(
    part: pulse1d.Design, inches: float, direction: str
) -> None:
    """Every network of every kind, blown and sucked; every port's own account is complete."""
    result = predict(part, inches, together=True, direction=direction)
    assert result.converged
    for port in result.ports:
        answer = port.answer
        assert answer.profile is not None
        assert sum(line.loss_pa for line in answer.budget) == pytest.approx(
            inches * INCH_WATER, rel=1e-9
        )
        ends = answer.profile.p0[0], answer.profile.p[-1]
        if (answer.mdot > 0.0) == (direction == "blown"):
            # From the upstream stagnation pressure to the receiver's static one: the account is
            # not only closed but closed between the right ends.
            up, down = (
                (ROOM + inches * INCH_WATER, ROOM)
                if direction == "blown"
                else (ROOM, ROOM - inches * INCH_WATER)
            )
            assert ends[0] == pytest.approx(up, rel=1e-9)
            assert ends[1] == pytest.approx(down, abs=2e-3 * inches * INCH_WATER)


@quick
@given(networks, st.floats(0.5, 60.0), directions)
def test_mass_balance_at_every_joint(part: pulse1d.Design, inches: float, direction: str) -> None:
    """Leg flows read off the profiles, p M sqrt(gamma/(R T)) A: a joint passes what it receives."""
    result = predict(part, inches, together=True, direction=direction)
    assert result.converged
    network = part.network
    flows: dict[str, float] = {}
    for port in result.ports:
        profile = port.answer.profile
        assert profile is not None
        for place, name in enumerate(profile.labels):
            leg = name.partition(":")[0]
            area = {item.name: item.section_start.area for item in network.legs}.get(leg)
            if area is not None:  # legs of these networks keep their section
                M, p = profile.M[place], profile.p[place]
                T = T_ROOM / (1.0 + 0.2 * M * M)
                flows.setdefault(leg, p * M * math.sqrt(GAMMA / (R_AIR * T)) * area)
    names = [leg.name for leg in network.legs]
    for k, port in enumerate(result.ports):
        first = names[network.runner_index(port.answer.port)]
        # gamma of the profile against GAMMA: 3e-4 of a leg's flow.
        assert abs(result.mdot[k]) == pytest.approx(flows[first], rel=5e-4, abs=1e-9)
    forward = 1.0 if direction == "blown" else -1.0
    total = float(result.mdot.sum()) * forward
    last = names[network.ends.index("outlet")]
    assert total == pytest.approx(flows[last], rel=5e-4)
    if not all(leg in flows for leg in names) or (result.mdot * forward < 0.0).any():
        return  # a loop shows one of its two ways only; a leg that runs back has no sign here
    for joint in network.joints:
        into = sum(flows[names[i]] for i, end in enumerate(network.ends) if end == joint)
        out = sum(flows[names[i]] for i, start in enumerate(network.starts) if start == joint)
        assert into == pytest.approx(out, rel=5e-4)


@quick
@given(networks, st.floats(0.5, 60.0), directions)
def test_one_port_by_either_solver(part: pulse1d.Design, inches: float, direction: str) -> None:
    """One port open by the path solver, and as a network whose other ports are blanked."""
    for name in part.network.port_names[:2]:
        alone = predict(part, inches, ports=[name], direction=direction)
        network = predict(part, inches, ports=[name], together=True, direction=direction)
        assert alone.converged
        assert network.converged
        # A joint may take gamma at T0, the path takes it at T: 1e-3 of the growth of K with M^2,
        # which is 3 % of K at 60 inH2O.
        assert network.mdot[0] == pytest.approx(alone.mdot[0], rel=5e-5)


@relaxed
@given(
    st.lists(bores, min_size=2, max_size=5),
    st.floats(1.0, 1.6),
    st.sampled_from([45.0, 90.0]),
    directions,
    st.booleans(),
)
def test_mirrored_layouts_give_mirrored_flows(
    sizes: list[float], wider: float, angle: float, direction: str, together: bool
) -> None:
    one, other = (
        predict(part, together=together, direction=direction)
        for part in (
            log(sizes, wider * max(sizes), angle),
            log(sizes[::-1], wider * max(sizes), angle, outlet="first"),
        )
    )
    assert one.converged
    assert other.converged
    assert one.mdot == pytest.approx(other.mdot[::-1], rel=SAME, abs=SAME * abs(one.mdot).max())


@relaxed
@given(bores, st.floats(1.0, 1.4), st.sampled_from([10.0, 15.0, 30.0]), directions)
def test_four_into_two_into_one_is_even(
    bore: float, wider: float, angle: float, direction: str
) -> None:
    result = predict(
        nested(bore, wider * bore, wider**2 * bore, angle), together=True, direction=direction
    )
    assert result.converged
    assert result.mdot == pytest.approx([result.mdot[0]] * 4, rel=SAME)


@relaxed
@given(bores, st.floats(0.4, 1.2), st.sampled_from([0.0, 10.0, 30.0]), directions)
def test_two_equal_ways_flow_equally(bore: float, way: float, angle: float, direction: str) -> None:
    """A loop of two equal pipes: both ports, which meet it alike, flow alike."""
    part = loop(bore, (way * bore, way * bore), 1.2 * bore, angle)
    for together in (False, True):
        result = predict(part, together=together, direction=direction)
        assert result.converged
        assert result.mdot[0] == pytest.approx(result.mdot[1], rel=SAME)


@quick
@given(networks, st.floats(5.0, 60.0), directions)
def test_open_neighbours(part: pulse1d.Design, inches: float, direction: str) -> None:
    """Ports not under test open to the room: converged, and the tested port flows its own way.

    An opening more cannot make the tested port's flow run backwards: its pressure is the extreme.
    """
    case = part.case
    opened = pulse1d.Design(
        case.model_copy(update={"bench": case.bench.model_copy(update={"other_ports": "open"})}),
        part.path,
        part.document,
    )
    result = predict(opened, inches, direction=direction)
    assert result.converged
    assert ((result.mdot > 0.0) == (direction == "blown")).all()


def test_a_stub_at_the_static_pressure_draws_nothing() -> None:
    """A frictionless through run, free at its outlet: its wall stands at the room's pressure.

    So a lateral that is open to the room neither takes nor gives, at any angle. What flows there
    is at most the share within which a solver may smooth a reversal, 2 %.
    """
    for angle in (30.0, 60.0, 90.0):
        runners = [
            runner("1", 0.04, [pipe(0.1)], "j"),
            runner("2", 0.04, [pipe(0.1)], {"joint": "j", "angle": f"{angle} deg"}),
        ]
        part = design(
            runners,
            [trunk("j", "outlet", 0.04, 0.1)],
            {"j": "branch"},
            surface={"f D": 1e-9},
            bench={"other ports": "open", "adapter": {"ideal": True}},
        )
        M = math.sqrt(5.0 * ((1.0 + 6974.5 / ROOM) ** (1.0 / 3.5) - 1.0))
        p0 = ROOM + 6974.5
        ideal = p0 * math.sqrt(1.4 / (287.05 * T_ROOM)) * M * (1.0 + 0.2 * M * M) ** -3.0
        found = predict(part, 6974.5 / INCH_WATER, ports=["1"])
        assert found.converged
        assert found.mdot[0] / (0.25 * math.pi * 0.04**2) == pytest.approx(ideal, rel=0.02)


def test_choking_in_the_common_outlet() -> None:
    """Four ports through one bore of their own size: sonic there, named, and level beyond."""
    part = merge([0.04] * 4, [0.1] * 4, 0.04, 15.0, bench={"fixed end": "outlet"})
    results = [
        predict(part, kPa * 1e3 / INCH_WATER, together=True, direction="sucked")
        for kPa in (30.0, 70.0, 90.0)
    ]
    assert all(result.converged for result in results)
    assert [result.ports[0].answer.choked for result in results] == [False, True, True]
    sonic = ROOM * 0.684731 / math.sqrt(287.05 * T_ROOM) * 0.25 * math.pi * 0.04**2
    for result in results[1:]:
        # Below the ideal sonic flow by the merge, K = 1 - 2 cos(15 deg)/4 + 1/16 = .58, and the
        # outlet's friction, about .1: .80 as a Fanno length, .75 with the merge's K taken on the
        # head behind it.
        assert 0.72 * sonic < result.mdot.sum() < 0.83 * sonic
        assert result.ports[0].answer.mach_max > 0.95
        assert any(
            "m to outlet" in text or "outlet" in text for text in result.ports[0].answer.warnings
        )
    # Level: choking is bracketed to 1e-6 of the depression, and flow is flat there.
    assert results[2].mdot == pytest.approx(results[1].mdot, rel=1e-4)
