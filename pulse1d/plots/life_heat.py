"""Metal temperatures over one start: wall, weld zone, flange, bolt of the worst runner."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pulse1d.durability.transient import peak_difference
from pulse1d.plots.style import COLOURS, DASHES, SETTINGS, drawing_path, plain
from pulse1d.run.life import LifeResult
from pulse1d.run.life_record import peaks

PARTS = ("", " weld zone", " flange", " sleeve", " bolt")


def draw_heat(results: Sequence[LifeResult], path: Path) -> None:
    """Draw each design's runner with the greatest difference to its flange.

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
        figure = Figure(figsize=(8.0, 1.0 + 2.7 * len(results)), layout="constrained")
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
            axes.set_title(
                plain(f"{result.design.name}, {wall}: {difference:.0f} K to the flange "
                      f"after {when:.0f} s"), loc="left", fontsize=11,
            )  # fmt: skip
            axes.set_ylabel("metal [degC]")
        rows[-1, 0].set_xlabel("time from the start [s]")
        handles = {
            label: handle
            for axes in rows[:, 0]
            for handle, label in zip(*axes.get_legend_handles_labels(), strict=True)
        }
        figure.legend(
            list(handles.values()), list(handles), loc="outside lower left", ncols=5, fontsize=10
        )
        figure.savefig(path, dpi=150)
