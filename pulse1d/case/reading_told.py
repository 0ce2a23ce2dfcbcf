"""Problems of many rows brought together: one slip made in many rows is told once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import TypeAlias

from pulse1d import units
from pulse1d.case.document import row_ranges
from pulse1d.errors import Problem

Topic: TypeAlias = tuple[str, str]
"""Column and remedy of a problem."""
MANY = 4
"""Rows with one kind of problem from which they share a line: three blocks are still read."""
MOST_RANGES = 12
"""Stretches of lines that one problem lists: a line of a terminal and a half."""
MOST_OFF = 0.9
"""Share of the rows that lie off by one factor, from which that is a slip of the heading."""
PRESSURES = ("inH2O", "mmH2O", "mmHg", "inHg", "Pa", "hPa", "kPa", "psi")
"""Units in which test pressures are written."""


@dataclass(frozen=True)
class Off:
    """A row's test pressure over the stated one."""

    line: int
    factor: float


def grouped(problems: Sequence[tuple[Topic, Problem]], rows: int) -> list[Problem]:
    """Problems of single rows, those of one kind in many rows told once.

    Parameters
    ----------
    problems : sequence of (Topic, Problem)   By rising lines [-]
    rows : int   Of the whole table [-]
    Returns
    -------
    problems : list of Problem   What is wrong in every row says so, in many rows lists them [-]
    """
    kinds: dict[Topic, list[Problem]] = {}
    for topic, problem in problems:
        kinds.setdefault(topic, []).append(problem)
    found: list[Problem] = []
    for alike in kinds.values():
        first, lines = alike[0], [p.line for p in alike[1:] if p.line is not None]
        if rows > 1 and len(alike) == rows:
            found.append(replace(first, message=f"{first.message}, in every row"))
        elif len(alike) >= MANY:
            more = f"likewise in {len(lines)} rows more, line {row_ranges(lines, MOST_RANGES)}"
            found.append(replace(first, message=f"{first.message}; {more}"))
        else:
            found += alike
    return found


def wrong_by_one_factor(
    offs: Iterable[Off], stated: float, unit: str, tolerance: float
) -> tuple[Mapping[int, Off], str, str]:
    """Whether nearly all rows lie off the stated test pressure by one and the same factor.

    Parameters
    ----------
    offs : iterable of Off   Of every row that should be read at the stated test pressure [-]
    stated : float   Test pressure of the set-up [Pa]
    unit : str   Of the column [-]
    tolerance : float   Of the test pressure, relative [-]
    Returns
    -------
    rows, message, remedy : mapping of line to Off, str, str   Empty where they do not [-]
    """
    every = list(offs)
    if len(every) < 2:
        return {}, "", ""
    factor = median(off.factor for off in every)
    alike = {off.line: off for off in every if abs(off.factor / factor - 1.0) <= tolerance}
    if abs(factor - 1.0) <= tolerance or len(alike) < max(2.0, MOST_OFF * len(every)):
        return {}, "", ""
    shown = units.to(stated, unit, "pressure")
    message = (
        f"{len(alike)} of {len(every)} rows read {factor:.3g} times the stated test pressure of "
        f"{shown:.4g} {unit}"
    )
    number = units.to(factor * stated, unit, "pressure")
    fits = [
        other
        for other in PRESSURES
        if abs(units.parse(f"{number!r} {other}", "pressure") / stated - 1.0) <= tolerance
    ]
    remedy = f"look at the heading's unit, [{unit}]"
    remedy += f": with [{fits[0]}] they would fit" if fits else ""
    return alike, message, f"{remedy}; or put 'test pressure' under 'set-up:' right"
