"""The pictures of ``pulse1d sweep``."""

from __future__ import annotations

from pathlib import Path

from pulse1d.cli.progress import Progress
from pulse1d.cli.telling import told
from pulse1d.study.ranking import answers_of
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

    with Progress("drawing"):
        drawn = draw_study(swept.study, swept.plan.points, answers_of(swept), plot)
    told("drawn", drawn)
