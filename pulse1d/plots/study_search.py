"""The pictures of a search: its front, and all its designs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

from pulse1d.plots.study_choice import MOST_ANSWERS
from pulse1d.plots.study_files import TITLES, Pictures, draw_all
from pulse1d.plots.study_front import front_figure
from pulse1d.plots.study_parallel import parallel_figure
from pulse1d.study.aims import Aim
from pulse1d.study.answers import answer_infos
from pulse1d.study.columns import answer_columns, parameter_columns
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome


def draw_search(
    study: LoadedStudy,
    outcomes: Sequence[Outcome],
    aims: Sequence[Aim],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
    path: Path,
) -> list[Path]:
    """Draw a search: ``FILE`` the front, ``FILE-parallel`` all parameters and aims.

    Parameters
    ----------
    study, outcomes, aims, front, called : as in ``search_pictures`` [SI]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    return draw_all(search_pictures(study, outcomes, aims, front, called), path)


def search_figures(
    study: LoadedStudy,
    outcomes: Sequence[Outcome],
    aims: Sequence[Aim],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
) -> list[tuple[str, Callable[..., Any]]]:
    """What ``draw_search`` draws, to be made at any width.

    Parameters
    ----------
    study, outcomes, aims, front, called : as in ``search_pictures`` [SI]
    Returns
    -------
    figures : list of (title, function of ``width``)   [-]
    """
    pictures = search_pictures(study, outcomes, aims, front, called)
    return [(TITLES[end or "front"], make) for end, make in pictures.items()]


def search_pictures(
    study: LoadedStudy,
    outcomes: Sequence[Outcome],
    aims: Sequence[Aim],
    front: Sequence[int],
    called: Sequence[tuple[str, int]],
) -> Pictures:
    """The figures of a search.

    Parameters
    ----------
    study : LoadedStudy   [-]
    outcomes : sequence of Outcome   [SI]
    aims : sequence of Aim   [SI]
    front : sequence of int   Rows of the outcomes [-]
    called : sequence of (name, row)   Designs marked by name [-]
    Returns
    -------
    pictures : dict   [-]
    """
    infos = {info.name: info for info in answer_infos(study)}
    names = dict.fromkeys(aim.answer for aim in aims)
    shown = answer_columns([infos[name] for name in names], [one.answers for one in outcomes])
    columns = parameter_columns(study, [one.point for one in outcomes])
    about = f"{study.name}: search around {study.base.name}"
    up = [c for c in shown if c.name in {aim.answer for aim in aims if aim.open}]
    pairs = [(up[0], other) for other in up[1:]]
    pairs += list(pairwise(up[1:])) if len(up) == MOST_ANSWERS else []
    return {
        "": partial(front_figure, about, pairs or [(columns[0], up[0])], front, called),
        "parallel": partial(parallel_figure, about, [*columns, *shown], front, called),
    }
