"""Response curves: answers against a parameter, a line for each value of another, bands behind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pulse1d.plots.look import canvas, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, DASHES, MARKS, WIDE, plain, styled
from pulse1d.study.columns import Column

MOST_LINES = 6
Band = tuple[Column, Column] | None
"""Lower and upper end of an answer's 5-95 % band."""


def response_figure(
    about: str,
    across: Column,
    group: Column | None,
    answers: Sequence[tuple[Column, Band]],
    *,
    width: float = WIDE,
) -> Any:
    """A panel for each answer.

    Parameters
    ----------
    about : str   Title [-]
    across : Column   Parameter [as shown]
    group : Column or None   Another parameter, one line for each of its values [as shown]
    answers : sequence of (answer, band)   [as shown]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    each = 2.5 if is_narrow(width) else 3.0
    with styled():
        figure = canvas(width, 1.4 + each * len(answers))
        panels = figure.subplots(len(answers), 1, sharex=True, squeeze=False)[:, 0]
        for axes, (answer, band) in zip(panels, answers, strict=True):
            draw_answer(axes, across, group, answer, band)
            axes.set_ylabel(plain(answer.title))
        if across.labels:
            panels[-1].set_xticks(across.rungs, [plain(text) for text in across.labels])
        panels[-1].set_xlabel(plain(across.title))
        figure.align_ylabels()
        title(figure, about)
        legend(figure, panels[:1])
    return figure


def draw_answer(
    axes: Any, across: Column, group: Column | None, answer: Column, band: Band
) -> None:
    """Lines of one answer: the mean of the designs that share both parameters, and each design.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    across : Column   [as shown]
    group : Column or None   [as shown]
    answer : Column   [as shown]
    band : pair of Column or None   [as shown]
    """
    good = np.isfinite(answer.values) & np.isfinite(across.values)
    keys = np.unique(group.values[good]) if group is not None else np.zeros(1)
    picked = keys[np.unique(np.linspace(0, len(keys) - 1, MOST_LINES).round().astype(int))] if len(
        keys
    ) > MOST_LINES else keys  # fmt: skip
    for k, key in enumerate(picked):
        own = good & (group.values == key) if group is not None else good
        x = np.unique(across.values[own])
        rows = [np.flatnonzero(own & (across.values == value)) for value in x]
        mean = [float(np.mean(answer.values[row])) for row in rows]
        label = plain(f"{group.name} {_said(group, float(key))}") if group is not None else None
        colour = COLOURS[k % 6]
        axes.plot(x, mean, MARKS[k % 6], ls=DASHES[k % 6], ms=5, color=colour, label=label)
        if any(len(row) > 1 for row in rows):
            axes.plot(across.values[own], answer.values[own], ".", ms=3, color=colour, alpha=0.5)
        if band is not None:
            low, high = ([float(np.mean(end.values[row])) for row in rows] for end in band)
            axes.fill_between(x, low, high, color=colour, alpha=0.12, lw=0)
            for end in (low, high):
                axes.plot(x, end, ls=DASHES[k % 6], lw=0.8, color=colour)


def _said(column: Column, value: float) -> str:
    if value in column.rungs:
        return column.labels[column.rungs.index(value)]
    return f"{value:.4g} {column.unit}".strip()
