"""What is known of loss elements and laws as tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pulse1d.losses.explained import Cited, Explained, Values
from pulse1d.results.sheet import Column, Sheet, count, number, text
from pulse1d.results.table import Table

ELEMENT: Column[Any] = text("element", "or law", lambda r: r[0].name)

ELEMENTS: Sheet[tuple[Explained]] = Sheet(
    "elements",
    "Every element or law that was asked for",
    (
        ELEMENT,
        text("kind", "piece, joint, wall or law", lambda r: r[0].kind),
        text("what", "it is", lambda r: r[0].what),
        text("also", "words of the trade for it", lambda r: "; ".join(r[0].also)),
        text("example", "as a case file writes it", lambda r: r[0].example),
        text("stations", "section that K refers to", lambda r: r[0].stations),
        text("band", "of the example", lambda r: "; ".join(r[0].band)),
        text("validity", "where the law holds", lambda r: "; ".join(r[0].validity)),
    ),
)

VALUES: Sheet[tuple[Explained, int, Values, str | float, str, str | float]] = Sheet(
    "values",
    "What the code gives; own: the unit that quantity names, 1 where it names none",
    (
        ELEMENT,
        count("table", "of the element, from 1", lambda r: r[1]),
        text("title", "what is held", lambda r: r[2].title),
        text("over", "what is varied", lambda r: r[2].headings[0]),
        text("at", "its value", lambda r: r[3]),
        text("quantity", "that is worked out", lambda r: r[4]),
        number("value", "own", "of quantity", lambda r: None if isinstance(r[5], str) else r[5]),
        text("text", "where it is one", lambda r: r[5] if isinstance(r[5], str) else ""),
    ),
)

SOURCES: Sheet[tuple[Explained, Cited]] = Sheet(
    "sources",
    "Where laws and numbers come from",
    (
        ELEMENT,
        text("key", "of the source", lambda r: r[1].key),
        text("citation", "in words", lambda r: r[1].citation),
        text("seen", "how it reached this package", lambda r: r[1].seen),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (ELEMENTS, VALUES, SOURCES)


def explain_tables(found: Sequence[Explained]) -> list[Table]:
    """What ``pulse1d explain`` prints of numbers and sources.

    Parameters
    ----------
    found : sequence of Explained   [-]
    Returns
    -------
    tables : list of Table   Elements, values, sources [as they say]
    """
    return [
        ELEMENTS.table((one,) for one in found),
        VALUES.table(row for one in found for row in _values(one)),
        SOURCES.table((one, source) for one in found for source in one.sources),
    ]


def _values(
    one: Explained,
) -> Iterator[tuple[Explained, int, Values, str | float, str, str | float]]:
    for n, values in enumerate(one.tables, 1):
        for at, *given in values.rows:
            for heading, value in zip(values.headings[1:], given, strict=True):
                yield one, n, values, at, heading, value
