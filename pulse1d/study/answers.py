"""The answers of a study's designs: bench, running engine, mass."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from pulse1d.case.design import Design
from pulse1d.errors import ConvergenceError
from pulse1d.run.cycle_summary import summarise
from pulse1d.run.mass import part_mass
from pulse1d.run.sweep_speeds import run_speeds
from pulse1d.study.answer_names import (
    AnswerInfo,
    bench_infos,
    cycle_infos,
    mass_infos,
    over_info,
)
from pulse1d.study.bench_answers import Found, bench_bands, bench_plain
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.over_speeds import OVER, PER_SPEED, at_speed, over_speeds, within
from pulse1d.study.spec import Objective


def answer_infos(study: LoadedStudy) -> tuple[AnswerInfo, ...]:
    """Every answer of a study's designs, ranges of speed that its objectives name included.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    infos : tuple of AnswerInfo   [-]
    """
    compute = study.spec.compute
    infos: list[AnswerInfo] = []
    if compute.bench is not None:
        infos += bench_infos(study.base.network.port_names, compute.bench.bands)
    if compute.cycle is not None:
        infos += cycle_infos(_speeds(study))
        infos += [
            over_info(name, called, called.partition(", ")[2])
            for called, (name, *_) in ranges(study).items()
        ]
    return (*infos, *mass_infos(study.base))


def answers_of(study: LoadedStudy, design: Design) -> dict[str, float]:
    """The answers of one design.

    Parameters
    ----------
    study : LoadedStudy   What is asked [-]
    design : Design   [-]
    Returns
    -------
    answers : dict   By name of ``answer_infos`` [SI]
    Errors      ConvergenceError where an answer is missing, with the reason; InputError where the
        case lacks what is asked of it.
    """
    [(answers, failure)] = answered(study, [design])
    if failure:
        raise ConvergenceError(failure)
    return answers | ranged(study, answers)


def answered(study: LoadedStudy, designs: Sequence[Design]) -> list[Found]:
    """What the journal keeps of designs: all answers but those over an objective's own speeds.

    Parameters
    ----------
    study : LoadedStudy   [-]
    designs : sequence of Design   [-]
    Returns
    -------
    found : list of (answers, reason)   Answers that stand, and why others are missing [SI, -]
    Errors      InputError, WaveError or ValueError of a design that cannot be run.
    """
    compute = study.spec.compute
    parts: list[list[Found]] = []
    if compute.bench is not None:
        bands = compute.bench.bands
        parts.append([bench_bands(d) for d in designs] if bands else bench_plain(designs))
    if compute.cycle is not None:
        parts.append([cycle_answers(design, _speeds(study)) for design in designs])
    found = [joined([part[k] for part in parts]) for k in range(len(designs))]
    if not any(True for _ in mass_infos(study.base)):
        return found
    return [
        joined([one, ({"mass": part_mass(design)}, "")]) if one[0] else one  # it may not be a part
        for one, design in zip(found, designs, strict=True)
    ]


def joined(parts: Sequence[Found]) -> Found:
    """Several parts of a design's answers as one; what is no number counts as missing.

    Parameters
    ----------
    parts : sequence of (answers, reason)   [SI, -]
    Returns
    -------
    found : (answers, reason)   [SI, -]
    """
    answers = {name: value for found, _ in parts for name, value in found.items()}
    bad = [name for name, value in answers.items() if not math.isfinite(value)]
    reasons = [reason for _, reason in parts if reason]
    reasons += [f"{name} is not a number" for name in bad]
    return {n: v for n, v in answers.items() if n not in bad}, "; ".join(reasons)


def cycle_answers(design: Design, speeds: Sequence[float]) -> Found:
    """Answers of the running engine, speeds rising, walls handed on from one to the next.

    Parameters
    ----------
    design : Design   With an engine [-]
    speeds : sequence of float   Rising [rev/min]
    Returns
    -------
    found : (answers, reason)   A speed that did not repeat has none, and enters no mean [SI, -]
    Errors      InputError where the case lacks what an engine needs, WaveError where a march broke.
    """
    curves: dict[str, dict[float, float]] = {name: {} for name in PER_SPEED}
    reasons = []
    answers = run_speeds(design, [speed / 60.0 for speed in speeds])
    for speed, answer in zip(speeds, answers, strict=True):
        if not answer.converged:
            change = f"{100.0 * answer.changes[-1]:.2g} % a cycle"
            reasons.append(f"cycle: {speed:.6g} rev/min did not repeat ({change})")
            continue
        summary = summarise(design, answer)
        values = (
            summary.torque.brake, summary.volumetric_efficiency, summary.residual,
            summary.back_pressure,
        )  # fmt: skip
        for name, value in zip(PER_SPEED, values, strict=True):
            curves[name][speed] = float(value)
    each = {at_speed(name, n): value for name in PER_SPEED for n, value in curves[name].items()}
    return {**over_speeds(curves, speeds), **each}, "; ".join(reasons)


def ranged(study: LoadedStudy, answers: Mapping[str, float]) -> dict[str, float]:
    """Answers over the ranges of speed that the objectives name, from those of each speed.

    Parameters
    ----------
    study : LoadedStudy   [-]
    answers : mapping   Of one design [SI]
    Returns
    -------
    more : dict   [SI]
    """
    asked = ranges(study)
    if not asked:
        return {}
    speeds = _speeds(study)
    curves = {
        name: {n: answers[at_speed(name, n)] for n in speeds if at_speed(name, n) in answers}
        for name in PER_SPEED
    }
    more = {}
    for called, (name, first, last) in asked.items():
        found = over_speeds(curves, speeds, first, last)
        if name in found:
            more[called] = found[name]
    return more


def answer_name(objective: Objective) -> str:
    """The answer that an objective is about, its range of speeds included.

    Parameters
    ----------
    objective : Objective   [-]
    Returns
    -------
    name : str   A name of ``answer_infos`` [-]
    """
    if objective.answer in OVER:
        return within(objective.answer, objective.from_, objective.to)
    return objective.answer


def range_fault(study: LoadedStudy, objective: Objective) -> tuple[str, str]:
    """What is wrong with an objective's range of speeds.

    Parameters
    ----------
    study : LoadedStudy   [-]
    objective : Objective   [-]
    Returns
    -------
    message, remedy : str   Empty when nothing is [-]
    """
    if objective.from_ is None and objective.to is None:
        return "", ""
    if objective.answer not in OVER:
        several = ", ".join(OVER)
        return f"{objective.answer!r} has no range of speeds", f"only these have: {several}"
    speeds, low, high = _speeds(study), objective.from_ or 0.0, objective.to or math.inf
    if any(low <= speed <= high for speed in speeds):
        return "", ""
    run = ", ".join(f"{speed:.6g}" for speed in speeds)
    return "no speed of the study lies in this range", f"it runs {run} rev/min"


def ranges(study: LoadedStudy) -> dict[str, tuple[str, float | None, float | None]]:
    """The answers over a range of speeds that the objectives ask for, by their names.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    ranges : dict   Name with the range to (name of ``OVER``, first, last) [rev/min]
    """
    return {
        answer_name(one): (one.answer, one.from_, one.to)
        for one in study.spec.objectives
        if answer_name(one) != one.answer
    }


def _speeds(study: LoadedStudy) -> tuple[float, ...]:
    cycle = study.spec.compute.cycle
    return tuple(sorted(cycle.speeds)) if cycle is not None else ()
