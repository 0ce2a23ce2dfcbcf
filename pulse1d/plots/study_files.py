"""A study's pictures by the ends of their files' names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from pulse1d.plots.style import drawing_path, write

Pictures = dict[str, Callable[..., Any]]
"""End of the file's name to what makes the figure, given ``width``."""
TITLES = {
    "": "Answers over the parameters",
    "map": "Map of two parameters",
    "parallel": "All parameters and answers",
    "front": "Objectives against each other",
}


def draw_all(pictures: Pictures, path: Path) -> list[Path]:
    """Draw each to a file beside the first.

    Parameters
    ----------
    pictures : dict   [-]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    drawing_path(path)
    return [
        write(make(), path.with_stem(f"{path.stem}-{end}") if end else path)
        for end, make in pictures.items()
    ]
