"""The optimiser behind a search: asked for rows of values, told what they cost. Imports pymoo."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.study.axes import Axis, Value

Array = NDArray[np.float64]
Row = tuple[Value, ...]
FAR = 1e9
"""Missed limit of a design that cannot be built or is not allowed."""


class Moves:
    """Generations of rows, each bred from the best so far."""

    def __init__(self, axes: Sequence[Axis], size: int, seed: int, first: Sequence[Row]) -> None:
        """Begin.

        The first generation is a Latin hypercube, with the given rows in place of its first.
        """
        from pymoo.algorithms.moo.nsga2 import RankAndCrowdingSurvival
        from pymoo.config import Config
        from pymoo.core.mixed import MixedVariableGA
        from pymoo.core.population import Population

        Config.warnings["not_compiled"] = False
        self.axes, self.seed = tuple(axes), seed
        self._names = [f"x{k}" for k in range(len(axes))]
        rows = [*first, *self._spread(size)][:size]
        self._ladders = [_ladder(axis) for axis in axes]
        self._asked: Any = Population.new(X=[self._coded(row) for row in rows])
        self._algorithm = MixedVariableGA(
            pop_size=size, sampling=self._asked, survival=RankAndCrowdingSurvival()
        )
        self._begun = False

    def ask(self) -> list[Row]:
        """The next rows to look at."""
        if self._begun:
            self._asked = self._algorithm.ask()
        return [self._decoded(one.X) for one in self._asked]

    def tell(self, rows: Sequence[Row], wanted: Array, missed: Array) -> None:
        """What rows cost: aims to be low, and by what share limits are missed."""
        from pymoo.core.evaluator import Evaluator
        from pymoo.core.population import Population
        from pymoo.core.termination import NoTermination
        from pymoo.problems.static import StaticProblem

        if not rows:
            return
        known = np.isfinite(missed)
        population = Population.new(X=[self._coded(row) for row in rows])
        if not self._begun:
            self._problem = self._stated(wanted.shape[1])
            self._algorithm.setup(self._problem, termination=NoTermination(), seed=self.seed)
            self._algorithm.ask()
            self._begun = True
        static = StaticProblem(
            self._problem,
            F=np.where(known[:, None], wanted, FAR),
            G=np.where(known, missed, FAR)[:, None],
        )
        Evaluator().eval(static, population)
        self._algorithm.tell(infills=population)

    def _stated(self, aims: int) -> Any:
        from pymoo.core.problem import Problem
        from pymoo.core.variable import Choice, Integer, Real

        kinds: dict[str, Any] = {}
        for name, axis, ladder in zip(self._names, self.axes, self._ladders, strict=True):
            if not axis.values:
                kinds[name] = Real(bounds=(axis.low, axis.high))
            elif any(isinstance(value, str) for value in axis.values):
                kinds[name] = Choice(options=list(range(len(ladder))))
            else:
                kinds[name] = Integer(bounds=(0, len(ladder) - 1))
        return Problem(vars=kinds, n_obj=aims, n_ieq_constr=1)

    def _spread(self, size: int) -> list[Row]:
        from scipy.stats import qmc

        from pulse1d.study.plan import placed

        shares = qmc.LatinHypercube(len(self.axes), rng=self.seed).random(size)
        return [
            tuple(placed(axis, float(u)) for axis, u in zip(self.axes, row, strict=True))
            for row in shares
        ]

    def _coded(self, row: Row) -> dict[str, Any]:
        return {
            name: ladder.index(_nearest(ladder, value)) if ladder else value
            for name, ladder, value in zip(self._names, self._ladders, row, strict=True)
        }

    def _decoded(self, coded: dict[str, Any]) -> Row:
        return tuple(
            ladder[int(coded[name])] if ladder else float(coded[name])
            for name, ladder in zip(self._names, self._ladders, strict=True)
        )


def _ladder(axis: Axis) -> tuple[Value, ...]:
    """Values of a list in rising order; texts as they stand."""
    if any(isinstance(value, str) for value in axis.values):
        return axis.values
    return tuple(sorted(axis.values))


def _nearest(ladder: tuple[Value, ...], value: Value) -> Value:
    """The rung at a value; the base may stand between two."""
    if value in ladder or isinstance(value, str):
        return value if value in ladder else ladder[0]
    return min(ladder, key=lambda rung: math.inf if isinstance(rung, str) else abs(rung - value))
