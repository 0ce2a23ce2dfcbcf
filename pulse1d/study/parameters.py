"""Parameters and linked values of a study, laid on its base case."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from pulse1d.case.document import Document, Place, listed, nearest
from pulse1d.case.problems import LIMITS
from pulse1d.case.schema import Case
from pulse1d.errors import Problem, UnitError
from pulse1d.study.axes import Axis, Value
from pulse1d.study.change import changed, tree_of
from pulse1d.study.leaf import DIFFERENCE, dimension_of, read, shown, unit_of
from pulse1d.study.paths import PathError, Spot, spots_of
from pulse1d.study.spec import Link, Parameter
from pulse1d.study.targets import Target, assigned


class Refused(Exception):
    """What is wrong with one part of a study."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def refused(document: Document, place: Place, said: str | Exception) -> Refused:
    """A refusal with file and line.

    Parameters
    ----------
    document : Document   Of the study [-]
    place : tuple   [-]
    said : str or Exception   Message and remedy, parted by "; " [-]
    Returns
    -------
    refused : Refused   To be raised [-]
    """
    message, _, remedy = str(said).partition("; ")
    return Refused(document.problem(place, message, remedy or "correct this value"))


def read_parameter(
    document: Document, case: Case, name: str, spec: Parameter
) -> tuple[Axis, Target]:
    """A parameter as an axis, and its places in the base case.

    Parameters
    ----------
    document : Document   Of the study [-]
    case : Case   The base [-]
    name : str   Of the parameter [-]
    spec : Parameter   [as written]
    Returns
    -------
    axis, target : Axis, Target   [SI]
    Errors      Refused for a path that leads nowhere, a unit of another kind, an empty range, a
                value that the case cannot have there.
    """
    place: Place = ("parameters", name)
    spots, dimension = _placed(document, case, place, spec.path, spec.sets)
    kind = scale(dimension, spec.sets)
    key = "range" if spec.range else "values" if spec.values else "choices"
    raws = spec.range or spec.listed
    values: list[Value] = []
    for i, raw in enumerate(raws):
        try:
            values.append(read(raw, kind))
        except UnitError as error:
            raise refused(document, (*place, key, i), error) from error
    unit = unit_of(raws[0], kind)
    target = Target(name, spots, dimension, spec.sets, name)
    for i, value in enumerate(values):
        if value in values[:i] and not spec.range:
            raise refused(document, (*place, key, i), f"{raws[i]!r} stands twice; delete one")
        impossible = _impossible(case, target, value, unit)
        if impossible:
            raise refused(document, (*place, key, i), impossible)
    numbers = [value for value in values if not isinstance(value, str)]
    if not spec.range:
        low, high = (min(numbers), max(numbers)) if len(numbers) == len(values) else (0.0, 0.0)
        return Axis(name, unit, low, high, tuple(values), tuple(map(str, raws))), target
    if len(numbers) < 2 or dimension == "count":
        what = "text" if dimension == "text" else "a whole number"
        message = f"{spots[0].spoken} is {what}, which has no range; list what it may be: choices"
        raise refused(document, (*place, key), message)
    low, high = numbers
    if not low < high:
        message = f"the range from {raws[0]} to {raws[1]} is empty; write the lower end first"
        raise refused(document, (*place, key), message)
    return Axis(name, unit, low, high, steps=spec.steps), target


