"""A map: one answer over two parameters, contours with their values, designs as dots."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.plots.style import SETTINGS, drawing_path, plain
from pulse1d.study.columns import Column

FLAT = 1e-9
"""Share of its size by which an answer must vary for contours to be drawn."""


def draw_map(
    title: str,
    across: Column,
    up: Column,
    answers: Sequence[Column],
    path: Path,
    base: tuple[float, float] | None = None,
) -> None:
    """Draw a panel for each answer, over the mean of the designs that share both parameters.

    Parameters
    ----------
    title : str   [-]
    across, up : Column   Parameters with numbers [as shown]
    answers : sequence of Column   [as shown]
    path : Path   .png, .svg or .pdf [-]
    base : (x, y) or None   Where the base case stands [as shown]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        figure = Figure(figsize=(8.0, 0.9 + 4.0 * len(answers)), layout="constrained")
        panels = figure.subplots(len(answers), 1, sharex=True, squeeze=False)[:, 0]
        for axes, answer in zip(panels, answers, strict=True):
            draw_panel(axes, across, up, answer)
            if base is not None:
                axes.plot(*base, "s", ms=10, mfc="none", mew=1.8, color="black", label="base")
                axes.legend(
                    loc="lower right", frameon=True, facecolor="white", framealpha=0.9, fontsize=10
                )
            axes.set_ylabel(plain(up.title))
            axes.set_title(plain(answer.title), loc="left", fontsize=11)
            axes.grid(False)
            if up.labels:
                axes.set_yticks(up.rungs, [plain(text) for text in up.labels])
        if across.labels:
            panels[-1].set_xticks(across.rungs, [plain(text) for text in across.labels])
        panels[-1].set_xlabel(plain(across.title))
        figure.suptitle(plain(title), x=0.01, ha="left", fontsize=12)
        figure.savefig(path, dpi=150)


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
        axes.clabel(lines, fontsize=9, fmt="%.4g")
        axes.figure.colorbar(filled, ax=axes, format="%.4g")
    axes.plot(x, y, "o", ms=3.5, mfc="white", mec="black", mew=0.8, clip_on=False, zorder=3)


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
