"""Geometry pictures: the ways rolled out, and a sketch of each part."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pulse1d.case.design import Design
from pulse1d.case.shown import Shown
from pulse1d.plots.plan import plan_figure
from pulse1d.plots.runners import runners_figure
from pulse1d.plots.style import drawing_path, write


def draw_geometry(
    designs: Sequence[Design],
    path: Path,
    shown: Shown = Shown(),  # noqa: B008
) -> list[Path]:
    """Draw all ways to the outlet to FILE, and each part to FILE-plan, FILE-plan-2 and so on.

    Parameters
    ----------
    designs : sequence of Design   At least one [SI]
    path : Path   .png, .svg or .pdf [-]
    shown : Shown   Units [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    drawn = [write(runners_figure(designs, shown=shown), drawing_path(path))]
    for k, design in enumerate(designs):
        plan = path.with_stem(f"{path.stem}-plan{f'-{k + 1}' if k else ''}")
        drawn.append(write(plan_figure(design, shown=shown), plan))
    return drawn
