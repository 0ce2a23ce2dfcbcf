"""Outcomes of any points of a study: read from its journal, or computed and kept there."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import replace
from pathlib import Path

from pulse1d.errors import InputError, Problem
from pulse1d.results.store import results_folder
from pulse1d.run.watched import Stopped
from pulse1d.study.answers import ranged
from pulse1d.study.axes import Point
from pulse1d.study.backend import Run, here
from pulse1d.study.journal import Journal
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.space import point_key
from pulse1d.study.work import chunk_size

Watch = Callable[[int, int, int], bool]
"""Told how many outcomes were computed, how many of them are failures and how many were asked for
that had none; answers whether to go on."""


class Evaluator:
    """Points to outcomes, by way of the journal. Called with points it answers in their order."""

    def __init__(
        self, study: LoadedStudy, journal: Journal, run: Run, watch: Watch | None, retry: bool
    ) -> None:
        self.study, self.journal, self.retry = study, journal, retry
        self.done = self.failed = self.asked = 0
        self._run, self._watch = run, watch

    def __call__(self, points: Sequence[Point]) -> list[Outcome]:
        keys = [point_key(self.study, point) for point in points]
        self.compute(points)
        return [self.outcome(key) for key in keys]

    def outcome(self, key: str) -> Outcome:
        """The outcome of a point that was computed, an objective's own speeds included."""
        found = self.journal.get(key)
        assert found is not None, "a point that was not computed"
        return self.complete(found)

    def complete(self, found: Outcome) -> Outcome:
        """An outcome of the journal with the answers over the objectives' own speeds."""
        return replace(found, answers=found.answers | ranged(self.study, found.answers))

    def compute(self, points: Sequence[Point]) -> int:
        """See to it that every point has an outcome in the journal; how many had one before.

        Raises ``Stopped`` where the watch says so; what was begun is finished and kept first.
        """
        missing = self._missing(points)
        self.asked += len(missing)
        size, stop = chunk_size(self.study), False

        def chunks() -> Iterator[Sequence[Point]]:
            for start in range(0, len(missing), size):
                if stop:
                    return
                yield missing[start : start + size]

        finished = self._run(chunks())
        with closing(finished):
            for outcomes in finished:
                self.journal.append(outcomes)
                self.done += len(outcomes)
                self.failed += sum(bool(one.failure) for one in outcomes)
                if self._watch is not None:
                    stop = not self._watch(self.done, self.failed, self.asked) or stop
        if stop and self.done < self.asked:
            raise Stopped
        return len(points) - len(missing)

    def _missing(self, points: Sequence[Point]) -> list[Point]:
        begun: set[str] = set()
        missing = []
        for point in points:
            key = point_key(self.study, point)
            if key not in begun and not self._known(key):
                begun.add(key)
                missing.append(point)
        return missing

    def _known(self, key: str) -> bool:
        return self.journal.holds(key) and not (self.retry and self.journal.failed(key))


@contextmanager
def evaluator(
    study: LoadedStudy,
    *,
    workers: int | None = None,
    cluster: str | None = None,
    output: Path | None = None,
    watch: Watch | None = None,
    retry: bool = False,
) -> Iterator[Evaluator]:
    """Outcomes of points of a study, computed here, by processes or by a cluster, and kept.

    Parameters
    ----------
    study : LoadedStudy   [-]
    workers : int or None   Processes; 1: this one; None: one for each core [-]
    cluster : str or None   Address of a scheduler in place of local processes [-]
    output : Path or None   Folder of the journal, in place of the one beside the study [-]
    watch : Watch   Told how far it is; answers whether to go on [-]
    retry : bool   Whether points whose outcome is a failure are computed again [-]
    Returns
    -------
    evaluate : context of Evaluator   [-]
    Errors      InputError for a journal of another study or version, or no cluster.
    """
    path = journal_path(study, output)
    with Journal(path, study.key, study.name) as journal, _backend(study, workers, cluster) as run:
        yield Evaluator(study, journal, run, watch, retry)


def journal_path(study: LoadedStudy, output: Path | None = None) -> Path:
    """Where a study's journal lies.

    Parameters
    ----------
    study : LoadedStudy   [-]
    output : Path or None   A folder in place of ``STUDY.results`` [-]
    Returns
    -------
    path : Path   Its name has the start of the study's key, so that a study that asks for other
        things has another journal [-]
    """
    return results_folder(study.path, output) / f"study-{study.key[:12]}.sqlite"


def _backend(
    study: LoadedStudy, workers: int | None, cluster: str | None
) -> AbstractContextManager[Run]:
    if cluster is not None:
        from pulse1d.study.cluster import cluster_run

        return cluster_run(study, cluster)
    count = workers if workers is not None else os.cpu_count() or 1
    if count < 1:
        raise InputError([Problem(f"{count} workers compute nothing", "name 1 or more")])
    if count == 1:
        return here(study)
    from pulse1d.study.pool import local_pool

    return local_pool(study, count)
