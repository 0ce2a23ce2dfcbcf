"""Life bands of every place, on a log scale, designs above each other."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pulse1d.plots.look import NOTE, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, HATCHES, WIDE, plain, styled, write
from pulse1d.run.life import LifeResult

MOST = 8
"""Places of a design that are drawn."""
LONGEST = 1e8
"""Where the axis ends [starts]."""


def draw_bands(results: Sequence[LifeResult], path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(life_bands_figure(results), path)


def life_bands_figure(results: Sequence[LifeResult], *, width: float = WIDE) -> Any:
    """Low to high, the middle marked; refused places say so.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        count = sum(min(len(r.places), MOST) for r in results)
        figure = canvas(width, 2.0 + (0.36 if is_narrow(width) else 0.3) * count)
        axes = figure.subplots()
        labels: list[str] = []
        for k, result in enumerate(results):
            for assessed in result.places[:MOST]:
                y, band = -len(labels), assessed.band
                labels.append(assessed.place.name)
                if band.refused:
                    axes.text(1.3, y, "refused: too hot", va="center", fontsize=NOTE)
                    continue
                low, mid, high = (
                    min(max(v, 1.0), LONGEST) for v in (band.low, band.mid, band.high)
                )
                look = {"color": COLOURS[k % 6], "hatch": HATCHES[k % 6], "edgecolor": "white"}
                axes.barh(y, high - low, 0.55, low, linewidth=0.0, zorder=2,
                          label=plain(result.design.name), **look)  # fmt: skip
                axes.plot([mid], [y], "|", color="black", ms=13, mew=2.0, zorder=3)
        axes.plot([], [], "|", color="black", ms=13, mew=2.0, ls="", label="middle")
        axes.set_xscale("log")
        axes.set_xlim(1.0, LONGEST)
        names = [fold(label, 0.36 * width, NOTE) for label in labels]
        axes.set_yticks([-n for n in range(len(labels))], names, fontsize=NOTE)
        axes.set_ylim(0.6 - max(len(labels), 1), 0.6)
        axes.grid(False, axis="y")
        if is_narrow(width):
            axes.set_xticks([10.0**n for n in range(0, 9, 2)])
        axes.set_xlabel("full starts to a crack [-]")
        title(figure, "Life, lower bound to longest rule: a screening, never a certificate")
        legend(figure, [axes], order=[plain(r.design.name) for r in results])
    return figure
