"""What every way of computing has in common: chunks of points in, outcomes out as they finish."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import contextmanager

from pulse1d.study.axes import Point
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.space import point_key
from pulse1d.study.work import outcomes_of

Chunk = Sequence[Point]
Found = Generator[list[Outcome], None, None]
Run = Callable[[Iterator[Chunk]], Found]
"""Takes chunks when it has room for them, gives outcomes in the order in which they finish. When
the chunks end it finishes what it has begun."""
AHEAD = 2
"""Chunks in flight for every process: one at work, one waiting for it."""
KILLED = "the process that computed it was killed, out of memory or from outside"


@contextmanager
def here(study: LoadedStudy) -> Iterator[Run]:
    """Points computed in this process.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    run : context of Run   [-]
    """

    def run(chunks: Iterator[Chunk]) -> Found:
        for chunk in chunks:
            yield outcomes_of(study, chunk)

    yield run


def lost(study: LoadedStudy, point: Point) -> list[Outcome]:
    """The outcome of a point that took its process with it.

    Parameters
    ----------
    study : LoadedStudy   [-]
    point : Point   [SI]
    Returns
    -------
    outcomes : list of Outcome   One [-]
    """
    return [Outcome(point_key(study, point), dict(point), {}, KILLED)]
