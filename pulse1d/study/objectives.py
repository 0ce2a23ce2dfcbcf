"""Is every objective of a study an answer that it computes?"""

from __future__ import annotations

from pulse1d import units
from pulse1d.case.document import Place, listed, nearest
from pulse1d.errors import Problem, UnitError
from pulse1d.study.answers import answer_infos, range_fault
from pulse1d.study.loaded import LoadedStudy

DIMENSION = {
    "m3/s": "volume flow", "1": "ratio", "kg": "mass", "N m": "torque", "Pa": "pressure",
}  # fmt: skip
"""Of the answers' SI units; speeds of the engine, in 1/s, are read here."""


def objective_problems(study: LoadedStudy) -> list[Problem]:
    """Objectives that nobody computes, and limits of another unit.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    problems : list of Problem   [-]
    """
    infos = {info.name: info for info in answer_infos(study)}
    problems = []
    for index, objective in enumerate(study.spec.objectives):
        place: Place = ("objectives", index)
        info = infos.get(objective.answer)
        if info is None:
            near = nearest(objective.answer, infos)
            remedy = f"did you mean {near!r}? " if near else ""
            message = f"nobody computes {objective.answer!r} in this study"
            remedy += f"there is {listed(infos)}"
            problems.append(study.document.problem((*place, "answer"), message, remedy))
            continue
        message, remedy = range_fault(study, objective)
        if message:
            key = "from" if objective.from_ is not None else "to"
            problems.append(study.document.problem((*place, key), message, remedy))
        if objective.limit is not None:
            try:
                limit_in(objective.limit, info.unit)
            except UnitError as error:
                message, _, remedy = str(error).partition("; ")
                problems.append(study.document.problem((*place, "limit"), message, remedy))
    return problems


def limit_in(raw: int | float | str, unit: str) -> float:
    """The limit of an objective in SI.

    Parameters
    ----------
    raw : int, float or str   As the study has it [as written]
    unit : str   SI unit of the answer [-]
    Returns
    -------
    limit : float   [SI]
    Errors      UnitError for a unit of another kind, or none.
    """
    text = str(raw).strip()
    if unit == "1/s":
        number = units.NUMBER.match(text)
        if number is None or number[2] not in ("rpm", "rev/min", "1/min"):
            raise UnitError(f"{text!r} is no speed of an engine; write it like 500 rev/min")
        return float(number[1]) / 60.0
    return units.parse(text.replace("N m", "N*m"), DIMENSION[unit])
