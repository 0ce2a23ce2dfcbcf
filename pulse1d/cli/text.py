"""Plain text tables that fit a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

WIDTH = 80


@dataclass(frozen=True)
class Column:
    """A column: its heading, its width, and whether text or numbers stand in it."""

    title: str
    width: int
    left: bool = False


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], indent: int = 2) -> str:
    """Rows under their headings; the last column wraps, others are cut by nobody but the caller.

    Parameters
    ----------
    columns : sequence of Column   [-]
    rows : sequence of rows of str   [-]
    indent : int   Spaces before each line [-]
    Returns
    -------
    text : str   Lines without trailing spaces [-]
    """
    lines = [_line(columns, [column.title for column in columns], indent)]
    for row in rows:
        last = textwrap.wrap(row[-1], columns[-1].width) or [""]
        lines.append(_line(columns, [*row[:-1], last[0]], indent))
        lines += [_line(columns, [""] * (len(row) - 1) + [more], indent) for more in last[1:]]
    return "\n".join(lines)


def _line(columns: Sequence[Column], cells: Sequence[str], indent: int) -> str:
    parts = [
        cell.ljust(column.width) if column.left else cell.rjust(column.width)
        for column, cell in zip(columns, cells, strict=True)
    ]
    return (" " * indent + "  ".join(parts)).rstrip()


def paragraph(text: str, indent: int = 2) -> str:
    """Text wrapped to the width.

    Parameters
    ----------
    text : str   [-]
    indent : int   Spaces before each line; continued lines get two more [-]
    Returns
    -------
    text : str   [-]
    """
    return textwrap.fill(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2)
    )


def shorten(text: str, width: int) -> str:
    """Text cut to a width, the cut marked.

    Parameters
    ----------
    text : str   [-]
    width : int   [-]
    Returns
    -------
    text : str   [-]
    """
    return text if len(text) <= width else text[: width - 1] + "~"
