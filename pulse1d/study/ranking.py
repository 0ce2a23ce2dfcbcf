"""The designs of a sweep, the best by the first thing wanted on top, as text in units shown."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.study.answer_names import AnswerInfo
from pulse1d.study.answers import answer_infos, answer_name
from pulse1d.study.columns import as_read, shown_unit
from pulse1d.study.sweep import Swept


@dataclass(frozen=True)
class Ranking:
    """Rows of text under headings."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def ranking(swept: Swept, most: int) -> Ranking | None:
    """The points that are best by the first answer asked for.

    Parameters
    ----------
    swept : Swept   That came to its end [SI]
    most : int   Rows [-]
    Returns
    -------
    ranking : Ranking or None   None when no point has that answer [as shown]
    """
    infos = asked(swept)
    first = infos[0]
    values = column(swept, first)
    least = wanted(swept, first) == "least"
    order = np.argsort(values if least else -values, kind="stable")
    order = order[np.isfinite(values[order])][:most]
    if not len(order):
        return None
    study = swept.study
    heads = [f"{axis.name} {shown_unit(study, axis)}".strip() for axis in study.axes]
    heads += [f"{info.name} {info.shown}" for info in infos]
    rows = [
        (
            *(as_read(study, axis, swept.plan.points[k][axis.name]) for axis in study.axes),
            *(number(info.show(float(column(swept, info)[k]))) for info in infos),
        )
        for k in order
    ]
    title = f"{'Least' if least else 'Most'} {first.name} first, {len(order)} of {len(values)}"
    return Ranking(title, tuple(heads), tuple(rows))


def asked(swept: Swept) -> list[AnswerInfo]:
    """The answers that the objectives are about; without objectives, the first three.

    Parameters
    ----------
    swept : Swept   [SI]
    Returns
    -------
    infos : list of AnswerInfo   Each once [-]
    """
    infos = {info.name: info for info in answer_infos(swept.study)}
    names = dict.fromkeys(answer_name(one) for one in swept.study.spec.objectives)
    return [infos[name] for name in names or list(infos)[:3]]


def wanted(swept: Swept, info: AnswerInfo) -> str:
    """Whether more or less of an answer is wanted.

    Parameters
    ----------
    swept : Swept   [SI]
    info : AnswerInfo   [-]
    Returns
    -------
    aim : str   "most" or "least" [-]
    """
    for objective in swept.study.spec.objectives:
        if answer_name(objective) == info.name:
            return {"above": "most", "below": "least"}.get(objective.aim, objective.aim)
    return info.better or "most"


def column(swept: Swept, info: AnswerInfo) -> NDArray[np.float64]:
    """An answer of all points.

    Parameters
    ----------
    swept : Swept   That came to its end [SI]
    info : AnswerInfo   [-]
    Returns
    -------
    values : array   Not a number where it is missing [SI]
    """
    assert swept.dataset is not None
    return np.asarray(swept.dataset[info.name.replace("/", "|")].values, dtype=float)


def answers_of(swept: Swept) -> list[dict[str, float]]:
    """Every answer of every point.

    Parameters
    ----------
    swept : Swept   That came to its end [SI]
    Returns
    -------
    answers : list of dict   In the plan's order; not a number where one is missing [SI]
    """
    values = {info.name: column(swept, info) for info in answer_infos(swept.study)}
    return [
        {name: float(found[k]) for name, found in values.items()}
        for k in range(len(swept.plan.points))
    ]


def number(value: float) -> str:
    """A number to four digits.

    Parameters
    ----------
    value : float   [any]
    Returns
    -------
    text : str   "-" for a missing one [any]
    """
    if not math.isfinite(value):
        return "-"
    return f"{value:.4g}" if abs(value) < 1e4 else f"{value:.0f}"
