"""The loss budget as a waterfall: from the depression down to nothing, in flow order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from pulse1d.case.shown import Shown
from pulse1d.plots.bar_shapes import case_name
from pulse1d.plots.falls import Fall, falls
from pulse1d.plots.look import (
    LEAST,
    LETTER,
    NOTE,
    PANEL,
    canvas,
    fold,
    is_narrow,
    legend,
    title,
    unit,
)
from pulse1d.plots.style import COLOURS, HATCHES, WIDE, styled
from pulse1d.run.bench import BenchResult

LOST, COSTLIEST, RECOVERED = "lost", "lost, costliest", "recovered"
NAMES = 0.35
"""Share of the width for names of elements."""
KINDS = {LOST: 0, COSTLIEST: 5, RECOVERED: 2}
"""Their colours."""


def waterfall_figure(
    result: BenchResult,
    port: str,
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Where the pressure of one port goes.

    Parameters
    ----------
    result : BenchResult   [SI]
    port : str   One of those tested [-]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    return waterfalls_figure([result], port, shown=shown, width=width)


def waterfalls_figure(
    results: Sequence[BenchResult],
    port: str,
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """The same for some cases, below each other on one scale.

    Parameters
    ----------
    results : sequence of BenchResult   [SI]
    port : str   One of those tested [-]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    columns = [(result, falls(result, port)) for result in results]
    columns = [(result, steps) for result, steps in columns if steps]
    elements = {step.element for _, steps in columns for step in steps}
    folded = [fold(name, NAMES * width, NOTE).count("\n") for name in elements]
    line = (0.4 if is_narrow(width) else 0.25) + 0.14 * max(folded, default=0)
    rows = [len(steps) for _, steps in columns] or [1]
    with styled():
        figure = canvas(width, 1.3 + sum(0.35 + line * n for n in rows))
        panels = figure.subplots(
            len(rows), 1, squeeze=False, sharex=True, gridspec_kw={"height_ratios": rows}
        )[:, 0]
        for axes, (result, steps) in zip(panels, columns, strict=False):
            draw_falls(axes, steps, shown, width)
            if len(columns) > 1:
                axes.set_title(
                    fold(case_name(result), width - 1.0, PANEL), loc="left", fontsize=PANEL
                )
        panels[-1].set_xlabel(f"pressure left above the receiver's [{unit(shown.pressure)}]")
        name = f"{case_name(columns[0][0])}, port {port}" if len(columns) == 1 else f"Port {port}"
        title(figure, f"{name}: where the pressure goes")
        legend(figure, panels, order=tuple(KINDS))
    return figure


def draw_falls(axes: Any, steps: Sequence[Fall], shown: Shown, width: float) -> None:
    """Bars that step down from the top right to the bottom left, each with its loss and share.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    steps : sequence of Fall   [Pa]
    shown : Shown   Units [-]
    width : float   Of the figure [in]
    """
    whole = steps[0].before
    ends = [shown.of_pressure(p) for s in steps for p in (s.before, s.behind)]
    least, most = min(0.0, *ends), max(ends)
    margin = 0.02 * (most - least)
    names = 0.0 if is_narrow(width) else NAMES * width
    scale = (width - names - 0.3) / (most - least + 2.0 * margin)
    places = max(3 - math.floor(math.log10(shown.of_pressure(whole))), 0)
    worst = max(steps, key=lambda s: s.lost)
    for row, step in enumerate(steps):
        kind = COSTLIEST if step is worst else LOST if step.lost > 0.0 else RECOVERED
        start, end = sorted((shown.of_pressure(step.before), shown.of_pressure(step.behind)))
        axes.barh(
            row, end - start, 0.7, start, color=COLOURS[KINDS[kind]], edgecolor="white",
            hatch=HATCHES[list(KINDS).index(kind)], linewidth=0.5, zorder=2, label=kind,
        )  # fmt: skip
        behind = shown.of_pressure(step.behind)
        if row + 1 < len(steps):
            axes.plot([behind, behind], [row - 0.35, row + 1.35], color="black", lw=0.8, zorder=3)
        text = f"{shown.of_pressure(step.lost):.{places}f} ({100.0 * step.lost / whole:.1f} %)"
        if is_narrow(width):
            text = f"{step.element}\n{text}"
        room = scale * (start - least), scale * (most - end)
        _beside(axes, text, (start, end), row, room, LEAST if is_narrow(width) else NOTE)
    called = [fold(s.element, names, NOTE) for s in steps] if names else []
    axes.set_yticks(range(len(called)), called, fontsize=NOTE)
    axes.set_ylim(len(steps) - 0.45, -0.55)
    axes.set_xlim(least - margin, most + margin)
    axes.axvline(0.0, color="black", lw=1.0, zorder=1)
    axes.grid(False, axis="y")
    axes.tick_params(axis="y", length=0)


def _beside(
    axes: Any, text: str, bar: tuple[float, float], row: int, room: tuple[float, float], size: float
) -> None:
    """Text where there is more room: left or right of a bar, or on it if there is none."""
    need = LETTER * size / 72.0 * max(len(line) for line in text.split("\n")) + 0.08
    if max(room) < min(need, 1.0):
        at, shift, side = 0.5 * (bar[0] + bar[1]), 0, "center"
    elif room[0] > room[1]:
        at, shift, side = bar[0], -4, "right"
    else:
        at, shift, side = bar[1], 4, "left"
    white = {"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1.0}
    axes.annotate(
        text if side == "center" else fold(text, max(room), size), (at, row), (shift, 0),
        textcoords="offset points", ha=side, va="center", fontsize=size, linespacing=1.05,
        zorder=4, bbox=white if side == "center" else None,
    )  # fmt: skip
