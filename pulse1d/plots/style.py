"""One look for all figures: colour-blind safe, readable in grey, at half size too."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pulse1d.errors import InputError, Problem

COLOURS = ("#0072B2", "#E69F00", "#009E73", "#CC79A7", "#56B4E9", "#D55E00")
"""Okabe & Ito's colour-blind-safe set, from memory."""
HATCHES = ("", "///", "...", "xxx", "---", "ooo")
DASHES = ("-", "--", "-.", ":", (0, (5, 1)), (0, (3, 1, 1, 1)))
SUFFIXES = (".png", ".svg", ".pdf")

SETTINGS: Any = {
    "font.size": 11,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "grid.alpha": 0.3,
    "legend.frameon": False,
    "svg.fonttype": "none",
    "hatch.linewidth": 0.6,
}


def drawing_path(path: Path) -> Path:
    """The path, if a figure can be written there.

    Parameters
    ----------
    path : Path   [-]
    Returns
    -------
    path : Path   [-]
    Errors      InputError for another suffix or a folder that is not there.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise InputError(
            [
                Problem(
                    f"--plot: {path} is no picture that can be drawn",
                    "end it in .png, .svg or .pdf",
                )
            ]
        )
    if not path.absolute().parent.is_dir():
        raise InputError([Problem(f"--plot: there is no folder {path.parent}", "make it first")])
    return path


def plain(text: str) -> str:
    """Text that matplotlib prints as it stands.

    Parameters
    ----------
    text : str   [-]
    Returns
    -------
    text : str   Dollar signs escaped [-]
    """
    return text.replace("$", r"\$")
