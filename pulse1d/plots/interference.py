"""Who disturbs whom: a heat map of cylinders, one panel a case on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.plots.diverging import diverging
from pulse1d.plots.look import LEAST, PANEL, canvas, fold, is_narrow, title
from pulse1d.plots.style import WIDE, plain, styled, write
from pulse1d.run.attribution import Interference

ROW = 2
"""Panels beside each other."""


def draw_interference(
    found: Sequence[tuple[str, Interference]], rev_per_min: float, path: Path, where: str = ""
) -> None:
    """Draw them to a file.

    Parameters
    ----------
    found, rev_per_min, where : as in ``interference_figure`` [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(interference_figure(found, rev_per_min, where), path)


def interference_figure(
    found: Sequence[tuple[str, Interference]],
    rev_per_min: float,
    where: str = "",
    *,
    width: float = WIDE,
) -> Any:
    """The matrices of some cases on one scale of colours.

    Parameters
    ----------
    found : sequence of (case, Interference)   [SI]
    rev_per_min : float   [1/min]
    where : str   What the cases stand in front of; empty: nothing to tell [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    end = max(float(np.abs(one.matrix).max()) for _, one in found) * 1e-3 or 1.0
    across = 1 if is_narrow(width) else min(len(found), ROW)
    down = -(-len(found) // across)
    side = min((width - 0.4) / across, 5.0)
    with styled():
        figure = canvas(width, 1.6 + side * down)
        panels = figure.subplots(down, across, squeeze=False).ravel()
        for axes, (name, one) in zip(panels, found, strict=False):
            image = draw_matrix(axes, one, end)
            axes.set_title(fold(name, side - 0.9, PANEL), loc="left", fontsize=PANEL)
        for axes in panels[len(found) :]:
            axes.set_axis_off()
        bar = figure.colorbar(
            image, ax=list(panels), location="bottom", pad=0.03, aspect=30, shrink=0.8
        )
        bar.set_label("mean pressure added over the overlap [kPa]")
        title(figure, f"Interference at {rev_per_min:g} rev/min{where and f', {where}'}")
    return figure


def draw_matrix(axes: Any, found: Interference, end: float) -> Any:
    """One matrix with its figures; a cylinder's own field is crossed out.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    found : Interference   [SI]
    end : float   Where the colours end [kPa]
    Returns
    -------
    image : matplotlib image   For the scale [-]
    """
    names = [plain(name) for name in found.cylinders]
    kpa = 1e-3 * found.matrix
    image = axes.imshow(kpa, cmap=diverging(), vmin=-end, vmax=end)
    size = PANEL if len(names) <= 4 else LEAST
    for i, row in enumerate(kpa):
        for j, value in enumerate(row):
            text = "×" if i == j else f"{round(value, 2) + 0.0:+.2f}"
            axes.text(
                j, i, text, ha="center", va="center", fontsize=size,
                bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 1.5},
            )  # fmt: skip
    axes.set_xticks(range(len(names)), names)
    axes.set_yticks(range(len(names)), names)
    axes.set_xlabel("blow-down of cylinder")
    axes.set_ylabel("at the port of cylinder, its valves in overlap")
    axes.grid(False)
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0)
    return image
