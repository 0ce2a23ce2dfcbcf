"""The pictures of ``pulse1d sweep``."""

from __future__ import annotations

from pathlib import Path

import typer

from pulse1d.cli.sweep_text import column
from pulse1d.study.answers import answer_infos
from pulse1d.study.sweep import Swept


def draw(swept: Swept, plot: Path) -> None:
    """Draw the answers that the objectives are about and say so.

    Parameters
    ----------
    swept : Swept   That came to its end [SI]
    plot : Path   As in ``pulse1d.plots.study.draw_study`` [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    from pulse1d.plots.study import draw_study

    values = {info.name: column(swept, info) for info in answer_infos(swept.study)}
    answers = [
        {name: float(found[k]) for name, found in values.items()}
        for k in range(len(swept.plan.points))
    ]
    drawn = draw_study(swept.study, swept.plan.points, answers, plot)
    typer.echo(f"drawn: {', '.join(map(str, drawn))}", err=True)
