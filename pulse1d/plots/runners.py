"""Every runner rolled out to one scale, along and across: bore against developed length."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from typing import Any

from pulse1d.case.design import Design
from pulse1d.case.shown import Shown
from pulse1d.plots.look import LEAST, LETTER, PANEL, canvas, fold, legend, place, title
from pulse1d.plots.style import COLOURS, HATCHES, PALE, WIDE, plain, styled
from pulse1d.plots.unrolled import Stretch, Unrolled, unrolled

KINDS = {"straight": 4, "bend": 1, "taper": 2}
"""Colours of pieces; all others have one."""
OTHER = 3
OTHERS = "other piece"
PLACE = "bead, step or other loss at a place"
LINE = 0.15
"""A line of the smallest text [in]."""


def runners_figure(
    designs: Sequence[Design],
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Every port's way to the outlet: pieces told apart, bends with angles, joints by name.

    Parameters
    ----------
    designs : sequence of Design   [SI]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    ways = [[unrolled(d, port) for port in d.network.port_names] for d in designs]
    longest = shown.of_length(max(way.length for own in ways for way in own)) or 1.0
    names = {way.port: fold(f"port {way.port}", 0.2 * width, 11) for own in ways for way in own}
    letters = max(len(row) for name in names.values() for row in name.split("\n"))
    sides = 1.1 * LETTER * 11 / 72.0 * letters + 0.15, 0.12  # short names run wide
    inch = 1.03 * longest / (width - sum(sides))
    with styled():
        figure = canvas(width, 1.0)
        axes = figure.subplots()
        y, ticks = 0.0, []
        for k, (design, own) in enumerate(zip(designs, ways, strict=True)):
            name = fold(design.name, 0.92 * longest / inch, PANEL)
            y += (0.3 if k else 0.1) * inch + 0.18 * inch * (name.count("\n") + 1)
            axes.text(0.0, y, name, fontsize=PANEL, va="bottom", weight="bold", linespacing=1.0)
            for way in own:
                y, middle = draw_way(axes, way, y, inch, shown)
                ticks.append((middle, names[way.port]))
        axes.set_yticks([at for at, _ in ticks], [text for _, text in ticks])
        axes.set_xlim(-0.01 * longest, 1.02 * longest)
        axes.set_ylim(y, 0.0)
        axes.set_aspect("equal", anchor="NW")
        axes.grid(False, axis="y")
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        axes.set_xlabel(f"developed length from the port [{shown.length}]")
        pale = any(s.shared for own in ways for way in own for s in way.stretches)
        shared = "; paler: shared with other ports" if pale else ""
        above = title(figure, "Ways to the outlet rolled out, one scale along and across" + shared)
        kinds = {s.kind for own in ways for way in own for s in way.stretches if s.end > s.start}
        order = (*KINDS, OTHERS, "joint", PLACE)
        below = legend(figure, [axes], swatches(kinds), order)
        place(figure, axes, y / inch, sides, 0.5, (above, below))
    return figure


def draw_way(axes: Any, way: Unrolled, y: float, inch: float, shown: Shown) -> tuple[float, float]:
    """One port's way below a height: angles over it, joints' names under it.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    way : Unrolled   [SI]
    y : float   [as shown]
    inch : float   What an inch of the figure shows [as shown]
    shown : Shown   Units [-]
    Returns
    -------
    y, middle : float   Where the next begins; where its axis lies [as shown]
    """
    angles = [
        (shown.of_length(0.5 * (s.start + s.end)), f"{math.degrees(s.angle):.3g}°")
        for s in way.stretches
        if s.angle
    ]
    joints = [(shown.of_length(place), name) for name, place in way.joints]
    half, line = 0.5 * shown.of_length(way.height) + 0.2 * LINE * inch, LINE * inch
    over, under = levels(angles, inch), levels(joints, inch)
    y += line * (1 + max(over, default=0)) + half
    for (at, text), level in zip(angles, over, strict=True):
        axes.text(at, y - half - 0.8 * level * line, text, fontsize=LEAST, ha="center", va="bottom")
    for (at, text), level in zip(joints, under, strict=True):
        axes.plot([at, at], [y - half, y + half], color="black", lw=2.2, zorder=3, label="joint",
                  solid_capstyle="butt")  # fmt: skip
        axes.text(at, y + half + 0.8 * level * line, plain(text), fontsize=LEAST, ha="center",
                  va="top")  # fmt: skip
    for piece in way.stretches:
        if piece.end > piece.start:
            _outline(axes, piece, y, shown)
            continue
        at, tall = shown.of_length(piece.start), 0.5 * shown.of_length(max(piece.sizes(1)))
        axes.plot([at, at], [y - tall, y + tall], ls="", marker="d", ms=4, color="black", zorder=4,
                  label=PLACE)  # fmt: skip
    return y + half + line * (1.1 + max(under, default=0)), y


def levels(labels: Sequence[tuple[float, str]], inch: float) -> list[int]:
    """On which line each label stands, so that none lies on another.

    Parameters
    ----------
    labels : sequence of (middle, text)   Rising [as shown]
    inch : float   What an inch of the figure shows [as shown]
    Returns
    -------
    levels : list of int   From 0 [-]
    """
    ends: list[float] = []
    found = []
    for at, text in labels:
        half = 0.5 * LETTER * LEAST / 72.0 * (len(text) + 1) * inch
        level = next((n for n, end in enumerate(ends) if end < at - half), len(ends))
        ends[level : level + 1] = [at + half]
        found.append(level)
    return found


def look(kind: str, opacity: float) -> dict[str, Any]:
    """Colour and hatch of a kind of piece.

    Parameters
    ----------
    kind : str   [-]
    opacity : float   0 .. 1 [-]
    Returns
    -------
    look : dict   Of a matplotlib patch [-]
    """
    from matplotlib.colors import to_rgba

    return {
        "facecolor": to_rgba(COLOURS[KINDS.get(kind, OTHER)], opacity),
        "hatch": HATCHES[1] if kind == "bend" else "",
        "edgecolor": "black",
        "linewidth": 0.8,
    }


def swatches(kinds: Collection[str]) -> list[Any]:
    """Samples of the kinds of pieces for a legend, those without a colour of their own together.

    Parameters
    ----------
    kinds : collection of str   That are drawn [-]
    Returns
    -------
    patches : list of matplotlib Patch   With labels [-]
    """
    from matplotlib.patches import Patch

    shown = [kind for kind in KINDS if kind in kinds] + [OTHERS] * bool(set(kinds) - set(KINDS))
    return [Patch(label=kind, **look(kind, 2.0 * PALE)) for kind in shown]


def _outline(axes: Any, piece: Stretch, y: float, shown: Shown) -> None:
    ends = [shown.of_length(x) for x in (piece.start, piece.end)]
    tall = [0.5 * shown.of_length(h) for h in piece.sizes(1)]
    axes.fill(
        [*ends, *ends[::-1]], [y - tall[0], y - tall[1], y + tall[1], y + tall[0]],
        zorder=2, **look(piece.kind, (0.5 if piece.shared else 2.0) * PALE),
    )  # fmt: skip
    if not piece.is_round:
        wide = [0.5 * shown.of_length(w) for w in piece.sizes(0)]
        for sign in (-1.0, 1.0):
            axes.plot(ends, [y + sign * w for w in wide], color="black", lw=0.9, ls=(0, (2, 2)),
                      label="width, where not round", zorder=3)  # fmt: skip
