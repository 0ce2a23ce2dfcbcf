"""What ``pulse1d search`` computes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from pulse1d.cli.sweep_watch import SweepWatch
from pulse1d.errors import InputError, Problem
from pulse1d.run.watched import Stopped
from pulse1d.study.aims import one_named
from pulse1d.study.answers import answer_infos, answer_name
from pulse1d.study.axes import Point
from pulse1d.study.columns import start_of
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Evaluate, Outcome
from pulse1d.study.plan import placed
from pulse1d.study.search import Search
from pulse1d.study.shares import Shares
from pulse1d.study.slopes import Slope


@dataclass(frozen=True)
class Told:
    """All that a run found; what was not asked for is empty."""

    study: LoadedStudy
    kind: str
    seed: int
    computed: int = 0
    """Designs computed now; others were in the journal."""
    search: Search | None = None
    robust: bool = False
    slopes: tuple[Slope, ...] = ()
    there: Outcome | None = None
    """The design that the slopes are of."""
    based: bool = False
    """Whether that design is the base case."""
    shares: tuple[Shares, ...] = ()
    stopped: bool = False

    @property
    def nothing(self) -> bool:
        """Whether no design has answers, or none keeps the limits."""
        if self.search is not None:
            return not self.search.front
        return self.there is not None and bool(self.slopes) and all(s.failure for s in self.slopes)


def run(
    path: Path,
    kind: str,
    points: int,
    seed: int,
    robust: bool,
    answer: str | None,
    workers: int | None,
    cluster: str | None,
    output: Path | None,
) -> Told:
    """Read the study and do what is asked.

    Parameters
    ----------
    path : Path   Study file [-]
    kind : str   search, slopes or shares [-]
    points : int   [-]
    seed : int   [-]
    robust : bool   [-]
    answer : str or None   Of shares [-]
    workers, cluster, output : as in ``evaluator`` [-]
    Returns
    -------
    told : Told   [SI]
    Errors      InputError.
    """
    from pulse1d.study.aims import aims_of
    from pulse1d.study.evaluator import evaluator
    from pulse1d.study.load import load_study
    from pulse1d.study.search import search
    from pulse1d.study.shares import shares_of
    from pulse1d.study.slopes import slopes_of
    from pulse1d.study.space import why_not

    study = load_study(path)
    names = [info.name for info in answer_infos(study)]
    aims = aims_of(study, robust) if kind == "search" else ()
    if kind == "shares":
        one_named(names, answer or "", "--shares")
    told = Told(study, kind, seed, robust=robust)

    def allowed(point: Point) -> str:
        return why_not(study, point)

    start = start_of(study)
    watch = SweepWatch()
    most = points if kind == "search" else 0

    def seen(done: int, failed: int, asked: int) -> bool:
        return watch.told(done, failed, max(asked, most))

    with (
        watch,
        evaluator(study, workers=workers, cluster=cluster, output=output, watch=seen) as evaluate,
    ):
        try:
            if kind == "search":
                found = search(
                    evaluate, study.axes, aims, points=points, seed=seed, allowed=allowed,
                    start=start,
                )  # fmt: skip
                told = replace(told, search=found, stopped=found.stopped)
            elif kind == "slopes":
                asked = dict.fromkeys(map(answer_name, study.spec.objectives)) or names[:3]
                at = start or {axis.name: placed(axis, 0.5) for axis in study.axes}
                many = lone(evaluate, allowed)
                slopes, there = slopes_of(many, study.axes, at, list(asked))
                told = replace(told, slopes=tuple(slopes), there=there, based=start is not None)
            else:
                shares = shares_of(
                    evaluate, study.axes, [answer or ""], points=points, seed=seed, allowed=allowed
                )
                told = replace(told, shares=tuple(shares))
        except Stopped:
            told = replace(told, stopped=True)
        told = replace(told, computed=evaluate.done)
    if kind == "slopes" and not told.stopped and not told.slopes:
        raise InputError(
            [Problem("no parameter has numbers next to each other", "give one a range")]
        )
    return told


def lone(evaluate: Evaluate, allowed: Callable[[Point], str]) -> Evaluate:
    """An Evaluate that does not compute points that break a constraint, but says which.

    Parameters
    ----------
    evaluate : Evaluate   [SI]
    allowed : function   From a point to the constraint that it breaks, or "" [-]
    Returns
    -------
    evaluate : Evaluate   [SI]
    """

    def careful(points: list[Point]) -> list[Outcome]:
        reasons = [allowed(point) for point in points]
        found = iter(evaluate([p for p, why in zip(points, reasons, strict=True) if not why]))
        return [
            Outcome("", point, {}, why) if why else next(found)
            for point, why in zip(points, reasons, strict=True)
        ]

    return careful  # type: ignore[return-value]
