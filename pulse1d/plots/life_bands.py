"""Life bands of every place, on a log scale, designs above each other."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pulse1d.plots.style import COLOURS, SETTINGS, drawing_path, plain
from pulse1d.run.life import LifeResult

MOST = 8
"""Places of a design that are drawn."""
LONGEST = 1e8
"""Where the axis ends [starts]."""


def draw_bands(results: Sequence[LifeResult], path: Path) -> None:
    """Draw low to high, the middle marked; refused places say so.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        count = sum(min(len(r.places), MOST) for r in results)
        figure = Figure(figsize=(8.0, 1.8 + 0.3 * count), layout="constrained")
        axes = figure.subplots()
        labels: list[str] = []
        for k, result in enumerate(results):
            for assessed in result.places[:MOST]:
                y, band = -len(labels), assessed.band
                labels.append(assessed.place.name)
                if band.refused:
                    axes.text(1.3, y, "refused: too hot", va="center", fontsize=9)
                    continue
                low, mid, high = (
                    min(max(v, 1.0), LONGEST) for v in (band.low, band.mid, band.high)
                )
                axes.plot([low, high], [y, y], "-", color=COLOURS[k % 6], lw=6, alpha=0.55,
                          solid_capstyle="butt")  # fmt: skip
                axes.plot([mid], [y], "|", color="black", ms=11, mew=1.8)
            axes.plot([], [], "-", color=COLOURS[k % 6], lw=6, alpha=0.55,
                      label=plain(result.design.name))  # fmt: skip
        axes.plot([], [], "|", color="black", ms=11, mew=1.8, ls="", label="middle")
        axes.set_xscale("log")
        axes.set_xlim(1.0, LONGEST)
        axes.set_yticks([-n for n in range(len(labels))], [plain(label) for label in labels])
        axes.tick_params(axis="y", labelsize=9)
        axes.set_xlabel("full starts to a crack, lower bound to longest rule")
        axes.set_title("A screening, never a certificate", loc="left")
        figure.legend(loc="outside lower left", ncols=2, fontsize=10)
        figure.savefig(path, dpi=150)
