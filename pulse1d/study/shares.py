"""Which parameter an answer's variance comes from, over the study's ranges. Imports SALib.

Each parameter runs evenly over its range, or over its list; a range no wider than a tolerance asks
which dimension to tolerance.

Source: Saltelli et al., Comput. Phys. Commun. 181 (2010) 259 (Sobol indices); Morris, Technometrics
33 (1991) 161 and Campolongo, Cariboni & Saltelli, Environ. Model. Softw. 22 (2007) 1509 (elementary
effects), all from memory; both as SALib computes them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pulse1d.errors import InputError, Problem
from pulse1d.study.axes import Axis, Point
from pulse1d.study.outcome import Evaluate
from pulse1d.study.plan import placed

FEWEST_SOBOL = 64
"""Samples a parameter below which the indices say nothing, so that Morris' means are taken
(judgement)."""
FEWEST_MORRIS = 4
"""Ways through the space; Morris used 3 to 10."""
LEVELS = 4


@dataclass(frozen=True)
class Share:
    """How much of one answer a parameter decides."""

    parameter: str
    alone: float
    """Sobol: share of the variance by itself. Morris: mean effect of crossing the range [SI]."""
    alone_doubt: float
    """Half of its 95 % interval, by resampling."""
    total: float
    """Sobol: share with all interactions. Morris: mean size of the effect, signs dropped [SI]."""
    total_doubt: float


@dataclass(frozen=True)
class Shares:
    """Shares of one answer, largest total first."""

    answer: str
    method: str
    """"sobol" or "morris"."""
    shares: tuple[Share, ...]
    samples: int
    """Blocks of points that were used."""
    lost: dict[str, int]
    """Blocks left out since one of their points has no answer, by reason."""
    mean: float
    deviation: float
    """Of the answer over the points used [SI]."""


def shares_of(
    evaluate: Evaluate,
    axes: Sequence[Axis],
    answers: Sequence[str],
    *,
    points: int,
    seed: int = 1,
    allowed: Callable[[Point], str] = lambda point: "",
) -> list[Shares]:
    """Shares of the variance of some answers: Sobol's where points allow, else Morris' effects.

    Parameters
    ----------
    evaluate : Evaluate   [SI]
    axes : sequence of Axis   Two or more [SI]
    answers : sequence of str   [-]
    points : int   Most points to compute [-]
    seed : int   [-]
    allowed : function   From a point to the constraint that it breaks, or "" [-]
    Returns
    -------
    shares : list of Shares   One an answer [SI]
    Errors      InputError for one parameter, too few points, or too few of them with answers.
    Source      module docstring
    """
    m = len(axes)
    if m < 2:
        raise InputError([Problem("one parameter has all of the variance", "vary two or more")])
    count = points // (m + 2)
    sobol = count >= FEWEST_SOBOL
    count = 1 << (count.bit_length() - 1) if sobol else points // (m + 1)
    if count < FEWEST_MORRIS:
        message = f"{points} points are too few for shares of {m} parameters"
        remedy = f"take {FEWEST_MORRIS * (m + 1)} or more, {FEWEST_SOBOL * (m + 2)} for Sobol's"
        raise InputError([Problem(message, remedy)])
    problem = {"num_vars": m, "names": [a.name for a in axes], "bounds": [[0.0, 1.0]] * m}
    u = _sampled(problem, count, seed, sobol)
    every = [
        {axis.name: placed(axis, float(x)) for axis, x in zip(axes, row, strict=True)} for row in u
    ]
    reasons = [allowed(point) for point in every]
    found = iter(evaluate([p for p, why in zip(every, reasons, strict=True) if not why]))
    outcomes = [None if why else next(found) for why in reasons]
    result = []
    for answer in answers:
        lost: Counter[str] = Counter()
        kept, block = [], m + 2 if sobol else m + 1
        for k in range(0, len(u), block):
            rows = range(k, k + block)
            why = next((_why(reasons[r], outcomes[r], answer) for r in rows
                        if _why(reasons[r], outcomes[r], answer)), "")  # fmt: skip
            if why:
                lost[why] += 1
            else:
                kept += list(rows)
        y = np.array([outcomes[r].answers[answer] for r in kept])  # type: ignore[union-attr]
        if len(kept) < FEWEST_MORRIS * block or 2 * len(kept) < len(u):
            worst = lost.most_common(1)[0]
            message = f"{answer}: only {len(kept)} of {len(u)} points have their whole block"
            remedy = f"narrow the ranges; {worst[1]} blocks: {worst[0]}"
            raise InputError([Problem(message, remedy)])
        found_shares = _analysed(problem, u[kept], y, seed, sobol)
        result.append(
            Shares(
                answer, "sobol" if sobol else "morris",
                tuple(sorted(found_shares, key=lambda one: -one.total)), len(kept) // block,
                dict(lost), float(np.mean(y)), float(np.std(y)),
            )
        )  # fmt: skip
    return result


def _why(reason: str, outcome: Any, answer: str) -> str:
    if reason or answer in outcome.answers:
        return reason
    return outcome.failure or f"{answer} is missing"


def _sampled(problem: dict[str, Any], count: int, seed: int, sobol: bool) -> Any:
    if sobol:
        from SALib.sample.sobol import sample

        return sample(problem, count, calc_second_order=False, scramble=True, seed=seed)
    from SALib.sample.morris import sample as ways

    return ways(problem, count, num_levels=LEVELS, seed=seed)


def _analysed(problem: dict[str, Any], u: Any, y: Any, seed: int, sobol: bool) -> list[Share]:
    names = problem["names"]
    if np.ptp(y) <= 1e-12 * abs(np.mean(y)):
        return [Share(name, 0.0, 0.0, 0.0, 0.0) for name in names]
    if sobol:
        from SALib.analyze.sobol import analyze

        s = analyze(problem, y, calc_second_order=False, seed=seed)
        columns = (s["S1"], s["S1_conf"], s["ST"], s["ST_conf"])
    else:
        from SALib.analyze.morris import analyze as effects

        s = effects(problem, u, y, num_levels=LEVELS, seed=seed)
        doubt = s["mu_star_conf"]
        columns = (s["mu"], doubt, s["mu_star"], doubt)
    return [Share(name, *(float(column[k]) for column in columns)) for k, name in enumerate(names)]
