"""An explained element as text for a terminal of 80 columns, and as one object."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from pulse1d import __version__
from pulse1d.cli.text import WIDTH, Column, paragraph, table
from pulse1d.losses.explain_docs import Formula, Key
from pulse1d.losses.explained import Explained, Values

SCHEMA = "pulse1d explain 1"
KINDS = {
    "piece": "a piece of a path",
    "joint": "where legs meet",
    "wall": "the wall as gas meets it",
    "law": "a law",
}


def list_text(names: Mapping[str, str]) -> str:
    """All elements and laws, one a line.

    Parameters
    ----------
    names : mapping   Name to a line about it [-]
    Returns
    -------
    text : str   [-]
    """
    width = max(map(len, names))
    columns = (
        Column("element or law", width, left=True),
        Column("what it is", WIDTH - width - 4, left=True),
    )
    return table(columns, list(names.items())) + "\n\n`pulse1d explain bend` explains one of them."


def report(one: Explained) -> str:
    """Everything ``pulse1d explain`` prints of one.

    Parameters
    ----------
    one : Explained   [-]
    Returns
    -------
    text : str   [-]
    """
    head = [f"{one.name}, {KINDS[one.kind]}", paragraph(one.what)]
    if one.also:
        head.append(paragraph(f"Also asked for as: {', '.join(one.also)}."))
    parts = ["\n".join(head), _case(one)]
    parts += [_formula(formula) for formula in one.formulas]
    parts.append("Station\n" + paragraph(f"{one.stations[0].upper()}{one.stations[1:]}."))
    parts += [_lines("Band, 5-95 %, of the example above", one.band)]
    parts += [_lines("Valid", one.validity)]
    cited = [f"{c.key}: {c.citation}" + (f" ({c.seen})" if c.seen else "") for c in one.sources]
    parts.append(_lines("Sources", cited))
    parts += [values_text(values) for values in one.tables]
    return "\n\n".join(part for part in parts if part)


def values_text(values: Values) -> str:
    """A table of values under its title.

    Parameters
    ----------
    values : Values   [-]
    Returns
    -------
    text : str   [-]
    """
    cells = [[cell(value) for value in row] for row in values.rows]
    columns: list[Column] = []
    for k, heading in enumerate(values.headings):
        text = isinstance(values.rows[0][k], str)
        width = max(len(heading), *(len(row[k]) for row in cells))
        last = k == len(values.headings) - 1
        room = WIDTH - 2 - sum(column.width + 2 for column in columns)
        columns.append(Column(heading, min(width, room) if last else width, left=text))
    return paragraph(values.title, 0) + "\n" + table(columns, cells)


def cell(value: str | float) -> str:
    """A value to three digits.

    Parameters
    ----------
    value : str or float   [any]
    Returns
    -------
    text : str   Zero for what is below one in a million [any]
    """
    if isinstance(value, str):
        return value
    if math.isinf(value):
        return "chokes"
    if math.isnan(value):
        return "-"
    return "0" if abs(value) < 1e-6 else f"{value:.3g}" if abs(value) < 1e3 else f"{value:.0f}"


def record(found: Sequence[Explained]) -> dict[str, Any]:
    """The object that ``pulse1d explain --json`` prints.

    ``{"schema", "version", "elements": [{"name", "kind", "what", "also", "example", "keys":
    [{"key", "takes", "what", "default", "needed"}], "formulas": [{"name", "what", "formula",
    "takes", "gives", "limits", "source"}], "stations", "band", "validity", "sources": [{"key",
    "citation", "seen"}], "tables": [{"title", "headings", "rows"}]}]}``; a number that is not
    finite, where a piece chokes, is null.

    Parameters
    ----------
    found : sequence of Explained   [-]
    Returns
    -------
    record : dict   [-]
    """
    elements = [asdict(one) for one in found]
    for element in elements:
        for values in element["tables"]:
            values["rows"] = [[_finite(value) for value in row] for row in values["rows"]]
    return {"schema": SCHEMA, "version": __version__, "elements": elements}


def _finite(value: str | float) -> str | float | None:
    return value if isinstance(value, str) or math.isfinite(value) else None


def _case(one: Explained) -> str:
    lines = ["In a case file", paragraph(one.example)]
    if one.keys:
        width = max(len(key.key) for key in one.keys)
        columns = (
            Column("key", width, left=True),
            Column("takes", 17, left=True),
            Column("else", 15, left=True),
            Column("what it says", WIDTH - width - 40, left=True),
        )
        lines.append(table(columns, [_key(key) for key in one.keys]))
    return "\n".join(lines)


def _key(key: Key) -> tuple[str, ...]:
    default = "needed" if key.needed else key.default or "none"
    takes = key.takes if len(key.takes) <= 17 else ""
    what = key.what if takes else f"{key.takes}. {key.what}"
    return key.key, takes, default, what


def _formula(formula: Formula) -> str:
    lines = [formula.name, paragraph(formula.what)]
    if formula.formula:
        lines.append(paragraph(formula.formula, 4))
    for said, text in (("takes", formula.takes), ("gives", formula.gives)):
        lines += [paragraph(f"{said} {text}")] if text else []
    lines.append(paragraph(f"source: {formula.source}"))
    return "\n".join(lines)


def _lines(title: str, lines: Sequence[str]) -> str:
    return "\n".join([title, *(paragraph(line) for line in lines)]) if lines else ""
