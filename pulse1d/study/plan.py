"""Which points a study computes."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, product
from typing import Any

import numpy as np

from pulse1d.errors import InputError
from pulse1d.study.axes import Axis, Point, Value
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.space import base_point, why_not

MOST_POINTS = 1_000_000
"""Most points of a sweep: half an hour of steady designs, a week of engines (judgement)."""

MOST_TRIED = 20_000
"""Points looked at for one that is allowed: some seconds (judgement)."""


@dataclass(frozen=True)
class Chosen:
    """Points of a plan that keep the constraints, and what became of the others."""

    points: tuple[Point, ...]
    left_out: dict[str, int]
    """How many each constraint took, by its words."""


def points_of(study: LoadedStudy) -> list[Point]:
    """All points of a study's plan, those included that a constraint forbids.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    points : list of Point   The same for the same file, each once [SI]
    Errors      InputError for a grid too large, or a base that one-at-a-time cannot start from.
    Source      Latin hypercube and scrambled Sobol sequence of ``scipy.stats.qmc``
    """
    return list(each_point(study))


def chosen(study: LoadedStudy) -> Chosen:
    """Points of the plan that keep the constraints.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    chosen : Chosen   [SI]
    Errors      InputError where no point is left, and as from ``points_of``.
    """
    kept: list[Point] = []
    left_out: Counter[str] = Counter()
    for point in each_point(study):
        reason = why_not(study, point)
        if reason:
            left_out[reason] += 1
        else:
            kept.append(point)
    if not kept:
        raise _none_left(study, left_out)
    return Chosen(tuple(kept), dict(left_out))


def _none_left(study: LoadedStudy, left_out: Counter[str]) -> InputError:
    taken = "; ".join(f"{count} break {reason}" for reason, count in left_out.most_common(5))
    message = f"the constraints leave no point of the plan: {taken}"
    place = ("constraints",)
    return InputError([study.document.problem(place, message, "widen a range or a limit")])


def check_left(study: LoadedStudy) -> None:
    """Refuse a study whose constraints contradict each other or its ranges.

    It looks at the points of the plan up to the first that is allowed, at MOST_TRIED of them.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Errors      InputError where no point is left, and as from ``points_of``.
    Limits      MOST_TRIED
    """
    left_out: Counter[str] = Counter()
    for point in islice(each_point(study), MOST_TRIED if study.rules else 1):
        reason = why_not(study, point)
        if not reason:
            return
        left_out[reason] += 1
    if left_out.total() < MOST_TRIED:
        raise _none_left(study, left_out)


def each_point(study: LoadedStudy) -> Iterator[Point]:
    """As ``points_of``, one by one.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    points : iterator of Point   [SI]
    Errors      As from ``points_of``.
    """
    plan, axes = study.spec.plan, study.axes
    names = [axis.name for axis in axes]
    if plan.kind == "one at a time":
        yield from _one_at_a_time(study)
    elif plan.kind == "grid":
        rungs = [steps_of(axis) for axis in axes]
        count = math.prod(len(steps) for steps in rungs)
        if count > MOST_POINTS:
            message = f"a grid of {count} points is more than {MOST_POINTS}"
            remedy = "take fewer steps, or a plan of kind 'latin hypercube' with its points"
            place = ("plan",) if "plan" in study.document.data else ("parameters",)
            raise InputError([study.document.problem(place, message, remedy)])
        for values in product(*rungs):
            yield dict(zip(names, values, strict=True))
    else:
        seen = set()
        for row in _spread(plan.kind, len(axes), plan.points, plan.seed):
            values = tuple(placed(axis, float(u)) for axis, u in zip(axes, row, strict=True))
            if values not in seen:
                seen.add(values)
                yield dict(zip(names, values, strict=True))


def steps_of(axis: Axis) -> tuple[Value, ...]:
    """Values of an axis that a grid takes.

    Parameters
    ----------
    axis : Axis   [SI]
    Returns
    -------
    values : tuple   Its list, or steps from end to end of its range [SI]
    """
    if axis.values:
        return axis.values
    last = axis.steps - 1
    return tuple(
        axis.high if k == last else axis.low + (axis.high - axis.low) * k / last
        for k in range(axis.steps)
    )


def placed(axis: Axis, u: float) -> Value:
    """Value of an axis at a share of its way.

    Parameters
    ----------
    axis : Axis   [SI]
    u : float   0 .. 1 [-]
    Returns
    -------
    value : float or str   Of a list, each of n values for an n-th of the way [SI]
    """
    if axis.values:
        return axis.values[min(int(u * len(axis.values)), len(axis.values) - 1)]
    return axis.low + (axis.high - axis.low) * u


def _spread(kind: str, dimensions: int, points: int, seed: int) -> Any:
    from scipy.stats import qmc

    if kind == "sobol":
        sequence = qmc.Sobol(dimensions, scramble=True, rng=seed)
        return sequence.random_base2(math.ceil(math.log2(points)))[:points]
    return np.asarray(qmc.LatinHypercube(dimensions, rng=seed).random(points))


def _one_at_a_time(study: LoadedStudy) -> Iterator[Point]:
    base = base_point(study)
    open_ones = [name for name, value in base.items() if value is None]
    if open_ones:
        message = f"{open_ones[0]!r} has several values in the base case, so no point to start from"
        remedy = "let it set a change: `sets: change`, or take another kind of plan"
        raise InputError(
            [study.document.problem(("parameters", open_ones[0], "path"), message, remedy)]
        )
    start: dict[str, Value] = {name: value for name, value in base.items() if value is not None}
    yield dict(start)
    for axis in study.axes:
        for value in steps_of(axis):
            if value != start[axis.name]:
                yield {**start, axis.name: value}
