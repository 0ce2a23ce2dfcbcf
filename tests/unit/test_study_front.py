"""Fronts, knees, aims and the rules of a search, on designs small enough to judge by eye."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from pulse1d.errors import InputError
from pulse1d.run.watched import Stopped
from pulse1d.study.aims import Aim, costs
from pulse1d.study.axes import Axis, Point
from pulse1d.study.front import front_of, knee_of, named, trade_words
from pulse1d.study.outcome import Outcome
from pulse1d.study.search import search
from pulse1d.study.shares import shares_of

FLOW, MASS = Aim("flow", "most", unit="CFM", scale=2.0), Aim("mass", "least", unit="kg")
LENGTH = Axis("length", "mm", 0.0, 1.0)
TUBE = Axis("tube", "in", 1.0, 3.0, (3.0, 1.0, 2.0))
STEEL = Axis("steel", "", 0.0, 0.0, ("thin", "thick"))


def made(flow: float, mass: float) -> Outcome:
    return Outcome("", {}, {"flow": flow, "mass": mass})


def part(points: Sequence[Point]) -> list[Outcome]:
    """More flow and more mass with the tube; thick steel only weighs; length 0.5 flows best."""
    return [
        Outcome(
            "", point,
            {
                "flow": float(p["tube"]) - (float(p["length"]) - 0.5) ** 2,
                "mass": float(p["tube"]) * (2.0 if p["steel"] == "thick" else 1.0),
            },
        )
        for point in points
        for p in [point]
    ]  # fmt: skip


def test_front_leaves_out_what_is_beaten_equal_or_off_limits() -> None:
    wanted = np.array([[1.0, 4.0], [2.0, 2.0], [4.0, 1.0], [3.0, 3.0], [2.0, 2.0], [0.0, 0.0]])
    assert front_of(wanted, np.array([0.0, 0.0, -1.0, 0.0, 0.0, 0.1])) == (0, 1, 2)
    assert front_of(np.array([[3.0], [1.0], [2.0]]), np.zeros(3)) == (1,)
    assert front_of(np.full((2, 2), np.inf), np.full(2, np.inf)) == ()


def test_front_agrees_with_its_definition_on_random_rows() -> None:
    wanted = np.random.default_rng(2).integers(0, 6, (80, 3)).astype(float)
    as_low = np.all(wanted[:, None] <= wanted[None], axis=2)
    lower = np.any(wanted[:, None] < wanted[None], axis=2)
    free = ~np.any(as_low & lower, axis=0)
    assert {tuple(wanted[k]) for k in front_of(wanted, np.zeros(80))} == {
        tuple(row) for row in wanted[free]
    }


def test_knee_is_the_point_furthest_below_the_chord() -> None:
    wanted = np.array([[0.0, 100.0], [1.0, 30.0], [5.0, 5.0], [10.0, 0.0]])
    chord = wanted[:, 0] / 10.0 + wanted[:, 1] / 100.0  # 1 on the chord
    assert knee_of(wanted) == int(np.argmin(chord)) == 1


def test_trade_is_told_from_the_knee_in_shown_units() -> None:
    outcomes = [made(100.0, 1.0), made(140.0, 1.2), made(150.0, 3.0), made(90.0, 2.0)]
    front = front_of(*costs((FLOW, MASS), outcomes))
    found = named(outcomes, (FLOW, MASS), front)
    assert front == (2, 1, 0)
    assert found is not None
    assert found.knee == 1
    assert [trade_words(trade, found.aims) for trade in found.trades] == [
        "most flow: +5 CFM flow over the knee, paid with +1.8 kg mass",
        "least mass: -0.2 kg mass over the knee, paid with -20 CFM flow",
    ]
    alone = named(outcomes[:1], (FLOW, MASS), (0,))
    assert alone is not None
    assert alone.trades == ()


def test_limits_bound_the_front_and_missing_answers_never_count() -> None:
    light = Aim("mass", "below", 1.5)
    outcomes = [made(1.0, 1.0), made(9.0, 1.6), Outcome("", {}, {"flow": 99.0}, "no mass")]
    wanted, missed = costs((FLOW, light), outcomes)
    assert wanted[:, 0].tolist() == [-1.0, -9.0, np.inf]
    # a tenth of a kilogram over one and a half is a fifteenth
    assert missed.tolist() == [pytest.approx(-1 / 3), pytest.approx(1 / 15), np.inf]
    assert front_of(wanted, missed) == (0,)


def test_few_combinations_are_all_computed() -> None:
    axes = [Axis("length", "", 0.0, 1.0, (0.5, 1.0)), TUBE, STEEL]
    found = search(part, axes, (FLOW, MASS), points=12)
    assert found.whole
    assert len(found.outcomes) == 12
    best = [found.outcomes[k].point for k in found.front]
    assert best == [{"length": 0.5, "tube": t, "steel": "thin"} for t in (3.0, 2.0, 1.0)]


def test_a_search_over_ranges_lists_and_texts_finds_the_best_of_each() -> None:
    start = {"length": 0.1, "tube": 2.0, "steel": "thick"}
    axes = [LENGTH, TUBE, STEEL]
    found = search(part, axes, (FLOW, MASS), points=150, seed=4, start=start)
    assert (len(found.outcomes), found.whole, found.start) == (150, False, True)
    assert found.outcomes[0].point == start
    front = [found.outcomes[k] for k in found.front]
    assert [one.point["tube"] for one in front] == [3.0, 2.0, 1.0]
    assert {one.point["steel"] for one in front} == {"thin"}
    # flow falls by the square of the distance: a hundredth of a tube's step is 0.1 of length
    assert all(abs(float(one.point["length"]) - 0.5) < 0.1 for one in front)
    again = search(part, axes, (FLOW, MASS), points=150, seed=4, start=start)
    assert again == found
    assert search(part, axes, (FLOW, MASS), points=150, seed=5, start=start) != found


def test_points_off_limits_are_counted_and_never_computed() -> None:
    def short(point: Point) -> str:
        return "too long" if float(point["length"]) > 0.4 else ""

    def guarded(points: Sequence[Point]) -> list[Outcome]:
        assert not any(map(short, points))
        return part(points)

    found = search(guarded, [LENGTH, TUBE, STEEL], (FLOW,), points=120, seed=1, allowed=short)
    assert found.left_out["too long"] > 0
    assert len(found.outcomes) == 120
    best = found.outcomes[found.front[0]].point
    # at the limit flow falls by 0.2 a unit of length: 0.05 short of it costs 0.0125 of 3
    assert best["tube"] == 3.0
    assert float(best["length"]) == pytest.approx(0.4, abs=0.05)


def test_a_search_where_everything_fails_ends_with_an_empty_front() -> None:
    def broken(points: Sequence[Point]) -> list[Outcome]:
        return [Outcome("", point, {}, "no") for point in points]

    found = search(broken, [LENGTH], (FLOW, MASS), points=30)
    assert (len(found.outcomes), found.front) == (30, ())
    closed = search(part, [LENGTH, TUBE], (FLOW,), points=30, allowed=lambda point: "closed")
    assert (closed.outcomes, closed.front) == ((), ())
    assert closed.left_out["closed"] > 0


def test_a_search_that_is_stopped_keeps_what_it_has() -> None:
    calls = 0

    def stopping(points: Sequence[Point]) -> list[Outcome]:
        nonlocal calls
        calls += 1
        if calls == 3:
            raise Stopped
        return part(points)

    found = search(stopping, [LENGTH, TUBE, STEEL], (FLOW, MASS), points=100)
    assert found.stopped
    assert len(found.outcomes) == 24  # two generations of 12
    assert found.front


def test_shares_leave_out_blocks_that_lost_a_point_and_refuse_when_most_did() -> None:
    axes = [LENGTH, Axis("width", "", 0.0, 1.0)]

    def ok(points: Sequence[Point]) -> list[Outcome]:
        return [Outcome("", p, {"y": float(p["length"]) + 2.0 * float(p["width"])}) for p in points]

    def corner(limit: float) -> dict[str, float]:
        [found] = shares_of(
            ok, axes, ["y"], points=1024,
            allowed=lambda p: "corner" if float(p["length"]) > limit else "",
        )  # fmt: skip
        return found.lost

    lost = corner(0.95)
    # one of 20 lengths is off limits, and a block has two of them: near 2 x 5 % of 256 blocks
    assert 13 <= lost["corner"] <= 26
    with pytest.raises(InputError, match="corner"):
        corner(0.3)
    with pytest.raises(InputError, match="too few for shares of 2"):
        shares_of(ok, axes, ["y"], points=9)
    with pytest.raises(InputError, match="one parameter has all"):
        shares_of(ok, axes[:1], ["y"], points=99)
