"""A map: one answer over two parameters, contours with their values, designs as dots."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pulse1d.plots.look import NOTE, PANEL, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import WIDE, plain, styled
from pulse1d.study.columns import Column

FLAT = 1e-9
"""Share of its size by which an answer must vary for contours to be drawn."""


def map_figure(
    about: str,
    across: Column,
    up: Column,
    answers: Sequence[Column],
    base: tuple[float, float] | None = None,
    *,
    width: float = WIDE,
) -> Any:
    """A panel for each answer, over the mean of the designs that share both parameters.

    Parameters
    ----------
    about : str   Title [-]
    across, up : Column   Parameters with numbers [as shown]
    answers : sequence of Column   [as shown]
    base : (x, y) or None   Where the base case stands [as shown]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    each = 3.2 if is_narrow(width) else 4.0
    with styled():
        figure = canvas(width, 1.2 + each * len(answers))
        panels = figure.subplots(len(answers), 1, sharex=True, squeeze=False)[:, 0]
        for axes, answer in zip(panels, answers, strict=True):
            draw_panel(axes, across, up, answer)
            if base is not None:
                axes.plot(*base, "s", ms=9, mfc="white", mew=1.8, color="black", label="base")
            axes.set_ylabel(plain(up.title))
            axes.set_title(fold(answer.title, width - 1.2, PANEL), loc="left", fontsize=PANEL)
            axes.grid(False)
            if up.labels:
                axes.set_yticks(up.rungs, [plain(text) for text in up.labels])
        if across.labels:
            panels[-1].set_xticks(across.rungs, [plain(text) for text in across.labels])
        panels[-1].set_xlabel(plain(across.title))
        title(figure, about)
        legend(figure, panels)
    return figure


def draw_panel(axes: Any, across: Column, up: Column, answer: Column) -> None:
    """Contours of one answer; only dots where the designs span no area.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    across, up, answer : Column   [as shown]
    """
    from matplotlib.tri import Triangulation

    x, y, z = mean_by_place(across, up, answer)
    if _spans(x, y) and np.ptp(z) > FLAT * np.max(np.abs(z)):
        # side lengths of 1, so that the triangles do not depend on the units
        cells = Triangulation((x - x.min()) / np.ptp(x), (y - y.min()) / np.ptp(y)).triangles
        mesh = Triangulation(x, y, cells)
        filled = axes.tricontourf(mesh, z, levels=10, cmap="cividis")
        lines = axes.tricontour(mesh, z, levels=filled.levels, colors="black", linewidths=0.6)
        for text in axes.clabel(lines, fontsize=NOTE, fmt="%.4g"):
            text.set_bbox({"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 0.8})
        axes.figure.colorbar(filled, ax=axes, format="%.4g")
    axes.plot(x, y, "o", ms=3.5, mfc="white", mec="black", mew=0.8, clip_on=False, zorder=3,
              label="design")  # fmt: skip


def mean_by_place(across: Column, up: Column, answer: Column) -> tuple[Any, Any, Any]:
    """The answer's mean over the designs at each place.

    Parameters
    ----------
    across, up, answer : Column   [as shown]
    Returns
    -------
    x, y, z : arrays   Each place once [as shown]
    """
    good = np.isfinite(across.values) & np.isfinite(up.values) & np.isfinite(answer.values)
    places, which = np.unique(
        np.column_stack([across.values[good], up.values[good]]), axis=0, return_inverse=True
    )
    sums = np.bincount(which.ravel(), weights=answer.values[good])
    return places[:, 0], places[:, 1], sums / np.bincount(which.ravel())


def _spans(x: Any, y: Any) -> bool:
    """Whether places span an area: not all on one line."""
    if len(x) < 3 or np.ptp(x) == 0.0 or np.ptp(y) == 0.0:
        return False
    sides = np.column_stack([(x - x[0]) / np.ptp(x), (y - y[0]) / np.ptp(y)])
    return int(np.linalg.matrix_rank(sides, tol=1e-6)) == 2
