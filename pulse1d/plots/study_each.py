"""Answers against each parameter: small panels, for designs that are not on a grid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.plots.look import NOTE, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, WIDE, plain, styled
from pulse1d.study.columns import Column

Rows = NDArray[np.int_]
ACROSS = 3
"""Panels beside each other; 2 on a telephone."""


def each_figure(
    about: str,
    parameters: Sequence[tuple[Column, Rows]],
    answers: Sequence[Column],
    joined: bool,
    base: int | None = None,
    *,
    width: float = WIDE,
) -> Any:
    """A panel for each answer and parameter; those of an answer share their scale.

    Parameters
    ----------
    about : str   Title [-]
    parameters : sequence of (parameter, rows)   And the designs that its panels show [as shown]
    answers : sequence of Column   [as shown]
    joined : bool   Whether a line joins the designs of a panel [-]
    base : int or None   Row of the base case, marked [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    across = min(2 if is_narrow(width) else ACROSS, len(parameters))
    down = -(-len(parameters) // across)
    with styled():
        figure = canvas(width, 1.0 + (2.1 if is_narrow(width) else 2.6) * down * len(answers))
        panels = figure.subplots(down * len(answers), across, squeeze=False)
        for k, answer in enumerate(answers):
            own = panels[k * down : (k + 1) * down]
            for axes in own.ravel()[1:]:
                axes.sharey(own[0, 0])
            for axes, (parameter, rows) in zip(own.ravel(), parameters, strict=False):
                draw_one(axes, parameter, answer, rows, joined, base)
                axes.set_xlabel(fold(parameter.title, width / across - 0.8, 11))
            for axes in own.ravel()[len(parameters) :]:
                axes.set_axis_off()
            for axes in own[:, 0]:
                axes.set_ylabel(fold(answer.title, 1.8, 11))
            for axes in own[:, 1:].ravel():
                axes.tick_params(labelleft=False)
        title(figure, about)
        legend(figure, panels[0, :1])
    return figure


def draw_one(
    axes: Any, parameter: Column, answer: Column, rows: Rows, joined: bool, base: int | None
) -> None:
    """One answer over one parameter.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    parameter, answer : Column   [as shown]
    rows : array of int   Designs that are shown [-]
    joined, base : as in ``each_figure`` [-]
    """
    order = rows[np.argsort(parameter.values[rows], kind="stable")]
    order = order[np.isfinite(answer.values[order])]
    axes.plot(
        parameter.values[order], answer.values[order], "o", color=COLOURS[0],
        ls="-" if joined else "", ms=4, mec="white", mew=0.4, label="design",
    )  # fmt: skip
    if base is not None:
        axes.plot(
            parameter.values[base], answer.values[base], "s", ms=9, mfc="none", mew=1.6,
            color="black", label="base",
        )  # fmt: skip
    if parameter.labels and len(parameter.labels) < 7:
        axes.set_xticks(parameter.rungs, [plain(text) for text in parameter.labels])
        axes.tick_params(axis="x", labelrotation=30, labelsize=NOTE)
    axes.margins(0.08)
