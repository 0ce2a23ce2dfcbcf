"""Who disturbs whom: a heat map of cylinders, one panel a case on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.plots.diverging import diverging
from pulse1d.plots.style import SETTINGS, drawing_path, plain
from pulse1d.run.attribution import Interference

DARK = 0.55
"""Share of the colours' end from which figures are written in white."""
ROW = 2
"""Panels beside each other."""


def draw_interference(
    found: Sequence[tuple[str, Interference]], rev_per_min: float, path: Path, where: str = ""
) -> None:
    """Draw the matrices of some cases.

    Parameters
    ----------
    found : sequence of (case, Interference)   [SI]
    rev_per_min : float   [1/min]
    path : Path   .png, .svg or .pdf [-]
    where : str   What the cases stand in front of; empty: nothing to tell [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    end = max(float(np.abs(one.matrix).max()) for _, one in found) * 1e-3 or 1.0
    across = min(len(found), ROW)
    down = -(-len(found) // ROW)
    with mpl.rc_context({**SETTINGS, "axes.grid": False}):
        figure = Figure(figsize=(1.6 + 4.6 * across, 1.0 + 4.8 * down), layout="constrained")
        panels = figure.subplots(down, across, squeeze=False).ravel()
        for axes, (name, one) in zip(panels, found, strict=False):
            image = draw_matrix(axes, one, end)
            axes.set_title(plain(name), loc="left", fontsize=11)
        for axes in panels[len(found) :]:
            axes.set_axis_off()
        bar = figure.colorbar(image, ax=list(panels), pad=0.02, aspect=30)
        bar.set_label("mean pressure added over the overlap [kPa]")
        title = f"Interference at {rev_per_min:g} rev/min{where and f', {where}'}"
        figure.suptitle(plain(title), x=0.01, ha="left", fontsize=12)
        figure.savefig(path, dpi=150)


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
    size = 11 if len(names) <= 4 else 8
    for i, row in enumerate(kpa):
        for j, value in enumerate(row):
            colour = "white" if abs(value) > DARK * end else "black"
            text = "×" if i == j else f"{round(value, 2) + 0.0:+.2f}"
            axes.text(j, i, text, ha="center", va="center", color=colour, fontsize=size)
    axes.set_xticks(range(len(names)), names)
    axes.set_yticks(range(len(names)), names)
    axes.set_xlabel("blow-down of cylinder")
    axes.set_ylabel("at the port of cylinder, its valves in overlap")
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0)
    return image
