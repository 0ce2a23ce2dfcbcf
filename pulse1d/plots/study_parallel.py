"""Parallel coordinates: each design a line across all parameters and answers, the best coloured."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from pulse1d.plots.style import COLOURS, SETTINGS, drawing_path, plain
from pulse1d.study.columns import Column

LINES = ("-", "--", "-.", ":")
MARKS = "sD^v<>p"
OTHERS = (COLOURS[5], COLOURS[2], COLOURS[1], COLOURS[3])
"""Of designs by name; the first of the set is the front's."""
MOST_GREY = 2000
"""Grey lines drawn; more would be a grey box (judgement)."""


def draw_parallel(
    title: str,
    columns: Sequence[Column],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    path: Path,
) -> None:
    """Draw all designs grey, a front blue, and named designs over them.

    Parameters
    ----------
    title : str   [-]
    columns : sequence of Column   Parameters, then answers [as shown]
    front : sequence of int   Rows of designs that no other beats [-]
    called : sequence of (name, row)   Designs marked by name [-]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    table = np.array([column.values for column in columns])
    whole = np.all(np.isfinite(table), axis=0)
    ends = [_ends(column, whole) for column in columns]
    low, high = np.array(ends).T[:, :, None]
    share = (table - low) / (high - low)
    at = np.arange(len(columns))
    with mpl.rc_context(SETTINGS):
        figure = Figure(figsize=(max(8.0, 1.45 * len(columns)), 5.6), layout="constrained")
        axes = figure.subplots()
        grey = np.setdiff1d(np.flatnonzero(whole), front)[:MOST_GREY]
        for k in grey:
            axes.plot(at, share[:, k], color="0.8", lw=0.7, zorder=1)
        for n, k in enumerate(k for k in front if whole[k]):
            axes.plot(
                at, share[:, k], color=COLOURS[0], lw=1.1, alpha=0.7, zorder=2,
                label=None if n else "front",
            )  # fmt: skip
        rows: dict[int, list[str]] = {}
        for name, row in called:
            if whole[row]:
                rows.setdefault(row, []).append(name)
        for n, (row, names) in enumerate(rows.items()):
            axes.plot(
                at, share[:, row], color="black" if "base" in names else OTHERS[n % len(OTHERS)],
                ls=LINES[n % 4], marker=MARKS[n % 7], ms=6, lw=2.2, zorder=3,
                label=plain(", ".join(names)),
            )  # fmt: skip
        for k, column in enumerate(columns):
            axes.vlines(k, 0.0, 1.0, color="black", lw=0.8, zorder=0)
            words = [f"{end:.4g}" for end in ends[k]]
            for rung, text in zip(column.rungs, column.labels, strict=True):
                words = [
                    text if rung == end else word for end, word in zip(ends[k], words, strict=True)
                ]
            axes.annotate(plain(words[1]), (k, 1.0), (0, 5), textcoords="offset points",
                          ha="center", fontsize=9)  # fmt: skip
            axes.annotate(plain(words[0]), (k, 0.0), (0, -5), textcoords="offset points",
                          ha="center", va="top", fontsize=9)  # fmt: skip
        axes.set_xticks(at, [_title(column) for column in columns], fontsize=9)
        axes.tick_params(axis="x", length=0, pad=18)
        axes.set_yticks([])
        axes.set_ylim(-0.04, 1.04)
        axes.spines[["left", "bottom"]].set_visible(False)
        axes.grid(False)
        axes.set_title(plain(title), loc="left", pad=20)
        if axes.get_legend_handles_labels()[1]:
            figure.legend(loc="outside lower left", ncols=3, fontsize=10)
        figure.savefig(path, dpi=150)


def _ends(column: Column, whole: np.ndarray) -> tuple[float, float]:
    values = np.concatenate([column.values[whole], column.rungs])
    low, high = (float(values.min()), float(values.max())) if len(values) else (0.0, 1.0)
    margin = 0.0 if high > low else 0.5 * abs(high) or 0.5
    return low - margin, high + margin


def _title(column: Column) -> str:
    import textwrap

    lines = [*textwrap.wrap(column.name, 14), f"[{column.unit}]" if column.unit else ""]
    if column.better:
        lines.append(f"{column.better} is better")
    return plain("\n".join(line for line in lines if line))
