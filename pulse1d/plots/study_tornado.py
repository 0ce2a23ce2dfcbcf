"""Bars to either side of a middle line, largest first: what each parameter does to an answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.plots.look import NOTE, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, HATCHES, PALE, WIDE, styled, write


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


def draw_tornado(about: str, panels: Sequence[Bars], path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    about, panels : as in ``tornado_figure`` [-]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(tornado_figure(about, panels), path)


def tornado_figure(about: str, panels: Sequence[Bars], *, width: float = WIDE) -> Any:
    """Panels below each other, bars sorted by size.

    Parameters
    ----------
    about : str   Title [-]
    panels : sequence of Bars   [as shown]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        rows = [len(panel.names) for panel in panels]
        line = 0.46 if is_narrow(width) else 0.4
        figure = canvas(width, 0.9 + sum(0.9 + line * n for n in rows))
        every = figure.subplots(len(panels), 1, squeeze=False, height_ratios=[n + 1 for n in rows])
        for axes, panel in zip(every[:, 0], panels, strict=True):
            order = np.argsort(np.abs(panel.values), kind="stable")
            draw_panel(axes, panel, order)
            names = [fold(panel.names[k], 0.3 * width, NOTE) for k in order]
            axes.set_yticks(np.arange(len(order)), names, fontsize=NOTE)
            axes.set_xlabel(fold(panel.title, 0.65 * width, 11))
        title(figure, about)
        legend(figure, every[:, 0])
    return figure


def draw_panel(axes: Any, panel: Bars, order: Any) -> None:
    """One panel's bars, whiskers and values.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    panel : Bars   [as shown]
    order : array of int   Of the bars, lowest first [-]
    """
    y, x = np.arange(len(order)), np.array(panel.values)[order]
    doubt = np.array(panel.doubts)[order]
    for sign, k in ((1.0, 0), (-1.0, 1)):
        own = sign * x > 0.0
        axes.barh(
            y[own], x[own], 0.68, color=COLOURS[k], hatch=HATCHES[k], edgecolor="black",
            linewidth=0.7, alpha=PALE if panel.inner else 1.0,
            label=panel.called[0] if panel.inner and np.any(own) else None,
        )  # fmt: skip
    if panel.inner:
        axes.barh(
            y, np.maximum(np.array(panel.inner)[order], 0.0), 0.4, color=COLOURS[0],
            edgecolor="black", linewidth=0.7, label=panel.called[1],
        )  # fmt: skip
    axes.errorbar(x, y, xerr=doubt, fmt="none", ecolor="black", elinewidth=1.2, capsize=3)
    for at, value, half in zip(y, x, doubt, strict=True) if not panel.inner else ():
        right = value >= 0.0
        axes.annotate(
            f"{value:+.3g}", (value + half if right else value - half, at), (5 if right else -5, 0),
            textcoords="offset points", ha="left" if right else "right", va="center",
            fontsize=NOTE,
        )  # fmt: skip
    if not panel.inner:
        axes.use_sticky_edges = False
        axes.margins(x=0.3 if is_narrow(axes.figure.get_figwidth()) else 0.16)
    axes.axvline(0.0, color="black", lw=1.0)
    axes.grid(False, axis="y")
