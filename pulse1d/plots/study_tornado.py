"""Bars to either side of a middle line, largest first: what each parameter does to an answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from pulse1d.plots.style import COLOURS, HATCHES, SETTINGS, drawing_path, plain


@dataclass(frozen=True)
class Bars:
    """One panel."""

    title: str
    """Such as "mean flow [CFM] for one unit more"."""
    names: tuple[str, ...]
    values: tuple[float, ...]
    doubts: tuple[float, ...]
    """Drawn as whiskers."""
    inner: tuple[float, ...] = ()
    """A second, darker bar within each: such as a share alone within a total."""
    called: tuple[str, str] = ("", "")
    """What bar and inner bar are."""


def draw_tornado(title: str, panels: Sequence[Bars], path: Path) -> None:
    """Draw panels below each other, bars sorted by size.

    Parameters
    ----------
    title : str   [-]
    panels : sequence of Bars   [as shown]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        rows = [len(panel.names) for panel in panels]
        height = 0.8 + sum(0.9 + 0.42 * n for n in rows)
        figure = Figure(figsize=(8.0, height), layout="constrained")
        every = figure.subplots(len(panels), 1, squeeze=False, height_ratios=[n + 1 for n in rows])
        for axes, panel in zip(every[:, 0], panels, strict=True):
            order = np.argsort(np.abs(panel.values), kind="stable")
            y, x = np.arange(len(order)), np.array(panel.values)[order]
            doubt = np.array(panel.doubts)[order]
            for sign, colour, hatch in ((1.0, COLOURS[0], ""), (-1.0, COLOURS[1], HATCHES[1])):
                own = sign * x > 0.0
                axes.barh(
                    y[own], x[own], 0.68, color=colour, hatch=hatch, edgecolor="black",
                    linewidth=0.7, alpha=0.45 if panel.inner else 1.0,
                    label=panel.called[0] if panel.inner and np.any(own) else None,
                )  # fmt: skip
            if panel.inner:
                axes.barh(
                    y, np.maximum(np.array(panel.inner)[order], 0.0), 0.4, color=COLOURS[0],
                    edgecolor="black", linewidth=0.7, label=panel.called[1],
                )  # fmt: skip
                axes.legend(loc="lower right")
            axes.errorbar(x, y, xerr=doubt, fmt="none", ecolor="black", elinewidth=1.2, capsize=3)
            if not panel.inner:
                for at, value, half in zip(y, x, doubt, strict=True):
                    right = value >= 0.0
                    axes.annotate(
                        f"{value:+.3g}",
                        (value + half if right else value - half, at),
                        (5 if right else -5, 0),
                        textcoords="offset points",
                        ha="left" if right else "right",
                        va="center",
                        fontsize=9,
                    )
                axes.use_sticky_edges = False
                axes.margins(x=0.14)
            axes.axvline(0.0, color="black", lw=1.0)
            axes.set_yticks(y, [plain(panel.names[k]) for k in order])
            axes.grid(False, axis="y")
            axes.set_xlabel(plain(panel.title))
        every[0, 0].set_title(plain(title), loc="left")
        figure.savefig(path, dpi=150)
