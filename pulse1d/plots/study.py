"""Which pictures a study's designs get: responses, map, parallel coordinates, front."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np

from pulse1d.plots.study_each import draw_each
from pulse1d.plots.study_front import draw_front
from pulse1d.plots.study_map import draw_map
from pulse1d.plots.study_parallel import draw_parallel
from pulse1d.plots.study_response import MOST_LINES, Band, draw_response
from pulse1d.study.aims import Aim, aims_of, costs
from pulse1d.study.answer_names import AnswerInfo
from pulse1d.study.answers import answer_infos, answer_name
from pulse1d.study.axes import Point
from pulse1d.study.columns import Column, answer_columns, parameter_columns, start_of
from pulse1d.study.front import front_of, knee_of
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome

MOST_ANSWERS = 3
"""Panels below each other."""
MOST_ACROSS = 5
"""Panels beside each other."""
TITLE = 74
"""Characters of a line."""


def draw_study(
    study: LoadedStudy, points: Sequence[Point], answers: Sequence[Mapping[str, float]], path: Path
) -> list[Path]:
    """Draw the designs of a sweep.

    ``FILE`` has the answers against the parameters: curves on a grid, else a panel for each
    parameter; ``FILE-map`` contours over two parameters, on a grid; ``FILE-parallel`` all
    parameters and answers; ``FILE-front`` the objectives against each other.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of Point   [SI]
    answers : sequence of mapping   Of each point; missing ones left out or not a number [SI]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    infos = wanted_infos(study)
    shown = answer_columns(infos, answers)
    columns = parameter_columns(study, points)
    start = start_of(study)
    base = next((k for k, point in enumerate(points) if point == start), None)
    title = f"{study.name}, around {study.base.name}"
    drawn = [path]
    if study.spec.plan.kind == "grid":
        drawn += _on_a_grid(study, answers, columns, shown[:MOST_ANSWERS], title, path)
    else:
        _one_by_one(study, columns, shown[:MOST_ANSWERS], title, path, base)
    opens = [o for o in study.spec.objectives if o.aim in ("most", "least")]
    aims = aims_of(study) if opens else ()
    outcomes = [
        Outcome("", point, {name: x for name, x in own.items() if np.isfinite(x)})
        for point, own in zip(points, answers, strict=True)
    ]
    wanted, missed = costs(aims, outcomes)
    front = front_of(wanted, missed) if aims else ()
    called = [("base", base)] if base is not None else []
    if len(front) > 1 and len(opens) > 1:
        called.append(("knee", front[knee_of(wanted[list(front)])]))
    drawn.append(path.with_stem(f"{path.stem}-parallel"))
    draw_parallel(f"{study.name}: all designs", [*columns, *shown], front, called, drawn[-1])
    up = [c for c in shown if c.name in {answer_name(o) for o in opens}]
    if len(up) > 1:
        drawn.append(path.with_stem(f"{path.stem}-front"))
        pairs = [(up[0], other) for other in up[1:]]
        draw_front(f"{study.name}: front of the sweep", pairs, front, called, drawn[-1])
    return drawn


