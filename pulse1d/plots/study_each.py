"""Answers against each parameter: small panels, for designs that are not on a grid."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pulse1d.plots.style import COLOURS, SETTINGS, drawing_path, plain
from pulse1d.study.columns import Column

Rows = NDArray[np.int_]


def draw_each(
    title: str,
    parameters: Sequence[tuple[Column, Rows]],
    answers: Sequence[Column],
    joined: bool,
    path: Path,
    base: int | None = None,
) -> None:
    """Draw a panel for each answer and parameter; answers of a row share their scale.

    Parameters
    ----------
    title : str   [-]
    parameters : sequence of (parameter, rows)   And the designs that its panels show [as shown]
    answers : sequence of Column   [as shown]
    joined : bool   Whether a line joins the designs of a panel [-]
    path : Path   .png, .svg or .pdf [-]
    base : int or None   Row of the base case, marked [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        size = (max(5.0, 1.0 + 2.3 * len(parameters)), 1.0 + 2.4 * len(answers))
        figure = Figure(figsize=size, layout="constrained")
        panels = figure.subplots(
            len(answers), len(parameters), sharex="col", sharey="row", squeeze=False
        )
        for k, answer in enumerate(answers):
            for j, (parameter, rows) in enumerate(parameters):
                axes = panels[k, j]
                order = rows[np.argsort(parameter.values[rows], kind="stable")]
                order = order[np.isfinite(answer.values[order])]
                axes.plot(
                    parameter.values[order], answer.values[order], "o", color=COLOURS[0],
                    ls="-" if joined else "", ms=4, mec="white", mew=0.4,
                )  # fmt: skip
                if base is not None:
                    axes.plot(
                        parameter.values[base], answer.values[base], "s", ms=9, mfc="none",
                        mew=1.6, color="black", label="base",
                    )  # fmt: skip
                if parameter.labels and len(parameter.labels) < 7:
                    axes.set_xticks(parameter.rungs, [plain(text) for text in parameter.labels])
                    axes.tick_params(axis="x", labelrotation=30)
                axes.margins(0.08)
                panels[-1, j].set_xlabel(plain(parameter.title))
            panels[k, 0].set_ylabel(plain(answer.title))
        handles, labels = panels[0, 0].get_legend_handles_labels()
        if labels:
            figure.legend(handles, labels, loc="outside lower left", fontsize=10)
        figure.suptitle(plain(title), x=0.01, ha="left", fontsize=12)
        figure.savefig(path, dpi=150)
