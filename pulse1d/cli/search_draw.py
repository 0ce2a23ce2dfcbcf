"""The pictures of ``pulse1d search``."""

from __future__ import annotations

from pathlib import Path

from pulse1d.cli.search_run import Told
from pulse1d.cli.search_slopes import one_more, ranked
from pulse1d.plots.study_search import draw_search
from pulse1d.plots.study_tornado import Bars, draw_tornado
from pulse1d.study.answers import answer_infos
from pulse1d.study.front import named
from pulse1d.study.search import Search


def draw(told: Told, path: Path) -> list[Path]:
    """Draw what was found.

    Parameters
    ----------
    told : Told   [SI]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    """
    infos = {info.name: info for info in answer_infos(told.study)}
    name = told.study.name
    if told.search is not None:
        search = told.search
        if not search.outcomes:
            return []
        return draw_search(
            told.study, search.outcomes, search.aims, search.front, called(search), path
        )
    panels = []
    for answer in dict.fromkeys(one.answer for one in told.slopes):
        rows = [row for row in ranked(told) if row.slope.answer == answer]
        panels.append(
            Bars(
                f"change of {answer} [{infos[answer].shown}]",
                tuple(f"{row.slope.axis.name}, +{one_more(row.unit)}" for row in rows),
                tuple(row.change for row in rows), tuple(row.doubt for row in rows),
            )
        )  # fmt: skip
    for one in told.shares:
        info, sobol = infos[one.answer], one.method == "sobol"
        scale = 100.0 if sobol else info.show(1.0)
        effect = f"mean effect on {one.answer} of crossing the range [{info.shown}]"
        panels.append(
            Bars(
                f"share of the variance of {one.answer} [%]" if sobol else effect,
                tuple(s.parameter for s in one.shares),
                tuple(scale * s.total for s in one.shares),
                tuple(scale * s.total_doubt for s in one.shares),
                tuple(100.0 * s.alone for s in one.shares) if sobol else (),
                ("with interactions", "by itself"),
            )
        )  # fmt: skip
    if not panels:
        return []
    what = "what a small change buys"
    if told.shares:
        sobol = told.shares[0].method == "sobol"
        what = "where the variance comes from" if sobol else "what moves it most"
        what += ", 95 % whiskers"
    draw_tornado(f"{name}: {what}", panels, path)
    return [path]


def called(search: Search) -> list[tuple[str, int]]:
    """Names of the designs that a picture marks.

    Parameters
    ----------
    search : Search   [SI]
    Returns
    -------
    called : list of (name, row)   Base, knee and ends [-]
    """
    rows = [("base", 0)] if search.start else []
    found = named(search.outcomes, search.aims, search.front)
    if found is None:
        return rows
    if not found.trades:
        return [*rows, ("best", found.knee)]
    return [*rows, ("knee", found.knee), *((t.aim.words, t.row) for t in found.trades)]
