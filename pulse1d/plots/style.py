"""One look for all figures: colour-blind safe, readable in grey, at half size too."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pulse1d.errors import InputError, Problem

COLOURS = ("#0072B2", "#E69F00", "#009E73", "#CC79A7", "#56B4E9", "#D55E00")
"""Okabe & Ito's colour-blind-safe set, from memory."""
HATCHES = ("", "///", "...", "xxx", "---", "ooo")
DASHES = ("-", "--", "-.", ":", (0, (5, 1)), (0, (3, 1, 1, 1)))
MARKS = ("o", "s", "^", "D", "v", "P")
SUFFIXES = (".png", ".svg", ".pdf")
WIDE = 8.0
"""Width of a picture of its own [in]."""
NARROW = 4.2
"""Width for a telephone: the same figure, larger in proportion to its text [in]."""
PALE = 0.3
"""Opacity of what stands behind something else."""
DPI = 150
UNDATED = {".png": {"Software": None}, ".svg": {"Date": None}, ".pdf": {"CreationDate": None}}
"""What would differ from one run or machine to the next."""

SETTINGS: Any = {
    "font.size": 11,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.prop_cycle": f"cycler('color', {list(COLOURS)})",
    "grid.color": "black",
    "grid.alpha": 0.12,
    "legend.frameon": False,
    "svg.fonttype": "none",
    "svg.hashsalt": "pulse1d",
    "pdf.fonttype": 42,
    "hatch.linewidth": 0.6,
}


@contextmanager
def styled() -> Iterator[None]:
    """The family's settings over matplotlib's own, whatever the user's are.

    Returns
    -------
    context : context manager   [-]
    """
    from matplotlib import style

    with style.context(["default", SETTINGS]):
        yield


def write(figure: Any, path: Path) -> Path:
    """Save a figure; the same figure gives the same bytes.

    Parameters
    ----------
    figure : matplotlib Figure   [-]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    path : Path   [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    suffix = drawing_path(path).suffix.lower()
    with styled():
        figure.savefig(path, dpi=DPI, metadata=UNDATED[suffix])
    return path


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
