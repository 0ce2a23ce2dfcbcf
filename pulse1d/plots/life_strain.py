"""Strain of every place: what differs in temperature, and what the legs add."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pulse1d.plots.style import COLOURS, HATCHES, SETTINGS, drawing_path, plain
from pulse1d.run.life import LifeResult

MOST = 8
"""Places of a design that are drawn."""


def draw_strain(results: Sequence[LifeResult], path: Path) -> None:
    """Draw one bar a place, its two shares behind each other.

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
        counts = [max(min(len(r.places), MOST), 1) for r in results]
        figure = Figure(figsize=(8.0, 1.4 + 0.42 * sum(counts)), layout="constrained")
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
                      label="legs that hold each other")  # fmt: skip
            axes.set_yticks(y, [plain(a.place.name) for a in places])
            axes.tick_params(axis="y", labelsize=9)
            axes.set_title(plain(result.design.name), loc="left", fontsize=11)
        rows[-1, 0].set_xlabel("strain range of a start, without weld factor [%]")
        handles, labels = rows[0, 0].get_legend_handles_labels()
        figure.legend(handles, labels, loc="outside lower left", ncols=2, fontsize=10)
        figure.savefig(path, dpi=150)
