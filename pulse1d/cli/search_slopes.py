"""Slopes as people rank them: what one millimetre, one degree, one kelvin more buys."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.cli.search_run import Told
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.study.answers import answer_infos
from pulse1d.study.axes import Axis
from pulse1d.study.columns import as_read, shown_unit, slope_scale
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.ranking import number
from pulse1d.study.slopes import Slope

MILLIMETRE = 1e-3
"""[m]."""
TABLE = (
    Column("more of", 28, left=True),
    Column("at", 10),
    Column("by", 7),
    Column("buys", 9),
    Column("+-", 8),
    Column("", 8, left=True),
)


@dataclass(frozen=True)
class Row:
    """One slope in shown units."""

    slope: Slope
    unit: str
    """One of which more is taken: lengths in millimetres, whatever the study writes."""
    change: float
    doubt: float
    """[shown unit of the answer]."""


def ranked(told: Told) -> list[Row]:
    """Slopes, largest change first within each answer.

    Parameters
    ----------
    told : Told   With slopes [SI]
    Returns
    -------
    rows : list of Row   Those that failed last [as shown]
    """
    infos = {info.name: info for info in answer_infos(told.study)}
    rows = []
    for one in told.slopes:
        unit, step = step_of(told.study, one.axis)
        show = infos[one.answer].show
        rows.append(Row(one, unit, show(one.slope * step), show(one.doubt * step)))
    names = list(dict.fromkeys(one.answer for one in told.slopes))
    rows.sort(key=lambda r: (names.index(r.slope.answer), bool(r.slope.failure), -abs(r.change)))
    return rows


def step_of(study: LoadedStudy, axis: Axis) -> tuple[str, float]:
    """The unit in which one more of a parameter is counted.

    Parameters
    ----------
    study : LoadedStudy   [-]
    axis : Axis   With numbers [-]
    Returns
    -------
    unit, step : str, float   One of it [-, SI]
    """
    target = next(one for one in study.targets if one.name == axis.name)
    if target.dimension == "length" and target.sets != "factor":
        return "mm", MILLIMETRE
    unit = shown_unit(study, axis)
    return (unit, slope_scale(study, axis)) if unit else ("0.01", 0.01)


def one_more(unit: str) -> str:
    """By how much a parameter is raised, in words.

    Parameters
    ----------
    unit : str   From ``step_of`` [-]
    Returns
    -------
    text : str   Such as "1 mm" [-]
    """
    return unit if unit[0].isdigit() else f"1 {unit}"


def slopes_text(told: Told) -> str:
    """The ranked list of each answer.

    Parameters
    ----------
    told : Told   With slopes [SI]
    Returns
    -------
    text : str   [-]
    """
    infos = {info.name: info for info in answer_infos(told.study)}
    rows, parts = ranked(told), []
    for answer in dict.fromkeys(row.slope.answer for row in rows):
        cells = [cell(told, row) for row in rows if row.slope.answer == answer]
        value = told.there.answers.get(answer) if told.there is not None else None
        shown = infos[answer].shown
        at = "" if value is None else f", here {number(infos[answer].show(value))} {shown}"
        better = f"; {infos[answer].better} is better" if infos[answer].better else ""
        parts.append(f"{answer} [{shown}]{at}{better}\n" + table(TABLE, cells))
    where = (
        "the base case" if told.based else "the middle of the ranges; the base is not a point of it"
    )
    parts.append(
        paragraph(
            f"Slopes at {where}, by differences to either side; between the neighbours of a list. "
            "+- is by how much half the step differs from the whole, in a list one side from both: "
            "bend and noise of the answer. A slope less than twice that is unsure; - where nothing "
            "tells.",
            0,
        )
    )
    return "\n\n".join(parts)


def cell(told: Told, row: Row) -> tuple[str, ...]:
    """A row of the table.

    Parameters
    ----------
    told : Told   [SI]
    row : Row   [as shown]
    Returns
    -------
    cells : tuple of str   [-]
    """
    one = row.slope
    name, at = shorten(one.axis.name, TABLE[0].width), as_read(told.study, one.axis, one.at)
    if told.study.axes and shown_unit(told.study, one.axis) not in ("", row.unit):
        at += f" {shown_unit(told.study, one.axis)}"
    if one.failure:
        return name, at, one_more(row.unit), "-", "-", "failed"
    listed = bool(one.axis.values)
    doubt = "-" if listed and row.doubt == 0.0 else f"{row.doubt:.2g}"
    return name, at, one_more(row.unit), f"{row.change:+.3g}", doubt, "" if one.sure else "unsure"
