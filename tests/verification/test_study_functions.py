"""Search, shares and slopes on functions whose answers are known.

Ishigami & Homma 1990 and Saltelli & Sobol 1995 (shares), Zitzler, Deb & Thiele 2000 (fronts), all
from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from pulse1d.study.aims import Aim
from pulse1d.study.axes import Axis, Point
from pulse1d.study.front import front_of
from pulse1d.study.outcome import Evaluate, Outcome
from pulse1d.study.search import search
from pulse1d.study.shares import Shares, shares_of
from pulse1d.study.slopes import slopes_of

Array = NDArray[np.float64]
AIMS = (Aim("f1", "least"), Aim("f2", "least"))
PI = np.pi


def ranges(count: int, low: float = 0.0, high: float = 1.0) -> list[Axis]:
    return [Axis(f"x{k}", "", low, high) for k in range(count)]


def of_rows(names: Sequence[str], function: Callable[[Array], Sequence[Array]]) -> Evaluate:
    def evaluate(points: Sequence[Point]) -> list[Outcome]:
        x = np.array([[float(value) for value in point.values()] for point in points])
        return [
            Outcome("", point, dict(zip(names, map(float, row), strict=True)))
            for point, row in zip(points, zip(*function(x), strict=True), strict=True)
        ]

    return evaluate


def ishigami(x: Array) -> list[Array]:
    return [np.sin(x[:, 0]) * (1.0 + 0.1 * x[:, 2] ** 4) + 7.0 * np.sin(x[:, 1]) ** 2]


G_OF = np.array([0.0, 1.0, 4.5, 9.0, 99.0, 99.0])


def sobol_g(x: Array) -> list[Array]:
    return [np.prod((np.abs(4.0 * x - 2.0) + G_OF) / (1.0 + G_OF), axis=1)]


def held(found: Shares, alone: Sequence[float], total: Sequence[float]) -> None:
    """Within the interval that is told: 95 % of one, so 1.5 of its half width for a dozen."""
    for one in found.shares:
        k = int(one.parameter[1:])
        assert abs(one.alone - alone[k]) <= 1.5 * one.alone_doubt
        assert abs(one.total - total[k]) <= 1.5 * one.total_doubt
        assert max(one.alone_doubt, one.total_doubt) < 0.1  # and the interval says something


def test_shares_of_ishigami() -> None:
    first, second = 0.5 * (1.0 + 0.1 * PI**4 / 5.0) ** 2, 49.0 / 8.0
    both = 0.01 * PI**8 * (1.0 / 18.0 - 1.0 / 50.0)  # of the first and third together
    every = first + second + both
    [found] = shares_of(of_rows(["y"], ishigami), ranges(3, -PI, PI), ["y"], points=5 * 2048)
    assert (found.method, found.samples) == ("sobol", 2048)
    held(found, [first / every, second / every, 0.0],
         [(first + both) / every, second / every, both / every])  # fmt: skip
    # mean and deviation over 10 240 points: one part in a hundred is a standard error of the mean
    assert found.mean == pytest.approx(3.5, abs=4.0 * found.deviation / 100.0)
    assert found.deviation == pytest.approx(np.sqrt(every), rel=0.04)


def test_shares_of_sobols_g() -> None:
    each = 1.0 / (3.0 * (1.0 + G_OF) ** 2)
    every = np.prod(1.0 + each) - 1.0
    total = each * np.prod(1.0 + each) / (1.0 + each) / every
    [found] = shares_of(of_rows(["y"], sobol_g), ranges(6), ["y"], points=8 * 2048)
    held(found, list(each / every), list(total))
    assert [one.parameter for one in found.shares[:4]] == ["x0", "x1", "x2", "x3"]


def test_elementary_effects_of_a_linear_function_are_exact() -> None:
    evaluate = of_rows(["y"], lambda x: [3.0 * x[:, 0] - 5.0 * x[:, 1] + 1.0])
    [found] = shares_of(evaluate, ranges(2, 0.0, 2.0), ["y"], points=40)
    assert found.method == "morris"
    # each crosses a range of 2; the differences are of numbers near 10, so round-off is 1e-15 or so
    assert [(s.parameter, s.alone, s.total) for s in found.shares] == [
        ("x1", pytest.approx(-10.0, rel=1e-12), pytest.approx(10.0, rel=1e-12)),
        ("x0", pytest.approx(6.0, rel=1e-12), pytest.approx(6.0, rel=1e-12)),
    ]


def zdt(kind: int) -> Evaluate:
    def costs(x: Array) -> list[Array]:
        g = 1.0 + 9.0 * np.mean(x[:, 1:], axis=1)
        return [x[:, 0], g * shape(kind, x[:, 0], g)]

    return of_rows(["f1", "f2"], costs)


def shape(kind: int, f: Array, g: Array | float) -> Array:
    if kind == 1:
        return 1.0 - np.sqrt(f / g)
    if kind == 2:
        return 1.0 - (f / g) ** 2
    return 1.0 - np.sqrt(f / g) - f / g * np.sin(10.0 * PI * f)


def true_front(kind: int) -> Array:
    f = np.linspace(0.0, 1.0, 1001)
    curve = np.column_stack([f, shape(kind, f, 1.0)])
    return curve[list(front_of(curve, np.zeros(len(f))))]


def apart(kind: int, found: Array) -> tuple[float, float]:
    """Mean distance of the true front from the designs, and of the designs from the front."""
    each = np.linalg.norm(true_front(kind)[:, None] - found[None], axis=2)
    return float(each.min(axis=1).mean()), float(each.min(axis=0).mean())


def front_found(kind: int, axes: Sequence[Axis], points: int) -> Array:
    result = search(zdt(kind), axes, AIMS, points=points, seed=1)
    assert len(result.outcomes) == points
    rows = [result.outcomes[k].answers for k in result.front]
    return np.array([[row["f1"], row["f2"]] for row in rows])


EVEN = 1.5 / 40
"""One generation of 40 spread evenly over these fronts, at most 1.5 long, lies this far apart."""


@pytest.mark.parametrize("kind", [1, 2, 3])
def test_search_finds_the_known_front_with_a_list_among_the_ranges(kind: int) -> None:
    axes = [*ranges(4), Axis("x4", "", 0.0, 1.0, tuple(np.linspace(0.0, 1.0, 6).tolist()))]
    spread, off = apart(kind, front_found(kind, axes, 2000))
    assert spread < EVEN
    assert off < EVEN
    x = np.random.default_rng(1).random((2000, 5))
    x[:, 4] = np.round(5.0 * x[:, 4]) / 5.0
    blind = zdt(kind)([{f"x{k}": v for k, v in enumerate(row)} for row in x])
    rows = np.array([list(one.answers.values()) for one in blind])
    # as many designs by chance must be worse by far, or the check shows nothing
    assert apart(kind, rows[list(front_of(rows, np.zeros(2000)))])[0] > 5.0 * spread


@pytest.mark.long
@pytest.mark.parametrize("kind", [1, 2, 3])
def test_search_finds_the_known_front_in_thirty_dimensions(kind: int) -> None:
    spread, off = apart(kind, front_found(kind, ranges(30), 20_000))
    # a generation of 60, as above: 1.5 / 60 apart, a quarter of that from the nearest on average
    assert spread < 1.5 / 60 / 4
    assert off < 1.5 / 60 / 4


def test_slopes_of_a_linear_function_are_exact() -> None:
    evaluate = of_rows(["y", "z"], lambda x: [4.0 * x[:, 0] - 0.5 * x[:, 1], -x[:, 1] + x[:, 2]])
    axes = [*ranges(2, -1.0, 3.0), Axis("x2", "", 0.0, 8.0, (8.0, 0.0, 2.0))]
    found, there = slopes_of(evaluate, axes, {"x0": 0.5, "x1": -1.0, "x2": 2.0}, ["y", "z"])
    known = {
        ("x0", "y"): 4.0, ("x0", "z"): 0.0, ("x1", "y"): -0.5, ("x1", "z"): -1.0,
        ("x2", "y"): 0.0, ("x2", "z"): 1.0,
    }  # fmt: skip
    assert there.answers == {"y": 2.5, "z": 3.0}
    # differences of 0.1 between numbers of 3: round-off of 1e-15 over a tenth
    assert {(s.axis.name, s.answer): pytest.approx(s.slope, abs=1e-13) for s in found} == known
    assert all(s.doubt < 1e-13 for s in found)
    ends = {s.axis.name: (s.low, s.high) for s in found}
    assert ends["x1"] == (-1.0, pytest.approx(-0.92))  # at the end of its range: one side only
    assert ends["x2"] == (0.0, 8.0)  # along a list: from neighbour to neighbour


def test_a_slope_that_noise_hides_is_called_unsure() -> None:
    noise = np.random.default_rng(3)
    evaluate = of_rows(["y"], lambda x: [1e-3 * x[:, 0] + 1e-3 * noise.standard_normal(len(x))])
    [flat], _ = slopes_of(evaluate, ranges(1), {"x0": 0.5}, ["y"])
    # two steps of 0.04 and 0.02 see noise of some 0.05 a unit, fifty times the slope
    assert not flat.sure
    assert flat.doubt > 5e-3
    square = of_rows(["y"], lambda x: [x[:, 0] ** 3])
    [bent], _ = slopes_of(square, ranges(1), {"x0": 0.5}, ["y"], 0.1)
    # the central difference of a cube is off by the square of its step, and 3/4 of it shows
    assert bent.slope == pytest.approx(0.75 + 0.01, rel=1e-12)
    assert bent.doubt == pytest.approx(0.75 * 0.01, rel=1e-9)
    assert bent.sure
