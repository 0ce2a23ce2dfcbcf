"""A sketch of the part to scale: centre lines and widths, from the side that shows most."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.case.shown import Shown
from pulse1d.plots.labels import label_points
from pulse1d.plots.look import LEAST, NOTE, canvas, fold, is_narrow, legend, place, title
from pulse1d.plots.placed import placed
from pulse1d.plots.plan_legs import LABELS, draw_joints, draw_leg, draw_port, port_names
from pulse1d.plots.style import WIDE, styled
from pulse1d.plots.views import best_views, silhouette

Array = NDArray[np.float64]
LINE, MARGIN = 0.17, 0.3
"""A line of notes, and room around a view [in]."""
RULES = (1.0, 2.0, 5.0)
"""First digits of the rule's length."""


def plan_figure(
    design: Design,
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Two views of the part on one scale, the second turned about the axis across.

    Parameters
    ----------
    design : Design   [SI]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    part = placed(design)
    views = best_views(part)
    outlines = [[silhouette(leg, view) for leg in part.legs] for view in views]
    boxes = [_box(own) for own in outlines]
    tall = [float(high[1] - low[1]) for low, high in boxes]
    room = 5.0 if is_narrow(width) else 6.5
    reach = float(boxes[0][1][0] - boxes[0][0][0])
    names = max(len(leg.name) - len("runner ") for leg in part.legs if leg.is_runner)
    lie = views[0].across == 2  # ways start at the left, their ports' names before them
    pad = 0.1 + NOTE / 72.0 * 0.65 * names if lie else MARGIN
    inch = max(reach / (width - MARGIN - pad - 0.2), sum(tall) / room)
    spare = 0.5 * (width - MARGIN - pad - 0.2 - reach / inch)
    left = float(boxes[0][0][0]) - (pad + spare) * inch
    scale = shown.of_length(1.0)
    called = [port_names(part, view, inch) for view in views]
    above = [LINE * max(name.count("\n") for name in own.values()) for own in called]
    with styled():
        figure = canvas(width, 1.0)
        axes = figure.subplots()
        y, lines, joints = 0.0, [], []
        for n, view in enumerate(views):
            axes.text(scale * left, scale * (y - LINE * inch), fold(view.name, width - 0.2, NOTE),
                      fontsize=NOTE, va="bottom")  # fmt: skip
            about = scale * np.array([left, left + 0.8 * (width - 0.2) * inch])
            lines.append((about, np.full(2, scale * (y - 0.6 * LINE * inch))))
            y -= (LINE + MARGIN + above[n]) * inch
            shift = np.array([0.0, y - boxes[n][1][1]])
            for leg, outline in zip(part.legs, outlines[n], strict=True):
                lines.append(draw_leg(axes, leg, outline, view, shift, scale))
                if leg.is_runner:
                    lines.append(draw_port(axes, leg, called[n], view, shift, inch, scale))
            met = draw_joints(axes, part, view, shift, scale)
            joints += [] if n else met
            y -= tall[n] + MARGIN * inch
        _rule(axes, float(boxes[0][0][0]), y, inch, shown)
        y -= 0.8 * LINE * inch
        for note in part.notes:
            said = fold(note, width - 0.3, NOTE)
            axes.text(scale * left, scale * y, said, fontsize=NOTE, va="top")
            y -= LINE * inch * (said.count("\n") + 1)
        axes.set_xlim(scale * left, scale * (left + (width - 0.2) * inch))
        axes.set_ylim(scale * (y - 0.05 * inch), 0.0)
        axes.set_aspect("equal", anchor="NW")
        axes.set_axis_off()
        label_points(axes, joints, lines, (width - 0.2, -y / inch + 0.05))
        rows = title(figure, f"{design.name}: sketch to scale, without the wall")
        below = legend(figure, [axes], order=LABELS)
        place(figure, axes, 0.05 - y / inch, (0.1, 0.1), 0.0, (rows, below))
    return figure


def _rule(axes: Any, x: float, y: float, inch: float, shown: Shown) -> None:
    """A rule of a round length, of an inch and a half at the most."""
    most = shown.of_length(1.5 * inch)
    power = 10.0 ** np.floor(np.log10(most))
    length = power * max(r for r in RULES if r * power <= most)
    x, y = shown.of_length(x), shown.of_length(y)
    tick = shown.of_length(0.05 * inch)
    axes.plot([x, x, x, x + length, x + length, x + length],
              [y + tick, y - tick, y, y, y + tick, y - tick], color="black", lw=1.4)  # fmt: skip
    axes.text(x + length + tick, y, f" {length:g} {shown.length}", fontsize=LEAST, va="center")


def _box(outlines: list[Any]) -> tuple[Array, Array]:
    bounds = np.array([outline.bounds for outline in outlines])
    return bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)
