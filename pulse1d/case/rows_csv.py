"""Rows of comma-, semicolon- or tab-separated text, each with the line it stands on.

A table stands inline in a YAML file (``rows: |``) or in a .csv file beside it. The first line that
is not blank holds the headings and settles the separator: tab, else semicolon, else comma.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from pulse1d.case.document import SHOWN, Document, problem_at
from pulse1d.case.files import inside, read_text
from pulse1d.case.reading_told import Topic, grouped
from pulse1d.errors import InputError, Problem

MAX_ROWS = 20_000
"""Most rows of one table: a year of a busy bench; they are read in a few seconds."""
MAX_COLUMNS = 200
"""Most columns of one table: a spreadsheet with every gauge of a test cell has some dozens."""
SEPARATORS = {"\t": "tabs", ";": "semicolons", ",": "commas"}
_BREAK = re.compile(r"\r\n|\r|\n")
_POINT = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?")
_COMMA = re.compile(r"[-+]?([0-9]*),([0-9]+)(?:[eE][-+]?[0-9]{1,4})?")
_THOUSANDS = re.compile(r"[-+]?[0-9]{1,3}(?:[ '’.,\u00a0\u202f][0-9]{3})+(?:[.,][0-9]+)?")
_SEP_LINE = re.compile(r'"?sep=."?', re.IGNORECASE)
"""First line by which some spreadsheets announce their separator."""
_NOT_FINITE = re.compile(r"[-+]?\.?(?:nan|inf|infinity)|#.*[!?]|#N/A", re.IGNORECASE)
"""Not a number, infinite, or what a spreadsheet writes for a failed formula."""


@dataclass(frozen=True)
class Source:
    """Text of a table, the file it stands in, and the line of that file on which it starts."""

    path: Path
    first: int
    text: str
    whole: str

    def problem(self, line: int, message: str, remedy: str) -> Problem:
        """A problem that quotes a line of the table's file."""
        return problem_at((self.path, line), {self.path: self.whole}, message, remedy)


@dataclass(frozen=True)
class Cells:
    """A table cut into cells: headings first, each row with its line."""

    source: Source
    separator: str
    heading_line: int
    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    """Those with as many cells as there are headings."""
    problems: tuple[Problem, ...] = ()
    """Of the other rows."""


def find_rows(document: Document, key: str = "rows") -> Source:
    """The table that a key of a document holds, or the file that it names.

    Parameters
    ----------
    document : Document   What was read [-]
    key : str   Key at the top of the file [-]
    Returns
    -------
    source : Source   [-]
    Errors      InputError: not text, a name that is no .csv file or leaves the folder tree, or a
                block that YAML has folded, so that its lines are lost.
    """
    value, (path, line) = document.data.get(key), document.mark((key,))

    def refused(message: str, remedy: str) -> InputError:
        return InputError([document.problem((key,), message, remedy)])

    if not isinstance(value, str) or not value.strip():
        raise refused(
            f"{key} holds no table",
            f"write '{key}: |' and the table below it, indented; or name a .csv file",
        )
    if "\n" not in value:
        if not value.lower().endswith(".csv"):
            raise refused(
                f"{key} {value[:SHOWN]!r} is neither a table nor the name of a .csv file",
                f"write '{key}: |' and the table below it, indented; or name a .csv file",
            )
        file = inside(document.path.parent, path, value, line)
        text = read_text(file)
        return Source(file, 1, text, text)
    written = [part.strip() for part in _BREAK.split(document.text)[line:]]
    given = [part.strip() for part in value.rstrip().split("\n")]
    if written[: len(given)] != given:
        raise refused(
            f"the lines of {key} cannot be told apart",
            f"write '{key}: |' with nothing behind the bar, and the table below it, indented",
        )
    return Source(path, line + 1, value, document.text)


def cut(source: Source) -> Cells:
    """A table cut into cells; blank rows are passed over.

    Parameters
    ----------
    source : Source   The table's text [-]
    Returns
    -------
    cells : Cells   Without spaces around each cell [-]
    Errors      InputError: no rows, more than MAX_ROWS or MAX_COLUMNS, quotes not closed. Rows with
                too few or too many cells are left out and told among the problems.
    """
    lines = _BREAK.split(source.text)
    filled = [i for i, line in enumerate(lines) if line.strip(' \t;,"')]
    if filled and _SEP_LINE.fullmatch(lines[filled[0]].strip()):
        filled = filled[1:]
    start = filled[0] if filled else None
    if start is None:
        message, remedy = "the table is blank", "write headings, and a row a reading below them"
        raise InputError([source.problem(source.first, message, remedy)])
    separator = _separator(lines[start])
    rows = list(_rows(source, lines[start:], start, separator))
    (heading_line, headings), *body = rows
    while headings and not headings[-1]:
        headings = headings[:-1]
    if len(headings) > MAX_COLUMNS:
        message, remedy = f"more than {MAX_COLUMNS} columns", "check that this is the right file"
        raise InputError([source.problem(heading_line, message, remedy)])
    if not body:
        message, remedy = "there are headings but no rows", "write a row a reading below them"
        raise InputError([source.problem(heading_line, message, remedy)])
    good: list[tuple[int, tuple[str, ...]]] = []
    problems: list[tuple[Topic, Problem]] = []
    for line, cells in body:
        kept = cells[: len(headings)]
        if len(kept) < len(headings) or any(cells[len(headings) :]):
            remedy = _count_remedy(len(cells), len(headings), separator)
            message = f"the row has {len(cells)} cells, the headings are {len(headings)}"
            problems.append((("", remedy), source.problem(line, message, remedy)))
        else:
            good.append((line, kept))
    told = tuple(grouped(problems, len(body)))
    return Cells(source, separator, heading_line, headings, tuple(good), told)