def read_link(
    document: Document, case: Case, name: str, spec: Link, followed: Mapping[str, Target]
) -> Target:
    """A linked value with its places in the base case.

    Parameters
    ----------
    document : Document   Of the study [-]
    case : Case   The base [-]
    name : str   Of the linked value [-]
    spec : Link   [as written]
    followed : mapping   Parameters by name [-]
    Returns
    -------
    target : Target   [SI]
    Errors      Refused for a path that leads nowhere, a parameter that is not there or of another
                kind, a unit of another kind.
    """
    place: Place = ("linked", name)
    spots, dimension = _placed(document, case, place, spec.path, spec.sets)
    source = followed.get(spec.from_)
    if source is None:
        near = nearest(spec.from_, followed)
        remedy = f"did you mean {near!r}?" if near else f"there is {listed(followed)}"
        message = f"no parameter is called {spec.from_!r}"
        raise refused(document, (*place, "from"), f"{message}; {remedy}")
    own, other = scale(dimension, spec.sets), scale(source.dimension, source.sets)
    if own != other:
        message = f"{spots[0].spoken} takes values of {own}, and {spec.from_!r} gives {other}"
        raise refused(document, (*place, "from"), f"{message}; let it follow another parameter")
    if own == "text" and spec.model_fields_set & {"factor", "plus"}:
        raise refused(document, place, "a text has no factor and no plus; delete them")
    try:
        plus = 0.0 if spec.plus == 0 else float(read(spec.plus, DIFFERENCE.get(own, own)))
    except UnitError as error:
        raise refused(document, (*place, "plus"), error) from error
    return Target(name, spots, dimension, spec.sets, spec.from_, spec.factor, plus)


def scale(dimension: str, sets: str) -> str:
    """Dimension of the number that a study states.

    Parameters
    ----------
    dimension : str   Of what the case has [-]
    sets : str   value, change or factor [-]
    Returns
    -------
    dimension : str   [-]
    """
    if sets == "factor":
        return "ratio"
    return DIFFERENCE.get(dimension, dimension) if sets == "change" else dimension


def _placed(
    document: Document, case: Case, place: Place, paths: tuple[str, ...], sets: str
) -> tuple[tuple[Spot, ...], str]:
    """Places of some paths, and the one dimension that they have."""
    spots: list[Spot] = []
    for i, path in enumerate(paths):
        where: Place = (*place, "path", i)
        try:
            found = spots_of(case, path)
        except PathError as error:
            raise refused(document, where, error) from error
        kinds = {dimension_of(spot) for spot in (*spots, *found)}
        if "" in kinds:
            message = f"{found[0].spoken} cannot be varied; name a key with a quantity or a text"
            raise refused(document, where, message)
        if len(kinds) > 1:
            message = f"these paths lead to values of different kinds: {listed(sorted(kinds))}"
            raise refused(document, where, f"{message}; make two parameters of them")
        for spot in found:
            if spot.place in [one.place for one in spots]:
                raise refused(document, where, f"{spot.spoken} is named twice; name it once")
            if sets != "value" and not isinstance(spot.value, int | float):
                message = f"the base has no number at {spot.spoken} to change"
                raise refused(document, where, f"{message}; state one there, or let it set a value")
        spots += found
    return tuple(spots), dimension_of(spots[0])


def _impossible(case: Case, target: Target, value: Value, unit: str) -> str:
    """Why the case cannot have a value by itself; empty where it can."""
    for spot in target.spots:
        one = Target(target.name, (spot,), target.dimension, target.sets, target.name)
        values: dict[Any, Any] = assigned((one,), {target.name: value})
        try:
            changed(case, tree_of(values))
        except ValidationError as error:
            for item in error.errors(include_url=False):
                if item["type"] in LIMITS and not isinstance(values[spot.place], str):
                    key, words = LIMITS[item["type"]]
                    limit = float(item["ctx"][key])
                    would = shown(values[spot.place], unit, target.dimension)
                    bound = shown(limit, unit, target.dimension)
                    return f"{spot.spoken} would be {would}; it must be {words} {bound}"
                if isinstance(value, str) and item["loc"]:
                    return f"{spot.spoken} cannot be {value!r}: {_told(item)}"
    return ""


def _told(item: Any) -> str:
    error = item.get("ctx", {}).get("error")
    if error is not None:
        return str(error)
    return str(item["msg"]).replace("Input should be", "it must be")
