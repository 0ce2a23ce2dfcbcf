"""Strain of every place: what differs in temperature, and what the legs add."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pulse1d.plots.look import NOTE, PANEL, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, HATCHES, WIDE, styled, write
from pulse1d.run.life import LifeResult

MOST = 8
"""Places of a design that are drawn."""


def draw_strain(results: Sequence[LifeResult], path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(life_strain_figure(results), path)


def life_strain_figure(results: Sequence[LifeResult], *, width: float = WIDE) -> Any:
    """One bar a place, its two shares behind each other.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        counts = [max(min(len(r.places), MOST), 1) for r in results]
        line = 0.46 if is_narrow(width) else 0.38
        figure = canvas(width, 1.4 + 0.35 * len(counts) + line * sum(counts))
        rows = figure.subplots(
            len(results), 1, sharex=True, squeeze=False, gridspec_kw={"height_ratios": counts}
        )
        for axes, result in zip(rows[:, 0], results, strict=True):
            places = result.places[:MOST]
            y = [-n for n in range(len(places))]
            own = [100.0 * (a.strain_range - abs(a.place.extra)) for a in places]
            legs = [100.0 * abs(a.place.extra) for a in places]
            axes.barh(y, own, 0.65, color=COLOURS[0], label="unlike temperature or metal")
            axes.barh(y, legs, 0.65, left=own, color=COLOURS[1], hatch=HATCHES[1],
                      edgecolor="white", linewidth=0.0,
                      label="legs that hold each other")  # fmt: skip
            names = [fold(a.place.name, 0.36 * width, NOTE) for a in places]
            axes.set_yticks(y, names, fontsize=NOTE)
            axes.grid(False, axis="y")
            about = fold(result.design.name, 0.6 * width, PANEL)
            axes.set_title(about, loc="left", fontsize=PANEL)
        rows[-1, 0].set_xlabel("strain range of a start [%]")
        title(figure, "Strain range of each place, without weld factor")
        legend(figure, rows[:, 0])
    return figure
