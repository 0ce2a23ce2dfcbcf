"""What of a sweep is drawn against what: by the kind of plan, and by what does most."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

import numpy as np

from pulse1d.plots.study_each import each_figure
from pulse1d.plots.study_map import map_figure
from pulse1d.plots.study_response import MOST_LINES, Band, response_figure
from pulse1d.study.answers import answer_infos
from pulse1d.study.columns import Column, answer_columns, parameter_columns, start_of
from pulse1d.study.loaded import LoadedStudy

MOST_ANSWERS = 3
"""Panels below each other."""
MOST_ACROSS = 5
"""Parameters with a panel each."""


def on_a_grid(
    study: LoadedStudy,
    answers: Sequence[Mapping[str, float]],
    columns: Sequence[Column],
    shown: Sequence[Column],
    about: str,
) -> dict[str, Callable[..., Any]]:
    """Curves over the parameter with most values, and a map with the one that does most.

    Parameters
    ----------
    study : LoadedStudy   [-]
    answers : sequence of mapping   Of each design [SI]
    columns, shown : sequence of Column   Parameters; answers that are drawn [as shown]
    about : str   Title [-]
    Returns
    -------
    pictures : dict   As in ``pulse1d.plots.study`` [-]
    """
    texts = {a.name for a in study.axes if any(isinstance(v, str) for v in a.values)}
    numbers = [c for c in columns if c.name not in texts]
    across = max(numbers or columns, key=lambda c: len(np.unique(c.values)))
    others = sorted((c for c in columns if c is not across), key=lambda c: -_effect(c, shown[0]))
    group = next((c for c in others if len(np.unique(c.values)) <= MOST_LINES), None)
    bands = [_band(study, column.name, answers) for column in shown]
    note = _mean_over("lines: ", [c for c in others if c is not group], "; dots: each design")
    note += ", shaded: 5-95 %" if any(bands) else ""
    panels = list(zip(shown, bands, strict=True))
    found: dict[str, Callable[..., Any]] = {
        "": partial(response_figure, about + note, across, group, panels)
    }
    ups = [c for c in others if c in numbers and len(np.unique(c.values)) > 1]
    some = any(np.isfinite(c.values).sum() > 2 for c in shown)
    if across not in numbers or not ups or not some:
        return found
    start = start_of(study)
    base = None
    if start is not None:
        at = {c.name: float(c.values[0]) for c in parameter_columns(study, [start])}
        base = at[across.name], at[ups[0].name]
    note = _mean_over("", [c for c in others if c is not ups[0]])
    found["map"] = partial(map_figure, about + note, across, ups[0], shown, base)
    return found


def one_by_one(
    study: LoadedStudy,
    columns: Sequence[Column],
    shown: Sequence[Column],
    about: str,
    base: int | None,
) -> Callable[..., Any]:
    """A panel for each of the parameters that do most.

    Parameters
    ----------
    study : LoadedStudy   [-]
    columns, shown : sequence of Column   Parameters; answers that are drawn [as shown]
    about : str   Title [-]
    base : int or None   Row of the base case [-]
    Returns
    -------
    picture : function of ``width``   [-]
    """
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
        about += f"; the {MOST_ACROSS} parameters that do most to {shown[0].name}"
    return partial(each_figure, about, panels[:MOST_ACROSS], shown, joined, base)


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
