"""The front of a search: two aims across and up, the base, the knee and the ends by name."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.plots.style import COLOURS, SETTINGS, drawing_path, plain
from pulse1d.study.columns import Column

MARKS = "sD^v<>p"


def draw_front(
    title: str,
    pairs: Sequence[tuple[Column, Column]],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    path: Path,
) -> None:
    """Draw each pair of answers.

    Parameters
    ----------
    title : str   [-]
    pairs : sequence of (across, up)   All designs that were computed [as shown]
    front : sequence of int   Rows of the designs that no other beats [-]
    called : sequence of (name, row)   Designs marked by name; one row may have several [-]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        figure = Figure(figsize=(8.0, 1.0 + 4.6 * len(pairs)), layout="constrained")
        panels = figure.subplots(len(pairs), 1, squeeze=False)[:, 0]
        for axes, (across, up) in zip(panels, pairs, strict=True):
            draw_pair(axes, across, up, front, called)
        panels[0].set_title(plain(title), loc="left")
        handles, labels = panels[0].get_legend_handles_labels()
        figure.legend(handles, labels, loc="outside lower left", ncols=3, fontsize=10)
        figure.savefig(path, dpi=150)


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
    axes.plot(x[others], y[others], "o", ms=3.5, color="0.72", label="beaten by another")
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
    for column, set_label in ((across, axes.set_xlabel), (up, axes.set_ylabel)):
        better = f", {column.better} is better" if column.better else ""
        set_label(plain(column.title + better))


def _steps_one_way(values: Any) -> bool:
    steps = np.diff(values)
    return bool(np.all(steps <= 0.0) or np.all(steps >= 0.0))
