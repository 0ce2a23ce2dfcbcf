"""Bench pictures: flows and pressure in one, the loss budgets in another."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pulse1d.case.shown import Shown
from pulse1d.plots.bars import bars_title, draw_bars
from pulse1d.plots.look import PANEL, canvas, fold, legend, title
from pulse1d.plots.pressure import draw_pressure
from pulse1d.plots.style import WIDE, drawing_path, styled, write
from pulse1d.plots.waterfall import waterfalls_figure
from pulse1d.run.bench import BenchResult

MOST = 6
"""Cases whose budgets are drawn below each other."""


def draw_bench(
    results: Sequence[BenchResult],
    path: Path,
    shown: Shown = Shown(),  # noqa: B008
) -> list[Path]:
    """Draw the flows and the first port's pressure, and FILE-budget with its loss budgets.

    Parameters
    ----------
    results : sequence of BenchResult   [SI]
    path : Path   .png, .svg or .pdf [-]
    shown : Shown   Units [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    drawing_path(path)
    port = results[0].ports[0].answer.port
    budget = waterfalls_figure(results[:MOST], port, shown=shown)
    return [
        write(bench_figure(results, shown=shown), path),
        write(budget, path.with_stem(f"{path.stem}-budget")),
    ]


def bench_figure(
    results: Sequence[BenchResult],
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """The bars above and the pressure profile of the first port below.

    Parameters
    ----------
    results : sequence of BenchResult   [SI]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    port = results[0].ports[0].answer.port
    with styled():
        figure = canvas(width, 9.0)
        bars, profile = figure.subplots(2, 1, height_ratios=(1, 1.15))
        draw_bars(bars, results, {}, shown, width)
        draw_pressure(profile, results, port, shown, width)
        about = f"Port {port}: total (bold) and static pressure (thin) along the way"
        profile.set_title(fold(about, width - 1.0, PANEL), loc="left", fontsize=PANEL)
        title(figure, bars_title(results, shown))
        legend(figure, [bars])
    return figure
