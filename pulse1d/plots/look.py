"""What every figure has in the same place: its title, its legend, its panels' titles."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from pulse1d.plots.style import NARROW, WIDE, plain

TITLE, PANEL, LEGEND, NOTE, LEAST = 12, 11, 10, 9, 8
"""Sizes of text: figure's and panel's title, legend, values in the figure, smallest [pt]."""
LETTER = 0.52
"""Width of a letter, of its size; titles have 0.48 on the average (DejaVu Sans) [-]."""
HANDLE = 5.0
"""Width of a legend's handle and gaps, of the text's size [-]."""


def is_narrow(width: float) -> bool:
    """Whether a figure is for a telephone.

    Parameters
    ----------
    width : float   [in]
    Returns
    -------
    narrow : bool   [-]
    """
    return width < 0.5 * (NARROW + WIDE)


def canvas(width: float, height: float) -> Any:
    """An empty figure that makes room for its labels by itself.

    Parameters
    ----------
    width, height : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    from matplotlib.figure import Figure

    return Figure(figsize=(width, height), layout="constrained")


def fold(text: str, width: float, size: float) -> str:
    """Text in lines that fit a width, as matplotlib prints it.

    Parameters
    ----------
    text : str   Lines kept apart [-]
    width, size : float   Width and size of the text [in], [pt]
    Returns
    -------
    text : str   Dollar signs escaped [-]
    """
    letters = max(int(72.0 * width / (LETTER * size)), 8)
    lines = [textwrap.wrap(line, letters) or [""] for line in text.split("\n")]
    return plain("\n".join(part for line in lines for part in line))


def title(figure: Any, text: str) -> int:
    """The figure's title, above all at the left.

    Parameters
    ----------
    figure : matplotlib Figure   [-]
    text : str   [-]
    Returns
    -------
    lines : int   Of text [-]
    """
    width = figure.get_figwidth()
    folded = fold(text, width - 0.25, TITLE)
    figure.suptitle(folded, x=0.08 / width, ha="left", fontsize=TITLE)
    return folded.count("\n") + 1


def legend(
    figure: Any, panels: Sequence[Any], more: Sequence[Any] = (), order: Sequence[str] = ()
) -> int:
    """One legend for all panels, below all at the left; nothing if nothing has a label.

    Parameters
    ----------
    figure : matplotlib Figure   [-]
    panels : sequence of matplotlib Axes   [-]
    more : sequence of matplotlib artists   With labels, behind those of the panels [-]
    order : sequence of str   Labels that come first, those that are there [-]
    Returns
    -------
    lines : int   Of text, one below the other [-]
    """
    found: dict[str, Any] = {}
    for axes in panels:
        for handle, label in zip(*axes.get_legend_handles_labels(), strict=True):
            found.setdefault(label, handle)
    found |= {artist.get_label(): artist for artist in more}
    if not found:
        return 0
    found = {label: found[label] for label in dict.fromkeys((*order, *found)) if label in found}
    width, em = figure.get_figwidth() - 0.2, LEGEND / 72.0
    labels = [fold(label.replace(r"\$", "$"), width - HANDLE * em, LEGEND) for label in found]
    longest = max(len(line) for label in labels for line in label.split("\n"))
    columns = min(max(int(width / (em * (HANDLE + LETTER * longest))), 1), len(found))
    figure.legend(
        list(found.values()), labels, loc="outside lower left", fontsize=LEGEND,
        ncols=columns,
    )  # fmt: skip
    return -(-len(found) // columns) * max(label.count("\n") + 1 for label in labels)


def place(
    figure: Any, axes: Any, tall: float, sides: tuple[float, float], below: float,
    lines: tuple[int, int],
) -> None:  # fmt: skip
    """Axes of a size in inches, for what is drawn to scale; the figure grows to hold them.

    Parameters
    ----------
    figure, axes : matplotlib Figure and Axes   With title and legend [-]
    tall : float   Height of the axes [in]
    sides : (2,) tuple   Room left and right of them [in]
    below : float   Room for their own labels [in]
    lines : (2,) tuple   Lines of the title and of the legend, as those tell [-]
    """
    above = 0.15 + 1.2 * TITLE / 72.0 * lines[0]
    below += 0.15 + 1.5 * LEGEND / 72.0 * lines[1]
    width, height = figure.get_figwidth(), above + tall + below
    figure.set_layout_engine("none")
    figure.set_figheight(height)
    figure._suptitle.set(y=1.0 - 0.06 / height, verticalalignment="top")
    axes.set_position([sides[0] / width, below / height, 1.0 - sum(sides) / width, tall / height])


def unit(text: str) -> str:
    """A unit as it is printed, powers raised.

    Parameters
    ----------
    text : str   Such as "m^3/h" [-]
    Returns
    -------
    text : str   Such as "m³/h" [-]
    """
    return text.replace("^2", "²").replace("^3", "³")
