"""What stands behind ``pulse1d report``: cases, readings, saved runs, brought together."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from pulse1d.case.design import Design, load
from pulse1d.cli.options import names_option
from pulse1d.cli.progress import Watch
from pulse1d.cli.text import paragraph
from pulse1d.errors import InputError, Problem
from pulse1d.report.engine import speed_of
from pulse1d.report.evidence import Evidence, readings_of, swept
from pulse1d.report.page import pictures
from pulse1d.report.sections import ALWAYS, ORDER, sections
from pulse1d.report.write import report_record, write
from pulse1d.run.bench import predict_bench
from pulse1d.run.life import screen
from pulse1d.run.saved_cycles import Cycles, saved_cycles
from pulse1d.run.settings import settings

T = TypeVar("T")
ENGINE = ("engine", "pulses")


def section_names(text: str | None) -> list[str]:
    """Sections that are not wanted.

    Parameters
    ----------
    text : str or None   Such as "engine,life" [-]
    Returns
    -------
    names : list of str   [-]
    Errors      InputError for a section that there is not, or that always stands there.
    """
    names = names_option(text) or []
    free = [key for key in ORDER if key not in ALWAYS]
    problems = [
        Problem(f"--leave-out: {name!r} is no section to leave out", f"there are {', '.join(free)}")
        for name in names
        if name not in free
    ]
    if problems:
        raise InputError(problems)
    return names


def apart(designs: Sequence[Design]) -> None:
    """Refuse designs that a page could not tell apart.

    Parameters
    ----------
    designs : sequence of Design   [-]
    Errors      InputError naming the cases.
    """
    known: dict[str, Design] = {}
    problems = []
    for design in designs:
        if design.name in known:
            same = known[design.name].path
            message = f"this case has the same name as {same}: {design.name!r}"
            remedy = "name each case once, and tell designs apart by `about: {name: ...}`"
            problems.append(Problem(message, remedy, str(design.path)))
        known.setdefault(design.name, design)
    if problems:
        raise InputError(problems)


def speed_option(text: str | None) -> float | None:
    """The speed that the user named.

    Parameters
    ----------
    text : str or None   [rev/min]
    Returns
    -------
    speed : float or None   [rev/s]
    Errors      InputError for what is no speed.
    """
    if text is None:
        return None
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.0 < value < 1e6:
        raise InputError([Problem(f"--at: {text!r} is no speed", "give rev/min, such as 3000")])
    return value / 60.0


def gathered(
    designs: Sequence[Design],
    readings: Sequence[Path],
    studies: Sequence[Path],
    speeds: Sequence[float] | None,
    speed: float | None,
    downstream: Path | None,
    bare: bool,
    results: Path | None,
    left_out: Collection[str],
    samples: int | None,
) -> tuple[Evidence, bool]:
    """Everything that the page stands on; what is refused is refused before anything is computed.

    Parameters
    ----------
    designs : sequence of Design   The first is the base [-]
    readings, studies : sequences of Path   [-]
    speeds : sequence of float or None   Saved ones to show; None: all [rev/s]
    speed : float or None   To be looked at closer [rev/s]
    downstream : Path or None   Case behind whose system the speeds were run [-]
    bare : bool   Also with the outlet open [-]
    results : Path or None   Folder of engine results [-]
    left_out : collection of str   Sections that are not wanted [-]
    samples : int or None   Of the bands; None: the cases' [-]
    Returns
    -------
    evidence, stopped : Evidence, bool   Whether the user stopped it [SI]
    Errors      InputError as from the readers, and for results of another state of a case.
    """
    problems: list[Problem] = []

    def tried(make: Callable[[], T]) -> T | None:
        """What can be had; what is refused is told with everything else that is."""
        try:
            return make()
        except InputError as error:
            problems.extend(error.problems)
            return None

    cycles = None
    if not set(ENGINE) <= set(left_out):
        cycles = tried(lambda: _cycles(designs, downstream, bare, speeds, results))
    chosen = speed_of(cycles, speed)
    found = [tried(partial(swept, path)) for path in studies]
    read = [tried(partial(readings_of, path, designs)) for path in readings]
    if speed is not None and chosen is None and not problems:
        problems.append(_not_saved(designs, cycles, speed))
    if problems:
        raise InputError(problems)
    living = [one for one in designs if one.case.durability and "life" not in left_out]
    base = designs[0].case.bench
    bench, life = [], []
    with Watch("computing", float(len(designs) + len(living))) as watch:
        for design in designs:
            bench.append(
                predict_bench(
                    design, depression=base.depression, direction=base.direction, samples=samples
                )
            )
            watch(float(len(bench)))
        for design in living:
            if watch.stopped:
                break
            life.append(screen(design, sizes=False))
            watch(float(len(bench) + len(life)))
    evidence = Evidence(
        tuple(designs), tuple(bench), tuple(filter(None, read)), cycles, chosen, tuple(life),
        tuple(filter(None, found)),
    )  # fmt: skip
    return evidence, watch.stopped


def written(evidence: Evidence, left_out: Collection[str], path: Path) -> dict[str, Any]:
    """Write the page and tell what is on it.

    Parameters
    ----------
    evidence : Evidence   [SI]
    left_out : collection of str   [-]
    path : Path   [-]
    Returns
    -------
    record : dict   As ``report_record`` [-]
    Errors      InputError when the place cannot be written to.
    """
    made = sections(evidence, left_out)
    with Watch("drawing", float(pictures(made))) as watch:
        done = iter(range(1, 10_000))
        write(evidence, made, path, lambda: _on(watch(float(next(done)))))
    return report_record(evidence, made, path)


def said(record: Mapping[str, Any]) -> str:
    """The answer, as the page has it.

    Parameters
    ----------
    record : mapping   As ``report_record`` [-]
    Returns
    -------
    text : str   At most 80 columns [-]
    """
    answer = record["answer"]
    lines = [paragraph(answer["text"], 0), ""]
    for one in answer["figures"]:
        lines.append(paragraph(f"{one['label']}: {one['value']} ({one['beneath']})"))
    there = f"On the page: {', '.join(record['sections'])}."
    if "inputs" in record["sections"]:
        there += " The case files stand on it in full; --leave-out inputs keeps them back."
    return "\n".join([*lines, "", paragraph(there, 0)])


def _on(go: bool) -> None:
    if not go:
        raise KeyboardInterrupt


def _cycles(
    designs: Sequence[Design],
    downstream: Path | None,
    bare: bool,
    speeds: Sequence[float] | None,
    results: Path | None,
) -> Cycles | None:
    source = load(downstream) if downstream is not None else None
    return saved_cycles(settings(designs, source, bare), speeds, results)


def _not_saved(designs: Sequence[Design], cycles: Cycles | None, speed: float) -> Problem:
    files = " ".join(str(design.path) for design in designs)
    asked = f"{60.0 * speed:g}"
    known = [f"{60.0 * one:g}" for one in cycles.speeds] if cycles is not None else []
    there = f"saved of all are {', '.join(known)}; or " if known else ""
    remedy = f"{there}run: pulse1d cycle {files} --speeds {asked}"
    return Problem(f"--at: {asked} rev/min is not saved of all cases", remedy)
