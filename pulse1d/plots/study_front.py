"""The front of a search: two aims across and up, the base, the knee and the ends by name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pulse1d.plots.look import canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, PALE, WIDE, plain, styled
from pulse1d.study.columns import Column

MARKS = "sD^v<>p"


def front_figure(
    about: str,
    pairs: Sequence[tuple[Column, Column]],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    *,
    width: float = WIDE,
) -> Any:
    """Each pair of answers.

    Parameters
    ----------
    about : str   Title [-]
    pairs : sequence of (across, up)   All designs that were computed [as shown]
    front : sequence of int   Rows of the designs that no other beats [-]
    called : sequence of (name, row)   Designs marked by name; one row may have several [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    each = 3.6 if is_narrow(width) else 4.6
    with styled():
        figure = canvas(width, 1.2 + each * len(pairs))
        panels = figure.subplots(len(pairs), 1, squeeze=False)[:, 0]
        for axes, (across, up) in zip(panels, pairs, strict=True):
            draw_pair(axes, across, up, front, called)
            for column, set_label in ((across, axes.set_xlabel), (up, axes.set_ylabel)):
                better = f", {column.better} is better" if column.better else ""
                set_label(fold(column.title + better, 0.8 * min(width, each), 11))
        title(figure, about)
        legend(figure, panels[:1])
    return figure


def draw_pair(
    axes: Any,
    across: Column,
    up: Column,
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
) -> None:
    """One answer over another.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    across, up : Column   [as shown]
    front : sequence of int   Rows [-]
    called : sequence of (name, row)   [-]
    """
    x, y = across.values, up.values
    others = np.setdiff1d(np.arange(len(x)), front)
    axes.plot(x[others], y[others], "o", ms=4.5, color="black", alpha=PALE, mew=0.0,
              label="beaten by another")  # fmt: skip
    order = sorted(front, key=lambda k: x[k])
    line = "-" if _steps_one_way(y[order]) else ""
    axes.plot(x[order], y[order], "o" + line, ms=5, lw=1.0, color=COLOURS[0], label="front")
    names: dict[int, list[str]] = {}
    for name, row in called:
        names.setdefault(row, []).append(name)
    for k, (row, own) in enumerate(names.items()):
        axes.plot(
            x[row], y[row], MARKS[k % len(MARKS)], ms=10, mfc="none", mew=1.8,
            color="black" if "base" in own else COLOURS[5], label=plain(", ".join(own)),
        )  # fmt: skip
    axes.margins(0.06)


def _steps_one_way(values: Any) -> bool:
    steps = np.diff(values)
    return bool(np.all(steps <= 0.0) or np.all(steps >= 0.0))
