"""Search among a study's designs: several aims, ranges and lists mixed, limits, a fixed seed.

A genetic algorithm with non-dominated sorting (NSGA-II) on mixed variables, from pymoo: ranges
are real numbers, lists of numbers are steps on a ladder, texts are names without an order. Where
all parameters are lists with no more combinations than points, each combination is computed.

Source: Deb, Pratap, Agarwal & Meyarivan, IEEE Trans. Evol. Comput. 6 (2002) 182, from memory.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from pulse1d.run.watched import Stopped
from pulse1d.study.aims import Aim, costs
from pulse1d.study.axes import Axis, Point, Value
from pulse1d.study.front import front_of
from pulse1d.study.moves import Moves
from pulse1d.study.outcome import Evaluate, Outcome

SMALLEST, LARGEST, ROUNDS = 12, 60, 50
"""Designs of a generation, at least and at most, and how many generations lie between: small ones
found the fronts of the test functions soonest, at 120 to 600 points (measured)."""
IDLE = 20
"""Rounds without a new point that end a search: few are left to find (judgement)."""
Row = tuple[Value, ...]


@dataclass(frozen=True)
class Search:
    """Every design that a search looked at, and those that nothing beats."""

    axes: tuple[Axis, ...]
    aims: tuple[Aim, ...]
    outcomes: tuple[Outcome, ...]
    """In the order they were looked at; the first is the start, where there is one."""
    front: tuple[int, ...]
    """Places in ``outcomes`` of the designs that no other beats, along the first aim."""
    left_out: dict[str, int]
    """How many points each constraint took."""
    whole: bool
    """Whether each combination was computed."""
    stopped: bool
    start: bool
    """Whether the first outcome is that of the start."""


def search(
    evaluate: Evaluate,
    axes: Sequence[Axis],
    aims: Sequence[Aim],
    *,
    points: int,
    seed: int = 1,
    allowed: Callable[[Point], str] = lambda point: "",
    start: Point | None = None,
) -> Search:
    """Look for the designs that serve the aims best.

    Parameters
    ----------
    evaluate : Evaluate   [SI]
    axes : sequence of Axis   [SI]
    aims : sequence of Aim   At least one of them most or least [SI]
    points : int   Most designs to compute [-]
    seed : int   The same seed and points give the same search, whatever computes them [-]
    allowed : function   From a point to the constraint that it breaks, or "" [-]
    start : Point or None   A design to begin with, such as the base [SI]
    Returns
    -------
    found : Search   Stopped in between, with what was found [SI]
    Source      module docstring; the size of a generation is measured, see ROUNDS
    """
    seen: dict[Row, Outcome | None] = {}
    outcomes: list[Outcome] = []
    left_out: Counter[str] = Counter()
    stopped = False

    def look(rows: Sequence[Row]) -> None:
        """Outcomes of rows not yet seen, as far as points are left; None: not allowed."""
        fresh: list[Row] = []
        for row in dict.fromkeys(rows):
            if row in seen or len(outcomes) + len(fresh) >= points:
                continue
            reason = allowed(_point(axes, row))
            if reason:
                seen[row] = None
                left_out[reason] += 1
            else:
                fresh.append(row)
        if fresh:
            for row, outcome in zip(fresh, evaluate([_point(axes, r) for r in fresh]), strict=True):
                seen[row] = outcome
                outcomes.append(outcome)

    combinations = math.prod(len(axis.values) or points + 1 for axis in axes)
    try:
        if start is not None:
            look([tuple(start[axis.name] for axis in axes)])
        began = bool(outcomes)
        if combinations <= points:
            look(list(product(*(axis.values for axis in axes))))
        else:
            moves = Moves(axes, min(max(points // ROUNDS, SMALLEST), LARGEST), seed, tuple(seen))
            idle = 0
            while len(outcomes) < points and idle < IDLE:
                before = len(outcomes)
                rows = moves.ask()
                look(rows)
                tried = [row for row in rows if row in seen]
                moves.tell(tried, *costs(aims, [seen[row] or _NOTHING for row in tried]))
                idle = idle + 1 if len(outcomes) == before else 0
    except Stopped:
        stopped, began = True, start is not None and bool(outcomes)
    front = front_of(*costs(aims, outcomes))
    return Search(
        tuple(axes), tuple(aims), tuple(outcomes), front, dict(left_out),
        combinations <= points and not stopped, stopped, began,
    )  # fmt: skip


_NOTHING = Outcome("", {}, {}, "not allowed")


def _point(axes: Sequence[Axis], row: Row) -> dict[str, Value]:
    return {axis.name: value for axis, value in zip(axes, row, strict=True)}
