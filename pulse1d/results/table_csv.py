"""A table as comma-separated text by RFC 4180, safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from pulse1d.results.table import Cell, Table

FORMULA = re.compile(r"['\s]*[=+\-@＝＋－＠\t\r\n]")
"""What a spreadsheet may take for a formula, apostrophes and blanks before it or not."""


def write_csv(tables: Sequence[Table], path: Path, about: Mapping[str, str]) -> None:
    """Write one table: headings with units, then rows; numbers with all their digits.

    Parameters
    ----------
    tables : sequence of Table   One [SI]
    path : Path   [-]
    about : mapping   Not written: the form has no place for it [-]
    Source      RFC 4180
    """
    (table,) = tables
    with path.open("x", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow([guarded(field.heading) for field in table.fields])
        writer.writerows([written(cell) for cell in row] for row in table.rows)


def written(cell: Cell) -> str:
    """A cell as text.

    Parameters
    ----------
    cell : str, float, int, bool or None   [SI]
    Returns
    -------
    text : str   Empty where nothing can be told; true and false for flags [SI]
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    return guarded(cell) if isinstance(cell, str) else repr(cell)


def guarded(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text : str   [-]
    Returns
    -------
    text : str   An apostrophe before it where it needs one [-]
    Source      common practice against formulas in CSV files, no source
    """
    return f"'{text}" if FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """The text that ``guarded`` was given.

    Parameters
    ----------
    text : str   As read from a file [-]
    Returns
    -------
    text : str   [-]
    """
    return text[1:] if text.startswith("'") and FORMULA.match(text[1:]) else text
