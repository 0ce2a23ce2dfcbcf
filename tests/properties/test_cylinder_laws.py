"""Laws of a working cylinder on its pipe: balances, bounds, similarity, direction, phase.

None has a source but physics; tolerances are rounding over some thousand steps, or said beside.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.waves.kinds import (
    BACK_M,
    BACK_Y,
    INJECTED,
    LOST,
    MASS,
    RELEASED,
    T_NOW,
    TAKEN,
    TAKEN_H,
    WORK,
)
from pulse1d.waves.pipes import Closed, Cylinder, End, Net, Open, Pipe
from pulse1d.waves.solve import WaveRun, solve
from tests.one_cylinder import GASES, HEAT, cylinder, state_of, valves

CYLINDERS = st.fixed_dictionaries(
    {
        "start": st.floats(-300.0, 400.0),
        "speed": st.sampled_from([8.0, 50.0, 130.0]),
        "p": st.floats(0.3e5, 8e5),
        "T": st.floats(280.0, 1800.0),
        "Y": st.floats(0.0, 1.0),
        "inlet": st.tuples(st.floats(0.2e5, 2.5e5), st.floats(260.0, 400.0)),
        "heat": st.sampled_from([0.0, HEAT]),
        "wall_factor": st.sampled_from([0.0, 1.0]),
        "annand": st.sampled_from([(0.0, 0.0), (0.5, 3.3e-8)]),
        "premixed": st.sampled_from([(0.0, 10.0, 2.0), (0.2, 8.0, 1.5), (1.0, 90.0, 0.5)]),
        "fuel": st.sampled_from([0.0, 0.046]),
    }
)


def run_of(
    item: Cylinder, end: End, degrees: float, size: float = 1.0, flipped: bool = False
) -> WaveRun:
    """A cylinder and half a metre of pipe, 20 cells."""
    pipe = Pipe(0.5 * size, 0.038 * size, cells=20, p=101325.0, T=800.0, Y=1.0)
    near, far = ("stop", "start") if flipped else ("start", "stop")
    net = Net({"a": pipe}, {("a", near): item, ("a", far): end}, gas=GASES)
    return solve(net, degrees / (360.0 * item.speed), probes={"a": ("a", 0.25 * size)}, times=20)


@given(given_=CYLINDERS, shut=st.booleans())
@settings(max_examples=25, deadline=None)
def test_everything_balances(given_: dict[str, Any], shut: bool) -> None:
    item = cylinder(areas=valves(), burn=(-15.0, 50.0, 5.0, 2.0), **given_)
    run = run_of(item, Closed() if shut else Open(101325.0, 300.0), 720.0)
    now = state_of(run)
    mass = run.end.mass - run.start.mass + run.left.mass - now[TAKEN] - now[INJECTED]
    # what passed is some times what is held
    assert abs(mass) < 1e-11 * (run.start.mass + abs(now[TAKEN]) + now[BACK_M])
    energy = run.end.energy - run.start.energy - run.defect + run.left.energy
    energy += now[WORK] + now[LOST] - now[RELEASED] - now[TAKEN_H]
    assert abs(energy) < 1e-10 * (abs(run.start.energy) + now[RELEASED] + abs(now[WORK]) + 100.0)
    burned = run.end.burned - run.start.burned + run.left.burned + now[BACK_Y]
    made = now[RELEASED] / HEAT * (1.0 + given_["fuel"])
    assert burned == pytest.approx(made, abs=1e-11 * (1.0 + run.start.burned))
    assert now[INJECTED] == pytest.approx(given_["fuel"] * now[RELEASED] / HEAT, rel=1e-12)


@given(given_=CYLINDERS)
@settings(max_examples=25, deadline=None)
def test_states_stay_possible(given_: dict[str, Any]) -> None:
    """Positive pressure and temperature, composition between 0 and 1, over two cycles."""
    item = cylinder(areas=valves(), burn=(-15.0, 50.0, 5.0, 2.0), **given_)
    run = run_of(item, Open(101325.0, 300.0), 1440.0)
    now = state_of(run)
    assert now[MASS] > 0.0
    assert 150.0 < now[T_NOW] < 4500.0
    assert -1e-9 * now[MASS] <= now[2] <= now[MASS] * (1.0 + 1e-9)  # rounding
    assert run.traces["a"].p.min() > 0.0
    assert now[BACK_M] > -1e-12  # kg: the inlet gives back what it took, no more
    assert now[LOST] == 0.0 or given_["wall_factor"] > 0.0


FIRED: dict[str, Any] = {
    "areas": valves(), "heat": HEAT, "burn": (-15.0, 50.0, 5.0, 2.0), "start": 0.0, "p": 4e6,
    "T": 2200.0, "Y": 1.0, "speed": 50.0,
}  # fmt: skip


@pytest.mark.parametrize("size", [0.5, 3.0])
def test_similarity(size: float) -> None:
    """Without walls an engine of another size at the same piston speed is the same engine."""
    small = run_of(cylinder(**FIRED), Open(101325.0, 300.0), 900.0)
    one = cylinder()
    like = {
        **FIRED, "areas": size**2 * valves(), "bore": size * one.bore, "rod": size * one.rod,
        "stroke": size * one.stroke, "speed": 50.0 / size,
    }  # fmt: skip
    other = run_of(cylinder(**like), Open(101325.0, 300.0), 900.0, size)
    assert state_of(other)[WORK] == pytest.approx(size**3 * state_of(small)[WORK], rel=1e-9)
    np.testing.assert_allclose(other.traces["a"].p, small.traces["a"].p, rtol=1e-9)


def test_direction() -> None:
    """A pipe drawn the other way round is the same pipe, to rounding."""
    run = run_of(cylinder(**FIRED), Open(101325.0, 300.0), 900.0)
    other = run_of(cylinder(**FIRED), Open(101325.0, 300.0), 900.0, flipped=True)
    np.testing.assert_allclose(other.traces["a"].p, run.traces["a"].p, rtol=1e-9)
    np.testing.assert_allclose(other.traces["a"].u, -run.traces["a"].u, atol=1e-6)


def test_phase() -> None:
    """Crank angles repeat after 720 deg; rounding of the angle."""
    run = run_of(cylinder(**FIRED), Open(101325.0, 300.0), 900.0)
    other = run_of(cylinder(**{**FIRED, "start": -720.0}), Open(101325.0, 300.0), 900.0)
    np.testing.assert_allclose(other.traces["a"].p, run.traces["a"].p, rtol=1e-8)


def test_a_march_in_parts_is_the_march() -> None:
    """Two halves or one piece: second order in the one step that is cut, 1e-4 of the work."""
    item = cylinder(**FIRED)
    whole = run_of(item, Open(101325.0, 300.0), 720.0)
    pipe = Pipe(0.5, 0.038, cells=20, p=101325.0, T=800.0, Y=1.0)
    ends: dict[tuple[str, str], End] = {
        ("a", "start"): item, ("a", "stop"): Open(101325.0, 300.0),
    }  # fmt: skip
    net = Net({"a": pipe}, ends, gas=GASES)
    first = solve(net, 0.013, times=2)
    # a restart counts time anew: the crank has to be told where it stands
    first.arrays.nodes[9][:, 5] += 0.013 * 360.0 * 50.0
    second = solve(net, 0.04 - 0.013, times=2, restart=first, start_steps=0)
    assert state_of(second)[WORK] == pytest.approx(state_of(whole)[WORK], rel=1e-4)
