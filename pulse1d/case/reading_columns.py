"""Headings of a table of bench readings: which column is which, and the unit of each."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from pulse1d import units
from pulse1d.case.document import Document, listed, nearest
from pulse1d.case.rows_csv import Cells
from pulse1d.errors import Problem, UnitError
from pulse1d.spec import Spec

TEXT = "text"
COUNT = "count"
DIMENSIONS = {
    "order": (COUNT,),
    "what": (TEXT,),
    "part": (TEXT,),
    "port": (TEXT,),
    "remount": (COUNT,),
    "meter": (TEXT,),
    "test pressure": ("pressure",),
    "meter pressure": ("pressure",),
    "meter inlet pressure": ("pressure",),
    "meter flow": ("volume flow", "mass flow"),
    "part temperature": ("temperature",),
    "meter temperature": ("temperature",),
    "barometer": ("pressure",),
    "humidity": ("ratio",),
    "note": (TEXT,),
}
"""The columns that a table of readings may have, and what stands in each."""
NEEDED = ("order", "part", "port", "meter", "test pressure")
METER_COLUMNS = ("meter pressure", "meter inlet pressure", "meter flow")
EXAMPLE = {"pressure": "inH2O", "temperature": "degC", "ratio": "%", "volume flow": "CFM"}
"""Unit that a remedy proposes."""
ABSOLUTE = {"meter inlet pressure": True, "barometer": False}
"""Columns of absolute pressure: whether the heading must say abs (a barometer may)."""
ONE = ("-", "1")
"""Units that say that a ratio is a plain number."""
_ROUND = re.compile(r"(.*?)\s*\(([^()]*)\)", re.S)
SHOWN = 60
"""Longest heading that a message repeats [characters]."""
_BRACKET = re.compile(r"(.*?)\s*\[([^\[\]]*)\]", re.S)
Told: TypeAlias = Callable[[str, str], None]
"""Notes a problem of the headings: message and remedy."""


class ColumnNote(Spec):
    """Where a spreadsheet keeps a column: its own heading, and the unit if that does not say it."""

    heading: str
    unit: str = ""


@dataclass(frozen=True)
class Column:
    """A column of a table: its standard name, its position, and the unit of its numbers.

    The dimension is empty where the heading was refused, so that its cells cannot be read.
    """

    name: str
    index: int
    dimension: str
    unit: str = ""

    def value(self, number: str) -> float:
        """SI value of a number in this column; UnitError where it is out of range."""
        return units.parse(f"{number} {self.unit}".strip(), self.dimension)


@dataclass(frozen=True)
class Columns:
    """The columns of a table by their standard names, and what is wrong with its headings."""

    found: Mapping[str, Column]
    problems: tuple[Problem, ...]


def find_columns(
    document: Document,
    cells: Cells,
    notes: Mapping[str, ColumnNote],
    ignored: tuple[str, ...] = (),
) -> Columns:
    """Which heading is which column.

    Parameters
    ----------
    document : Document   The readings file, whose ``columns`` may map headings [-]
    cells : Cells   The table [-]
    notes : mapping of str to ColumnNote   Own headings of a spreadsheet [-]
    ignored : tuple of str   Headings that are passed over [-]
    Returns
    -------
    columns : Columns   Each problem stands at the heading, or at the key that maps it [-]
    """
    found: dict[str, Column] = {}
    problems: list[Problem] = []
    mapped = {_plain(note.heading): name for name, note in notes.items()}
    skipped = {_plain(heading) for heading in ignored}
    seen, first = set(), True

    def told(message: str, remedy: str) -> None:
        problems.append(cells.source.problem(cells.heading_line, message, remedy))

    for index, heading in enumerate(cells.headings):
        match = _BRACKET.fullmatch(heading)
        bare, unit = (match[1], match[2].strip()) if match else (heading, "")
        both = (_plain(heading), _plain(bare))
        seen |= set(both)
        if skipped & set(both):
            continue
        name = mapped.get(both[0]) or mapped.get(both[1]) or both[1]
        if name in found:
            told(f"two columns are {name!r}", "keep one, or rename the other")
        elif name in DIMENSIONS:
            note = notes.get(name)
            found[name] = _column(name, index, unit, note.unit if note else "", told)
        elif name not in notes:
            told(*_unknown(heading, bare, index, first))
            first = first and not heading
    problems += _absent(document, cells, notes, ignored, seen)
    there = {*found, *notes}
    for name in NEEDED:
        if name not in there:
            remedy = f"add a column headed {_heading(name)}, or map yours under 'columns:'"
            told(f"column {name!r} is missing", remedy)
    if not there & set(METER_COLUMNS):
        remedy = f"add {' or '.join(_heading(name) for name in METER_COLUMNS)}"
        told("no column holds what the meter reads", remedy)
    return Columns(found, tuple(problems))


def _column(name: str, index: int, bracket: str, mapped: str, told: Told) -> Column:
    """A column with its unit; a unit that is missing, wrong or stated twice is told."""
    unit, example, choices = bracket or mapped, _heading(name), DIMENSIONS[name]
    if choices[0] in (TEXT, COUNT):
        return Column(name, index, choices[0])
    bad = Column(name, index, "")
    if bracket and mapped and bracket != mapped:
        told(f"the heading of {name!r} says [{bracket}], the mapping {mapped!r}", "keep one unit")
        return bad
    if not unit:
        told(f"column {name!r} states no unit", f"head it {example}, or state the unit by mapping")
        return bad
    if ABSOLUTE.get(name, False) and not unit.endswith("abs"):
        remedy = f"head it {example}; add the barometer's to what a gauge reads"
        told(f"column {name!r} does not say abs", remedy)
        return bad
    if name in ABSOLUTE:
        unit = unit.removesuffix("abs").strip()
    if name == "humidity" and unit in ONE:
        unit = ""
    reason = ""
    for dimension in choices:
        try:
            units.parse(f"1 {unit}".strip(), dimension)
            return Column(name, index, dimension, unit)
        except UnitError as error:
            reason = reason or str(error).partition("; ")[0]
    told(f"column {name!r}: {reason}", f"head it like {example}")
    return bad


def _unknown(heading: str, bare: str, index: int, first: bool) -> tuple[str, str]:
    """Message and remedy; the first one lists the columns that there are."""
    if not heading:
        return f"column {index + 1} has no heading", "give it one"
    message = f"column {heading[:SHOWN]!r} is not known"
    match = _ROUND.fullmatch(heading)
    if match and (name := _plain(match[1])) in DIMENSIONS:
        return message, f"write the unit in square brackets: '{name} [{match[2]}]'"
    near = nearest(bare, DIMENSIONS)
    remedy = f"did you mean {near!r}? " if near else ""
    remedy += f"columns are {listed(DIMENSIONS)}; " if first else ""
    return (
        message,
        f"{remedy}map an own heading under 'columns:', or list it under 'ignored columns:'",
    )


def _absent(
    document: Document,
    cells: Cells,
    notes: Mapping[str, ColumnNote],
    ignored: tuple[str, ...],
    seen: set[str],
) -> list[Problem]:
    """Mapped columns that are unknown or not in the table."""
    problems = []
    for name, note in notes.items():
        if name not in DIMENSIONS:
            near = nearest(name, DIMENSIONS)
            remedy = (f"did you mean {near!r}? " if near else "") + f"columns: {listed(DIMENSIONS)}"
            message = f"column {name!r} is not known"
            problems.append(document.problem(("columns", name), message, remedy))
        elif _plain(note.heading) not in seen:
            message = f"no column of the table is headed {note.heading!r}"
            near = nearest(note.heading, cells.headings)
            remedy = f"did you mean {near!r}?" if near else f"headings: {listed(cells.headings)}"
            problems.append(document.problem(("columns", name), message, remedy))
    for index, heading in enumerate(ignored):
        if _plain(heading) not in seen:
            message, remedy = f"no column of the table is headed {heading!r}", "delete it here"
            problems.append(document.problem(("ignored columns", index), message, remedy))
    return problems


def _heading(name: str) -> str:
    """A column's heading as a remedy writes it."""
    dimension = DIMENSIONS[name][0]
    unit = "kPa abs" if name in ABSOLUTE else EXAMPLE.get(dimension, "")
    return f"'{name} [{unit}]'" if unit else repr(name)


def _plain(heading: str) -> str:
    """A heading blind to case, spaces and underscores."""
    return " ".join(heading.lower().replace("_", " ").split())
