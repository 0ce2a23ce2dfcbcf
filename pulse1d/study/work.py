"""The work on points: each gives an outcome, whatever becomes of it. Runs in every process."""

from __future__ import annotations

import pickle
import time
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from pulse1d.case.design import Design
from pulse1d.errors import InputError
from pulse1d.study.answers import answered
from pulse1d.study.axes import Point
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.space import design_at, point_key

STEADY = 256
"""Points handed out at a time where a point takes a millisecond."""
BANDED = 4
LONGEST = 400
"""Of a reason, in characters; a journal is no place for tracebacks."""


def chunk_size(study: LoadedStudy) -> int:
    """How many points are handed out, solved and kept at a time.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    points : int   About a tenth of a second of work, one where a cycle is marched [-]
    """
    if study.spec.compute.cycle is not None:
        return 1
    return STEADY if steady(study) else BANDED


def steady(study: LoadedStudy) -> bool:
    """Whether only flows without bands are asked for, which many designs are solved for together.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    steady : bool   [-]
    """
    compute = study.spec.compute
    return compute.cycle is None and not (compute.bench is not None and compute.bench.bands)


def outcomes_of(study: LoadedStudy, points: Sequence[Point]) -> list[Outcome]:
    """What became of points; a design that cannot be built or run is an outcome, no error.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of Point   [SI]
    Returns
    -------
    outcomes : list of Outcome   In the order of the points [SI]
    """
    started = time.perf_counter()
    built = not steady(study)  # steady designs are built by who solves them together
    designs: dict[int, Design] = {}
    found: dict[int, tuple[dict[str, float], str]] = {}
    for k, point in enumerate(points):
        try:
            designs[k] = design_at(study, point, built=built)
        except Exception as error:
            found[k] = {}, reason(error)
    try:
        found |= zip(designs, answered(study, list(designs.values())), strict=True)
    except Exception:
        for k, design in designs.items():
            try:
                [found[k]] = answered(study, [design])
            except Exception as error:
                found[k] = {}, reason(error)
    each = (time.perf_counter() - started) / max(len(points), 1)
    return [
        Outcome(point_key(study, point), dict(point), *found[k], each)
        for k, point in enumerate(points)
    ]


def reason(error: BaseException) -> str:
    """Why a design has no answers, in one line.

    Parameters
    ----------
    error : exception   [-]
    Returns
    -------
    text : str   [-]
    """
    if isinstance(error, InputError):
        parts = [f"{p.message}; {p.remedy}" if p.remedy else p.message for p in error.problems]
    else:
        parts = [str(error) or type(error).__name__]
        if isinstance(error, ArithmeticError | LookupError | TypeError | AssertionError):
            parts = [f"{type(error).__name__}: {error}"]
    return " ".join("; ".join(parts).split())[:LONGEST] or type(error).__name__


def packed(study: LoadedStudy) -> bytes:
    """A study for other processes, less what only reading and judging it needs.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    pack : bytes   [-]
    """
    bare: Any = None  # of a place: how its key is read, which holds functions of no module
    targets = tuple(
        replace(target, spots=tuple(replace(spot, field=bare) for spot in target.spots))
        for target in study.targets
    )
    return pickle.dumps(replace(study, targets=targets, rules=()))


def work(pack: bytes, points: Sequence[Point]) -> list[Outcome]:
    """As ``outcomes_of``, in another process, by one thread.

    Parameters
    ----------
    pack : bytes   From ``packed`` [-]
    points : sequence of Point   [SI]
    Returns
    -------
    outcomes : list of Outcome   [SI]
    """
    import numba

    numba.set_num_threads(1)
    return outcomes_of(_unpacked(pack), points)


@lru_cache(maxsize=4)
def _unpacked(pack: bytes) -> LoadedStudy:
    study = pickle.loads(pack)
    assert isinstance(study, LoadedStudy)
    return study
