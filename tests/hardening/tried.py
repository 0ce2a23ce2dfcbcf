"""One damaged input tried: success and an error that a user can act on are the only outcomes."""

from __future__ import annotations

import math
import re
import signal
import traceback
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from json import dumps
from pathlib import Path
from typing import Any

from pulse1d.case.design import Design, load
from pulse1d.case.document import FORBIDDEN
from pulse1d.errors import InputError, Pulse1dError

CPU_S = 5.0
"""Processor time that one input may take [s]."""
MORE_S = 15.0
"""That of an input of which more is asked: a net that all ports feed may take several tries [s]."""
LONGEST = 200_000
"""Longest error printed [characters]: 200 problems of three lines."""


class Hang(BaseException):
    """The watchdog's; no ``except Exception`` swallows it."""


@dataclass(frozen=True)
class Verdict:
    """What became of an input."""

    outcome: str
    """sound, refused (by its loader), failed (after it, on purpose) or FOUND (a defect)."""
    sign: str
    """The first words of the error without its numbers and names, or where a defect stands."""
    told: str = ""


def tried(kind: str, path: Path) -> Verdict:
    """Load a file of a kind and use it as its verbs would."""
    loaded = False

    def past_loading() -> None:
        nonlocal loaded
        loaded = True

    try:
        with watchdog(MORE_S if kind == "more" else CPU_S), warnings.catch_warnings():
            warnings.simplefilter("error", RuntimeWarning)
            ACTIONS[kind](path, past_loading)
    except InputError as error:
        fault = untold(error)
        if fault:
            return Verdict("FOUND", f"error text: {fault}", str(error)[:5000])
        return Verdict("failed" if loaded else "refused", sign_of(error.problems[0].message))
    except Pulse1dError as error:
        outcome = "failed" if loaded else "FOUND"
        return Verdict(outcome, f"{type(error).__name__} {sign_of(str(error))}", str(error)[:5000])
    except (Exception, Hang) as error:
        return Verdict("FOUND", where(error), traceback.format_exc()[-6000:])
    return Verdict("sound", kind)


def warm(case: Path) -> None:
    """Import and compile, unwatched, what a sound case leads to."""
    design = load(case)
    use(design)
    further(design)


def untold(error: InputError) -> str:
    """What an error lacks that a user needs; empty when it is as it should be."""
    text = str(error)
    if not error.problems:
        return "no problem in it"
    if any(not problem.message.strip() for problem in error.problems):
        return "no message"
    bare = next((problem for problem in error.problems if not problem.remedy.strip()), None)
    if bare is not None:
        return f"no remedy: {sign_of(bare.message)}"
    if FORBIDDEN.search(text.replace("\n", " ")):
        return f"control characters: {sign_of(error.problems[0].message)}"
    if len(text) > LONGEST:
        return "longer than anyone reads"
    text.encode("utf-8")
    return ""


def sign_of(message: str) -> str:
    """An error's words without what it quotes."""
    return re.sub(r"'[^']*'|\"[^\"]*\"|[-+.0-9e]*[0-9]", "#", message)[:90]


def where(error: BaseException) -> str:
    """Kind of a defect and the last place of the package in its traceback."""
    own = [f for f in traceback.extract_tb(error.__traceback__) if "/pulse1d/" in f.filename]
    place = f"{Path(own[-1].filename).name}:{own[-1].name}" if own else "outside"
    return f"{type(error).__name__} at {place}"


@contextmanager
def watchdog(seconds: float) -> Iterator[None]:
    """Ends what runs longer than some seconds of processor time."""

    def bite(*_: Any) -> None:
        raise Hang(f"more than {seconds:g} s")

    before = signal.signal(signal.SIGPROF, bite)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, before)


def _case(path: Path, past_loading: Callable[[], None]) -> None:
    design = load(path)
    past_loading()
    use(design)


def use(design: Design) -> None:
    """What ``check`` and ``bench`` do with a design; a converged answer is a finite one."""
    from pulse1d.cli.check_text import report
    from pulse1d.run.bench import predict_bench
    from pulse1d.run.geometry import geometry_record
    from pulse1d.run.record import bench_record

    report(design)
    dumps(geometry_record(design), allow_nan=False)
    result = predict_bench(design, samples=0)
    for port in result.ports:
        if port.answer.converged and not math.isfinite(port.answer.mdot):
            raise ArithmeticError(f"a converged flow of {port.answer.mdot}")
    if result.converged:
        dumps(bench_record([result]), allow_nan=False)
    _meshed(design)


def _asked_more(path: Path, past_loading: Callable[[], None]) -> None:
    design = load(path)
    past_loading()
    use(design)
    further(design)


def further(design: Design) -> None:
    """What else is asked of a design, which costs more."""
    from pulse1d.run.bench import predict_bench
    from pulse1d.run.life import screen
    from pulse1d.run.mass import has_walls, part_mass

    predict_bench(design, samples=8)
    predict_bench(design, samples=8, together=True, direction="sucked")
    if design.case.head.flow is not None:
        predict_bench(design, samples=0, lift=3e-3)
    if has_walls(design):
        part_mass(design)
    asked = design.case.durability
    if asked is not None and asked.gas.temperature is not None:  # else it marches the engine
        screen(design, sizes=False)


def _meshed(design: Design) -> None:
    """The wave solver's nets of a case, as ``pulse`` and ``cycle`` build them, not marched."""
    from pulse1d.run.engine_net import engine_net
    from pulse1d.run.pulse import rig

    if design.case.pulse is not None:
        rig(design, design.case.pulse, design.case.numerics.cell)
    if design.case.engine is not None:
        engine_net(design, 50.0)


def _readings(path: Path, past_loading: Callable[[], None]) -> None:
    from pulse1d.case.readings import load_reduced
    from pulse1d.compare.parts import compare_parts
    from pulse1d.compare.parts_record import parts_record
    from pulse1d.run.session import port_means
    from pulse1d.run.session_record import session_record

    reduction = load_reduced(path)
    past_loading()
    means = port_means(reduction)
    dumps(session_record(reduction, means, [None] * len(means), {}), allow_nan=False)
    parts = list(reduction.session.header.parts)
    if len(parts) > 1:
        dumps(parts_record(compare_parts([reduction], parts[0], parts[1])), allow_nan=False)


def _study(path: Path, past_loading: Callable[[], None]) -> None:
    from itertools import islice

    from pulse1d.study.load import load_study
    from pulse1d.study.plan import each_point
    from pulse1d.study.space import base_point, design_at, why_not

    study = load_study(path)
    past_loading()
    base_point(study)
    for point in islice(each_point(study), 3):
        if why_not(study, point):
            continue
        design_at(study, point)


def _measured(path: Path, past_loading: Callable[[], None]) -> None:
    from pulse1d.case.measured_csv import read_measured

    read_measured(path)


def _results(path: Path, past_loading: Callable[[], None]) -> None:
    from pulse1d.results.store import load as load_results
    from pulse1d.run.cycle_sweep import saved

    saved(path)
    load_results(path)


def _journal(path: Path, past_loading: Callable[[], None]) -> None:
    from pulse1d.study.journal import Journal

    with Journal(path, "study") as journal:
        for outcome in journal:
            journal.get(outcome.key)


ACTIONS: dict[str, Callable[[Path, Callable[[], None]], None]] = {
    "case": _case, "more": _asked_more, "readings": _readings, "study": _study,
    "measured": _measured, "results": _results, "journal": _journal,
}  # fmt: skip
