"""A sweep as text for a terminal of 80 columns, and as one object."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from pulse1d import __version__
from pulse1d.cli.text import WIDTH, Column, paragraph, shorten, table
from pulse1d.study.answers import answer_infos
from pulse1d.study.ranking import asked, column, number, ranking
from pulse1d.study.sweep import Swept

SCHEMA = "pulse1d sweep 1"
BEST = 10
"""Rows of the table."""
WIDEST = 24
"""Of a column's heading."""
REASONS = 5


def report(swept: Swept) -> str:
    """Everything ``pulse1d sweep`` prints of a sweep.

    Parameters
    ----------
    swept : Swept   That came to its end [SI]
    Returns
    -------
    text : str   [-]
    """
    study = swept.study
    parts = [
        f"{study.name}, around {study.base.name}\n" + "\n".join(counts(swept)),
        best(swept),
        spread(swept),
    ]
    return "\n\n".join(part for part in parts if part)


def counts(swept: Swept) -> list[str]:
    """What became of the plan's points, with the reasons.

    Parameters
    ----------
    swept : Swept   [SI]
    Returns
    -------
    lines : list of str   [-]
    """
    kind, count = swept.study.spec.plan.kind, len(swept.plan.points)
    before = count - swept.computed
    text = f"{kind}: {count} points, {swept.computed} computed now"
    lines = [text + (f", {before} before" if before else "")]
    for word, reasons in (("left out", swept.plan.left_out), ("failed", swept.failures)):
        if reasons:
            lines.append(f"{sum(reasons.values())} {word}:")
        lines += [f"  {number} {reason}" for reason, number in list(reasons.items())[:REASONS]]
        if len(reasons) > REASONS:
            lines.append(f"  and {len(reasons) - REASONS} more reasons, in the file")
    return [paragraph(line.strip(), 4 if line.startswith("  ") else 2) for line in lines]


def best(swept: Swept) -> str:
    """The points that are best by the first answer asked for.

    Parameters
    ----------
    swept : Swept   [SI]
    Returns
    -------
    text : str   Empty when no point has that answer [-]
    """
    found = ranking(swept, BEST)
    return f"{found.title}\n{fitted(found.heads, found.rows)}" if found is not None else ""


def spread(swept: Swept) -> str:
    """Least, middle and most of the answers asked for.

    Parameters
    ----------
    swept : Swept   [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = []
    for info in asked(swept):
        values = column(swept, info)
        values = values[np.isfinite(values)]
        if len(values):
            figures = [float(f(values)) for f in (np.min, np.median, np.max)]
            rows.append([shorten(info.name, 34), info.shown, *map(number, map(info.show, figures))])
    columns = [Column("over all points", 34, left=True), Column("unit", 8, left=True)]
    columns += [Column(name, 9) for name in ("least", "median", "most")]
    return table(columns, rows) if rows else ""


def fitted(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table of as many columns as fit, headings on two lines.

    Parameters
    ----------
    headings : sequence of str   [-]
    rows : sequence of rows of str   [-]
    Returns
    -------
    text : str   [-]
    """
    columns: list[Column] = []
    above: list[str] = []
    room = WIDTH
    for k, heading in enumerate(headings):
        upper, lower = halves(heading)
        width = max(len(upper), len(lower), *(len(row[k]) for row in rows))
        if room < width + 2:
            break
        room -= width + 2
        above.append(upper)
        columns.append(Column(lower, width))
    line = "  " + "  ".join(text.rjust(c.width) for text, c in zip(above, columns, strict=True))
    text = line.rstrip() + "\n" + table(columns, [row[: len(columns)] for row in rows])
    hidden = len(headings) - len(columns)
    return text + (f"\n  {hidden} more columns stand in the file" if hidden else "")


def halves(heading: str) -> tuple[str, str]:
    """A heading on two lines of about equal length.

    Parameters
    ----------
    heading : str   [-]
    Returns
    -------
    upper, lower : str   [-]
    """
    words = shorten(heading, 2 * WIDEST).split()
    cuts = [(" ".join(words[:k]), " ".join(words[k:])) for k in range(len(words))]
    return min(cuts, key=lambda pair: max(map(len, pair)))


def record(swept: Swept) -> dict[str, Any]:
    """The object that ``pulse1d sweep --json`` prints.

    ``{"schema", "version", "study", "file", "key", "base", "computed", "left_out", "failures",
    "parameters": [{"name", "unit"}], "answers": [{"name", "unit", "better", "meaning"}], "points":
    [{"point", "answers", "failure"}]}``; points in the plan's order, values and answers in SI,
    missing answers left out, reasons of ``left_out`` and ``failures`` with how many they took.

    Parameters
    ----------
    swept : Swept   That came to its end [SI]
    Returns
    -------
    record : dict   [SI]
    """
    study, infos = swept.study, answer_infos(swept.study)
    assert swept.dataset is not None
    columns = {info.name: column(swept, info).tolist() for info in infos}
    failures = [str(text) for text in swept.dataset["failure"].values]
    return {
        "schema": SCHEMA,
        "version": __version__,
        "study": study.name,
        "file": str(study.path),
        "key": study.key,
        "base": study.base.name,
        "computed": swept.computed,
        "left_out": swept.plan.left_out,
        "failures": swept.failures,
        "parameters": [{"name": axis.name, "unit": axis.unit} for axis in study.axes],
        "answers": [
            {"name": i.name, "unit": i.unit, "better": i.better, "meaning": i.meaning}
            for i in infos
        ],
        "points": [
            {
                "point": dict(point),
                "answers": {n: v[k] for n, v in columns.items() if math.isfinite(v[k])},
                "failure": failures[k],
            }
            for k, point in enumerate(swept.plan.points)
        ],
    }