def draw_search(
    study: LoadedStudy,
    outcomes: Sequence[Outcome],
    aims: Sequence[Aim],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    path: Path,
) -> list[Path]:
    """Draw a search: ``FILE`` the front, ``FILE-parallel`` all parameters and aims.

    Parameters
    ----------
    study : LoadedStudy   [-]
    outcomes : sequence of Outcome   [SI]
    aims : sequence of Aim   [SI]
    front : sequence of int   Rows of the outcomes [-]
    called : sequence of (name, row)   Designs marked by name [-]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    infos = {info.name: info for info in answer_infos(study)}
    names = dict.fromkeys(aim.answer for aim in aims)
    shown = answer_columns([infos[name] for name in names], [one.answers for one in outcomes])
    columns = parameter_columns(study, [one.point for one in outcomes])
    title = f"{study.name}: search around {study.base.name}"
    up = [c for c in shown if c.name in {aim.answer for aim in aims if aim.open}]
    pairs = [(up[0], other) for other in up[1:]]
    pairs += list(pairwise(up[1:])) if len(up) == MOST_ANSWERS else []
    drawn = [path, path.with_stem(f"{path.stem}-parallel")]
    draw_front(title, pairs or [(columns[0], up[0])], front, called, path)
    draw_parallel(title, [*columns, *shown], front, called, drawn[1])
    return drawn


def wanted_infos(study: LoadedStudy) -> list[AnswerInfo]:
    """The answers that pictures show: those of the objectives, or the first.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    infos : list of AnswerInfo   Each once [-]
    """
    infos = {info.name: info for info in answer_infos(study)}
    asked = dict.fromkeys(answer_name(one) for one in study.spec.objectives)
    return [infos[name] for name in asked or list(infos)[:MOST_ANSWERS]]


def _on_a_grid(
    study: LoadedStudy,
    answers: Sequence[Mapping[str, float]],
    columns: Sequence[Column],
    shown: Sequence[Column],
    title: str,
    path: Path,
) -> list[Path]:
    """Curves over the parameter with most values, and a map with the one that does most."""
    texts = {a.name for a in study.axes if any(isinstance(v, str) for v in a.values)}
    numbers = [c for c in columns if c.name not in texts]
    across = max(numbers or columns, key=lambda c: len(np.unique(c.values)))
    others = sorted((c for c in columns if c is not across), key=lambda c: -_effect(c, shown[0]))
    group = next((c for c in others if len(np.unique(c.values)) <= MOST_LINES), None)
    bands = [_band(study, column.name, answers) for column in shown]
    note = _mean_over("lines: ", [c for c in others if c is not group], "; dots: each design")
    note += ", shaded: 5-95 %" if any(bands) else ""
    draw_response(_wrapped(title + note), across, group, list(zip(shown, bands, strict=True)), path)
    ups = [c for c in others if c in numbers and len(np.unique(c.values)) > 1]
    some = any(np.isfinite(c.values).sum() > 2 for c in shown)
    if across not in numbers or not ups or not some:
        return []
    start = start_of(study)
    base = None
    if start is not None:
        at = {c.name: float(c.values[0]) for c in parameter_columns(study, [start])}
        base = at[across.name], at[ups[0].name]
    drawn = path.with_stem(f"{path.stem}-map")
    note = _mean_over("", [c for c in others if c is not ups[0]])
    draw_map(_wrapped(title + note), across, ups[0], shown, drawn, base)
    return [drawn]


def _one_by_one(
    study: LoadedStudy,
    columns: Sequence[Column],
    shown: Sequence[Column],
    title: str,
    path: Path,
    base: int | None,
) -> None:
    """A panel for each of the parameters that do most."""
    joined = study.spec.plan.kind == "one at a time" and base is not None
    lone = 0 if base is None else base
    table = np.array([column.values for column in columns])
    panels = []
    for k, column in enumerate(columns):
        rows = np.arange(table.shape[1])
        if joined:
            same = np.delete(table == table[:, [lone]], k, axis=0)
            rows = np.flatnonzero(np.all(same, axis=0))
        panels.append((column, rows))
    if len(panels) > MOST_ACROSS:
        panels.sort(
            key=lambda pair: -_related(pair[0].values[pair[1]], shown[0].values[pair[1]], joined)
        )
        title += f"; the {MOST_ACROSS} parameters that do most to {shown[0].name}"
    draw_each(_wrapped(title), panels[:MOST_ACROSS], shown, joined, path, base)


def _band(study: LoadedStudy, name: str, answers: Sequence[Mapping[str, float]]) -> Band:
    ends = [i for i in answer_infos(study) if i.name in (f"{name}, low", f"{name}, high")]
    if len(ends) != 2:
        return None
    low, high = sorted(answer_columns(ends, answers), key=lambda c: c.name.endswith("high"))
    return low, high


def _effect(column: Column, answer: Column) -> float:
    """Range of the answer's mean over the values of a parameter."""
    good = np.isfinite(answer.values)
    means = [
        np.mean(answer.values[good & (column.values == value)])
        for value in np.unique(column.values[good])
    ]
    return float(np.ptp(means)) if means else 0.0


def _related(x: np.ndarray, y: np.ndarray, joined: bool) -> float:
    good = np.isfinite(x) & np.isfinite(y)
    if good.sum() < 3 or np.ptp(x[good]) == 0.0 or np.ptp(y[good]) == 0.0:
        return 0.0
    return float(np.ptp(y[good]) if joined else abs(np.corrcoef(x[good], y[good])[0, 1]))


def _mean_over(what: str, columns: Sequence[Column], more: str = "") -> str:
    names = " and ".join(column.name for column in columns)
    return f"; {what}mean over {names}{more}" if names else ""


def _wrapped(text: str) -> str:
    return "\n".join(textwrap.wrap(text, TITLE))