def _separator(line: str) -> str:
    bare = re.sub(r'"[^"]*"', "", line)
    return next((sign for sign in SEPARATORS if sign in bare), ",")


def _rows(
    source: Source, lines: list[str], start: int, separator: str
) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Rows that are not blank, each with the line of the file on which it starts."""
    offset = source.first + start
    reader = csv.reader(
        [f"{line}\n" for line in lines], delimiter=separator, skipinitialspace=True, strict=True
    )
    begins, count = 0, 0
    try:
        for row in reader:
            line, begins = offset + begins, reader.line_num
            cells = tuple(cell.strip() for cell in row)
            if any(cells):
                count += 1
                if count > MAX_ROWS + 1:
                    message = f"more than {MAX_ROWS} rows"
                    remedy = "check that this is the right file, or split it by sessions"
                    raise InputError([source.problem(line, message, remedy)])
                yield line, cells
    except csv.Error as error:
        message, remedy = "the quotes of a cell are broken from here", 'close them; write " as ""'
        if "field limit" in str(error):
            message = f"a cell holds more than {csv.field_size_limit()} characters"
            remedy = "shorten it, or close its quotes"
        raise InputError([source.problem(offset + begins, message, remedy)]) from error


def _count_remedy(count: int, headings: int, separator: str) -> str:
    if separator == "," and count > headings:
        return (
            "a decimal comma splits a number in two: write points, or separate the columns with "
            'semicolons; put text that holds a comma in "quotes"'
        )
    return f"the columns are separated by {SEPARATORS[separator]}; leave a cell empty, not out"


class Decimals:
    """How the numbers of one table are written: with decimal points or decimal commas.

    A comma counts as decimal where columns are separated by something else, where no number of the
    table has a point, and where at least one number cannot be read as thousands.

    Parameters
    ----------
    cells : iterable of (line, text)   All cells of number columns [-]
    separator : str   Of the columns [-]
    """

    def __init__(self, cells: Iterable[tuple[int, str]], separator: str) -> None:
        self.separator = separator
        self.point: int | None = None
        self.decimal_comma = False
        for line, text in cells:
            if "." in text and self.point is None and _POINT.fullmatch(text):
                self.point = line
            elif "," in text and (match := _COMMA.fullmatch(text)):
                whole, part = match.groups()
                self.decimal_comma |= len(part) != 3 or whole in ("", "0") or len(whole) > 3

    def read(self, text: str) -> tuple[str, str, str]:
        """A number with a decimal point; else what is wrong with it, and what to do.

        Parameters
        ----------
        text : str   A cell [-]
        Returns
        -------
        number, message, remedy : str   Either the number or the other two are empty [-]
        """
        shown = repr(text if len(text) <= 40 else text[:37] + "...")
        if _POINT.fullmatch(text):
            return text, "", ""
        if _COMMA.fullmatch(text):
            return self._comma(text, shown)
        if _THOUSANDS.fullmatch(text):
            return "", f"{shown} has a thousands separator", "write the digits without gaps"
        if not text:
            return "", "the cell is empty", "write the reading, or delete the row"
        if _NOT_FINITE.fullmatch(text):
            return "", f"{shown} is not a finite number", "write the reading, or delete the row"
        return "", f"{shown} is not a number", "write digits only; the unit stands in the heading"

    def _comma(self, text: str, shown: str) -> tuple[str, str, str]:
        if self.separator == ",":
            message = f"{shown} has a comma where commas separate the columns"
            return "", message, "write a point, or separate the columns with semicolons"
        if self.point is not None:
            message = f"{shown} has a comma, the number on line {self.point} a point"
            return "", message, "write points in all rows or commas in all; no thousands separators"
        if not self.decimal_comma:
            message = f"{shown} could be thousands or decimals"
            return "", message, "write a decimal point, or another number of decimals"
        return text.replace(",", "."), "", ""
