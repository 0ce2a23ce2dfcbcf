"""The design at a point of a study, and whether the study allows the point."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from pulse1d.case.design import OF_WHOLE_CASE, Design, station_problems
from pulse1d.case.document import shown
from pulse1d.case.duct_pieces import duct_problems
from pulse1d.case.engine_head import lift_problems
from pulse1d.case.problems import validate
from pulse1d.case.schema import Case
from pulse1d.errors import InputError, Problem
from pulse1d.network.network import PieceErrors
from pulse1d.study.axes import Point, Value
from pulse1d.study.change import changed, rewritten, tree_of
from pulse1d.study.constraints import Limit, Room
from pulse1d.study.leaf import written
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.paths import SpecPlace, value_at
from pulse1d.study.targets import assigned, dimensions

CHECKED_TOPS = ("head", "engine")
"""Keys whose numbers are also checked against those of other keys."""
READ_ANEW = "surface"
"""Key whose numbers decide what else its name brings."""


def design_at(study: LoadedStudy, point: Point, *, built: bool = True) -> Design:
    """The base case with a point's values in their places, its network built.

    It is what a case file with these values would load to. Constraints are not looked at.

    Parameters
    ----------
    study : LoadedStudy   [-]
    point : Point   A value for each parameter [SI]
    built : bool   Whether its network is built now, which finds what does not fit; else that is
        found by who builds it [-]
    Returns
    -------
    design : Design   [SI]
    Errors      InputError with every reason why it cannot be built; the file is the study's.
    """
    values = assigned(study.targets, point)
    try:
        design = Design(_case(study, values), study.base.path, study.base.document)
        if not built:
            return design
        _ = design.network
        problems = station_problems(design)
    except PieceErrors as error:
        problems = []
        for item in error.errors:
            message, _, remedy = str(item).partition("; ")
            problems.append(Problem(f"{item.leg}: {message}", remedy))
    except InputError as error:
        problems = list(error.problems)
    if problems:
        name = shown(study.path)
        raise InputError([Problem(one.message, one.remedy, name) for one in problems])
    return design


def why_not(study: LoadedStudy, point: Point) -> str:
    """Which constraint a point breaks.

    Parameters
    ----------
    study : LoadedStudy   [-]
    point : Point   A value for each parameter [SI]
    Returns
    -------
    reason : str   The first one, with its line; empty where the point is allowed [-]
    """
    values = assigned(study.targets, point)
    for rule in study.rules:
        if isinstance(rule, Limit) and rule.broken_by(point, values):
            return rule.reason
    rooms = [rule for rule in study.rules if isinstance(rule, Room)]
    if rooms:
        try:
            case = _case(study, values)
        except InputError:
            return ""  # told when the design is made
        for room in rooms:
            if room.broken_by(case):
                return room.reason
    return ""


def point_key(study: LoadedStudy, point: Point) -> str:
    """Hash of a point and of all that decides its answers.

    Parameters
    ----------
    study : LoadedStudy   [-]
    point : Point   A value for each parameter [SI]
    Returns
    -------
    key : str   64 hexadecimal digits [-]
    """
    plain = {name: v if isinstance(v, str) else float(v) for name, v in point.items()}
    text = study.key + json.dumps(plain, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def base_point(study: LoadedStudy) -> dict[str, Value | None]:
    """Where the base case stands among the parameters.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    point : dict   By parameter; None where its places differ in the base, or hold nothing [SI]
    """
    found: dict[str, Value | None] = {}
    for target in study.targets[: len(study.axes)]:
        if target.sets != "value":
            found[target.name] = 0.0 if target.sets == "change" else 1.0
            continue
        there = [_plain(value_at(study.base.case, spot.place)) for spot in target.spots]
        found[target.name] = there[0] if all(value == there[0] for value in there) else None
    return found


def _plain(value: Any) -> Value | None:
    if isinstance(value, str | int | float):
        return value if isinstance(value, str) else float(value)
    name = getattr(value, "name", None)
    return name if isinstance(name, str) else None


def _case(study: LoadedStudy, values: Mapping[SpecPlace, Any]) -> Case:
    """The base case with values put in.

    A text can make its surroundings another thing, as a roughness can make a named surface an own
    one; then all is read anew.
    """
    base = study.base
    if any(isinstance(value, str) for value in values.values()) or any(
        READ_ANEW in place[:-1] for place in values
    ):
        return _read_again(study, values)
    try:
        case = changed(base.case, tree_of(values))
    except ValidationError:
        return _read_again(study, values)  # raises it in an engineer's words
    if any(place[0] in CHECKED_TOPS for place in values):
        document = rewritten(base.document, base.case, _written(study, values))
        problems = [*lift_problems(document), *duct_problems(document)]
        if problems:
            raise InputError(problems)
    return case


def _read_again(study: LoadedStudy, values: Mapping[SpecPlace, Any]) -> Case:
    document = rewritten(study.base.document, study.base.case, _written(study, values))
    return validate(Case, document, checks=OF_WHOLE_CASE)


def _written(study: LoadedStudy, values: Mapping[SpecPlace, Any]) -> dict[SpecPlace, Any]:
    kinds = dimensions(study.targets)
    return {place: written(value, kinds[place]) for place, value in values.items()}
