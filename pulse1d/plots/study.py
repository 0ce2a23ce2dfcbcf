"""The pictures of a study's designs: responses, map, parallel coordinates, front."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.plots.study_choice import MOST_ANSWERS, on_a_grid, one_by_one
from pulse1d.plots.study_files import TITLES, Pictures, draw_all
from pulse1d.plots.study_front import front_figure
from pulse1d.plots.study_parallel import parallel_figure
from pulse1d.study.aims import aims_of, costs
from pulse1d.study.answer_names import AnswerInfo
from pulse1d.study.answers import answer_infos, answer_name
from pulse1d.study.axes import Point
from pulse1d.study.columns import answer_columns, parameter_columns, start_of
from pulse1d.study.front import front_of, knee_of
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome

Answers = Sequence[Mapping[str, float]]


def draw_study(
    study: LoadedStudy, points: Sequence[Point], answers: Answers, path: Path
) -> list[Path]:
    """Draw the designs of a sweep.

    ``FILE`` has the answers against the parameters: curves on a grid, else a panel for each
    parameter; ``FILE-map`` contours over two parameters, on a grid; ``FILE-parallel`` all
    parameters and answers; ``FILE-front`` the objectives against each other.

    Parameters
    ----------
    study, points, answers : as in ``study_pictures`` [SI]
    path : Path   .png, .svg or .pdf [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    return draw_all(study_pictures(study, points, answers), path)


def study_figures(
    study: LoadedStudy, points: Sequence[Point], answers: Answers
) -> list[tuple[str, Callable[..., Any]]]:
    """What ``draw_study`` draws, to be made at any width.

    Parameters
    ----------
    study, points, answers : as in ``study_pictures`` [SI]
    Returns
    -------
    figures : list of (title, function of ``width``)   [-]
    """
    pictures = study_pictures(study, points, answers)
    return [(TITLES[end], make) for end, make in pictures.items()]


def study_pictures(study: LoadedStudy, points: Sequence[Point], answers: Answers) -> Pictures:
    """The figures of a sweep.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of Point   [SI]
    answers : sequence of mapping   Of each point; missing ones left out or not a number [SI]
    Returns
    -------
    pictures : dict   [-]
    """
    infos = wanted_infos(study)
    shown = answer_columns(infos, answers)
    columns = parameter_columns(study, points)
    start = start_of(study)
    base = next((k for k, point in enumerate(points) if point == start), None)
    about = f"{study.name}, around {study.base.name}"
    if study.spec.plan.kind == "grid":
        found = on_a_grid(study, answers, columns, shown[:MOST_ANSWERS], about)
    else:
        found = {"": one_by_one(study, columns, shown[:MOST_ANSWERS], about, base)}
    opens = [o for o in study.spec.objectives if o.aim in ("most", "least")]
    aims = aims_of(study) if opens else ()
    outcomes = [
        Outcome("", point, {name: x for name, x in own.items() if np.isfinite(x)})
        for point, own in zip(points, answers, strict=True)
    ]
    wanted, missed = costs(aims, outcomes)
    front = front_of(wanted, missed) if aims else ()
    called = [("base", base)] if base is not None else []
    if len(front) > 1 and len(opens) > 1:
        called.append(("knee", front[knee_of(wanted[list(front)])]))
    found["parallel"] = partial(
        parallel_figure, f"{study.name}: all designs", [*columns, *shown], front, called
    )
    up = [c for c in shown if c.name in {answer_name(o) for o in opens}]
    if len(up) > 1:
        pairs = [(up[0], other) for other in up[1:]]
        found["front"] = partial(
            front_figure, f"{study.name}: front of the sweep", pairs, front, called
        )
    return found


def wanted_infos(study: LoadedStudy) -> list[AnswerInfo]:
    """The answers that pictures show: those of the objectives, or the first.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    infos : list of AnswerInfo   Each once [-]
    """
    infos = {info.name: info for info in answer_infos(study)}
    asked = dict.fromkeys(answer_name(one) for one in study.spec.objectives)
    return [infos[name] for name in asked or list(infos)[:MOST_ANSWERS]]
