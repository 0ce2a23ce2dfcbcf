"""Metal temperatures over one start: wall, weld zone, flange, bolt of the worst runner."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pulse1d.durability.transient import peak_difference
from pulse1d.plots.look import PANEL, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, DASHES, WIDE, styled, write
from pulse1d.run.life import LifeResult
from pulse1d.run.life_record import peaks

PARTS = ("", " weld zone", " flange", " sleeve", " bolt")


def draw_heat(results: Sequence[LifeResult], path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(life_heat_figure(results), path)


def life_heat_figure(results: Sequence[LifeResult], *, width: float = WIDE) -> Any:
    """Each design's runner with the greatest difference to its flange.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 1.3 + (2.4 if is_narrow(width) else 2.7) * len(results))
        rows = figure.subplots(len(results), 1, sharex=True, sharey=True, squeeze=False)
        for axes, result in zip(rows[:, 0], results, strict=True):
            heat = result.heat
            wall, flange = max(peaks(result), key=lambda p: abs(peak_difference(heat, *p)[0]))
            difference, when = peak_difference(heat, wall, flange)
            for k, part in enumerate(PARTS):
                if wall + part in heat.names:
                    axes.plot(heat.t, heat.at(wall + part) - 273.15, color=COLOURS[k],
                              ls=DASHES[k], label=part.strip() or "wall")  # fmt: skip
            axes.axvline(when, color="black", lw=0.8, zorder=1)
            about = f"{difference:.0f} K to the flange after {when:.0f} s"
            about = fold(f"{result.design.name}, {wall}: {about}", width - 0.9, PANEL)
            axes.set_title(about, loc="left", fontsize=PANEL)
            axes.set_ylabel("metal [degC]")
        rows[-1, 0].set_xlabel("time from the start [s]")
        title(figure, "Metal over one start, the runner that differs most from its flange")
        legend(figure, rows[:, 0])
    return figure
