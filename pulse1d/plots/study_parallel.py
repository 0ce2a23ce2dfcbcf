"""Parallel coordinates: each design a line across all parameters and answers, the best coloured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pulse1d.plots.look import LEAST, NOTE, canvas, fold, legend, title
from pulse1d.plots.style import COLOURS, PALE, WIDE, plain, styled
from pulse1d.study.columns import Column

LINES = ("-", "--", "-.", ":")
MARKS = "sD^v<>p"
OTHERS = (COLOURS[5], COLOURS[2], COLOURS[1], COLOURS[3])
"""Of designs by name; the first of the set is the front's."""
MOST_PALE = 2000
"""Pale lines drawn; more would be a grey box (judgement)."""
ROOM = 1.25
"""Least width of an axis that stands; with less, axes lie below each other [in]."""


def parallel_figure(
    about: str,
    columns: Sequence[Column],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    *,
    width: float = WIDE,
) -> Any:
    """All designs pale, a front blue, and named designs over them.

    Parameters
    ----------
    about : str   Title [-]
    columns : sequence of Column   Parameters, then answers [as shown]
    front : sequence of int   Rows of designs that no other beats [-]
    called : sequence of (name, row)   Designs marked by name [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    lying = width < ROOM * len(columns)
    table = np.array([column.values for column in columns])
    whole = np.all(np.isfinite(table), axis=0)
    ends = [_ends(column, whole) for column in columns]
    low, high = np.array(ends).T[:, :, None]
    with styled():
        figure = canvas(width, 1.4 + 0.75 * len(columns) if lying else 5.6)
        axes = figure.subplots()
        draw_lines(axes, (table - low) / (high - low), whole, front, called, lying)
        _axes_and_ends(axes, columns, ends, lying, width)
        title(figure, about)
        legend(figure, [axes])
    return figure


def draw_lines(
    axes: Any,
    share: Any,
    whole: Any,
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    lying: bool,
) -> None:
    """A line for each design.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    share : (columns, designs) array   Of the length of each axis [-]
    whole : (designs,) array of bool   Which have every value [-]
    front, called : as in ``parallel_figure`` [-]
    lying : bool   Axes lie below each other [-]
    """
    at = np.arange(len(share))

    def line(row: int, mark: str = "", **look: Any) -> None:
        x, y = (share[:, row], at) if lying else (at, share[:, row])
        axes.plot(x, y, marker=mark, **look)

    for k in np.setdiff1d(np.flatnonzero(whole), front)[:MOST_PALE]:
        line(k, color="black", alpha=0.5 * PALE, lw=0.7, zorder=1)
    for n, k in enumerate(k for k in front if whole[k]):
        line(k, color=COLOURS[0], lw=1.1, alpha=0.7, zorder=2, label=None if n else "front")
    rows: dict[int, list[str]] = {}
    for name, row in called:
        if whole[row]:
            rows.setdefault(row, []).append(name)
    for n, (row, names) in enumerate(rows.items()):
        line(
            row, MARKS[n % 7], color="black" if "base" in names else OTHERS[n % len(OTHERS)],
            ls=LINES[n % 4], ms=6, lw=2.2, zorder=3, label=plain(", ".join(names)),
        )  # fmt: skip


def _axes_and_ends(
    axes: Any, columns: Sequence[Column], ends: Sequence[tuple[float, float]], lying: bool,
    width: float,
) -> None:  # fmt: skip
    for k, (column, pair) in enumerate(zip(columns, ends, strict=True)):
        axes.plot(*(((0, 1), (k, k)) if lying else ((k, k), (0, 1))), color="black", lw=0.8,
                  zorder=0)  # fmt: skip
        texts = dict(zip(column.rungs, column.labels, strict=True))
        for place, end in enumerate(pair):
            way = 1 if place else -1
            axes.annotate(
                plain(texts.get(end, f"{end:.4g}")), (place, k) if lying else (k, place),
                (0, 5) if lying else (0, 5 * way), textcoords="offset points", fontsize=LEAST,
                ha=("right" if place else "left") if lying else "center",
                va="bottom" if lying or place else "top", zorder=4,
                bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 0.6},
            )  # fmt: skip
    at, room = range(len(columns)), 0.3 * width if lying else (width - 0.4) / len(columns)
    names = [fold(_title(column), room, NOTE) for column in columns]
    axes.grid(False)
    axes.spines[["left", "bottom"]].set_visible(False)
    axes.margins(0.04)
    if lying:
        axes.set_yticks(at, names, fontsize=NOTE)
        axes.tick_params(axis="y", length=0)
        axes.set_xticks([])
        axes.set_ylim(len(columns) - 0.7, -0.5)
    else:
        axes.set_xticks(at, names, fontsize=NOTE)
        axes.tick_params(axis="x", length=0, pad=14)
        axes.set_yticks([])
        axes.set_ylim(-0.04, 1.08)


def _ends(column: Column, whole: np.ndarray) -> tuple[float, float]:
    values = np.concatenate([column.values[whole], column.rungs])
    low, high = (float(values.min()), float(values.max())) if len(values) else (0.0, 1.0)
    margin = 0.0 if high > low else 0.5 * abs(high) or 0.5
    return low - margin, high + margin


def _title(column: Column) -> str:
    lines = [column.name, f"[{column.unit}]" if column.unit else ""]
    if column.better:
        lines.append(f"{column.better} is better")
    return "\n".join(line for line in lines if line)
