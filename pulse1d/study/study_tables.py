"""Points, slopes and shares of a study as tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from pulse1d.results.sheet import Column, Sheet, flag, number, text
from pulse1d.results.table import Field, Table, cell
from pulse1d.study.answers import answer_infos
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.search import Search
from pulse1d.study.shares import Share, Shares
from pulse1d.study.slopes import Slope
from pulse1d.study.store import sweep_dataset, unit_of

if TYPE_CHECKING:
    from xarray import Dataset

FAILURE: Column[Any] = text("failure", "why answers are missing; empty: none is", lambda r: r)
KEY: Column[Any] = text("key", "hash of the point and of all that decides it", lambda r: r)
MORE = "a field for each parameter, then one for each answer, named as the study names them"

POINTS: Sheet[Any] = Sheet("points", "Every point of the plan", (FAILURE, KEY), MORE)
DESIGNS: Sheet[Any] = Sheet(
    "designs",
    "Every design that the search looked at",
    (
        FAILURE,
        KEY,
        flag("front", "no other design beats it in every aim", lambda r: r),
        text("called", "base, knee, best or an end of the front; empty: none", lambda r: r),
    ),
    MORE,
)

SLOPES: Sheet[tuple[Slope, str, str]] = Sheet(
    "slopes",
    "What a small change of each parameter buys; SI: in the units of the row",
    (
        text("answer", "that changes", lambda r: r[0].answer),
        text("answer_unit", "its unit", lambda r: r[1]),
        text("parameter", "that is changed", lambda r: r[0].axis.name),
        text("parameter_unit", "its unit", lambda r: r[2]),
        number("at", "SI", "where: of the parameter", lambda r: r[0].at),
        number("slope", "SI", "answer over parameter", lambda r: _told(r[0], r[0].slope)),
        number("doubt", "SI", "bend and noise of the slope", lambda r: _told(r[0], r[0].doubt)),
        number("low", "SI", "lower end of the difference", lambda r: r[0].low),
        number("high", "SI", "upper end of the difference", lambda r: r[0].high),
        flag("sure", "whether its sign can be relied on", lambda r: r[0].sure),
        text("failure", "why there is no slope", lambda r: r[0].failure),
    ),
)

SHARES: Sheet[tuple[Shares, Share, str]] = Sheet(
    "shares",
    "Whose doing an answer's variance is; SI: in the unit of the row",
    (
        text("answer", "that varies", lambda r: r[0].answer),
        text("method", "sobol: shares of the variance; morris: mean effects of crossing the range",
             lambda r: r[0].method),
        text("parameter", "that is varied", lambda r: r[1].parameter),
        text("unit", "of the next four", lambda r: r[2]),
        number("alone", "SI", "by itself; morris: mean effect", lambda r: r[1].alone),
        number("alone_doubt", "SI", "half of its 95 % interval", lambda r: r[1].alone_doubt),
        number("total", "SI", "with interactions; morris: mean size", lambda r: r[1].total),
        number("total_doubt", "SI", "half of its 95 % interval", lambda r: r[1].total_doubt),
    ),
)  # fmt: skip

SWEEP_SHEETS: tuple[Sheet[Any], ...] = (POINTS,)
SEARCH_SHEETS: tuple[Sheet[Any], ...] = (DESIGNS, SLOPES, SHARES)


def points_table(dataset: Dataset, name: str = POINTS.name, title: str = POINTS.title) -> Table:
    """A sweep as a table: a field for each variable, a row a point.

    Parameters
    ----------
    dataset : xarray.Dataset   From ``sweep_dataset`` [SI]
    name, title : str   Of the table [-]
    Returns
    -------
    table : Table   [SI]
    """
    fields = tuple(
        Field(str(key), found.attrs.get("units", ""), found.attrs.get("long_name", ""))
        for key, found in dataset.data_vars.items()
    )
    columns = [found.values.tolist() for found in dataset.data_vars.values()]
    rows = zip(*columns, strict=True)
    cells = tuple(
        tuple(cell(field, value) for field, value in zip(fields, row, strict=True)) for row in rows
    )
    return Table(name, title, fields, cells)


def designs_table(study: LoadedStudy, search: Search, called: Mapping[int, str]) -> Table:
    """The designs of a search in the order they were looked at.

    Parameters
    ----------
    study : LoadedStudy   [-]
    search : Search   [SI]
    called : mapping   Place of a design to its name [-]
    Returns
    -------
    table : Table   [SI]
    """
    found = {one.key: one for one in search.outcomes}
    points = [one.point for one in search.outcomes]
    dataset = sweep_dataset(study, points, found.__getitem__, search.left_out)
    table = points_table(dataset, DESIGNS.name, DESIGNS.title)
    extra = tuple(column.field for column in DESIGNS.columns[2:])
    front = set(search.front)
    rows = tuple((*row, k in front, called.get(k, "")) for k, row in enumerate(table.rows))
    return Table(table.name, table.title, (*table.fields, *extra), rows)


def slopes_table(study: LoadedStudy, slopes: Sequence[Slope]) -> Table:
    """Slopes as computed.

    Parameters
    ----------
    study : LoadedStudy   [-]
    slopes : sequence of Slope   [SI]
    Returns
    -------
    table : Table   [SI]
    """
    of_answer = {info.name: info.unit for info in answer_infos(study)}
    of_axis = {target.name: unit_of(target) for target in study.targets}
    return SLOPES.table((one, of_answer[one.answer], of_axis[one.axis.name]) for one in slopes)


def shares_table(study: LoadedStudy, shares: Sequence[Shares]) -> Table:
    """Shares as computed.

    Parameters
    ----------
    study : LoadedStudy   [-]
    shares : sequence of Shares   [SI]
    Returns
    -------
    table : Table   [SI]
    """
    units = {info.name: info.unit for info in answer_infos(study)}
    return SHARES.table(
        (one, share, "1" if one.method == "sobol" else units[one.answer])
        for one in shares
        for share in one.shares
    )


def _told(slope: Slope, value: float) -> float | None:
    return None if slope.failure else value
