"""Constraints of a study, laid on its base case."""

from __future__ import annotations

import math
from collections.abc import Mapping

from pulse1d.case.document import Document, Place, nearest
from pulse1d.case.schema import Case
from pulse1d.errors import UnitError
from pulse1d.study.constraints import Limit, Room, Rule, Term
from pulse1d.study.leaf import dimension_of, read
from pulse1d.study.parameters import refused, scale
from pulse1d.study.paths import PathError, spots_of
from pulse1d.study.room import stretches
from pulse1d.study.spec import Constraint
from pulse1d.study.targets import Target


def read_rule(
    document: Document, case: Case, index: int, spec: Constraint, targets: Mapping[str, Target]
) -> Rule:
    """One constraint.

    Parameters
    ----------
    document : Document   Of the study [-]
    case : Case   The base [-]
    index : int   Of the constraint in the file [-]
    spec : Constraint   [as written]
    targets : mapping   Parameters and linked values by name [-]
    Returns
    -------
    rule : Limit or Room   [SI]
    Errors      Refused for a name that is neither of these nor a path, a unit of another kind, sums
                that do not match, a lower limit above the upper one, a part without a place.
    """
    place: Place = ("constraints", index)
    line = document.mark(place)[1]
    if spec.box is not None:
        if next(iter(stretches(case)), None) is None:
            message = "the base case says of no port where it is; give its `position` in the head"
            raise refused(document, (*place, "box"), message)
        return Room(f"the box of line {line}", spec.box)
    assert spec.of is not None
    terms, dimension = _terms(document, case, (*place, "of"), spec.of, targets)
    rows = [[term] for term in terms]
    for i, name in enumerate(spec.plus or ()):
        where: Place = (*place, "plus", i)
        more, other = _terms(document, case, where, name, targets)
        if other != dimension:
            message = f"{name!r} is of {other}, and {spec.of!r} of {dimension}"
            raise refused(document, where, f"{message}; add up values of one kind")
        rows = rows * len(more) if len(rows) == 1 else rows
        if len(more) not in (1, len(rows)):
            message = f"{name!r} has {len(more)} places, {spec.of!r} has {len(rows)}"
            raise refused(document, where, f"{message}; name one place, or as many")
        rows = [[*row, more[k % len(more)]] for k, row in enumerate(rows)]
    least = _limit(document, (*place, "least"), spec.least, dimension, -math.inf)
    most = _limit(document, (*place, "most"), spec.most, dimension, math.inf)
    if least > most:
        message = f"least {spec.least} is above most {spec.most}; exchange them"
        raise refused(document, (*place, "least"), message)
    said = " + ".join((spec.of, *(spec.plus or ())))
    bounds = [f"{key} {raw}" for key, raw in (("least", spec.least), ("most", spec.most)) if raw]
    words = f"{' and '.join(bounds)} of {said}, line {line}"
    return Limit(words, least, most, tuple(tuple(row) for row in rows))


def _terms(
    document: Document, case: Case, place: Place, name: str, targets: Mapping[str, Target]
) -> tuple[list[Term], str]:
    target = targets.get(name)
    if target is not None:
        dimension = scale(target.dimension, target.sets)
        terms: list[Term] = [target]
    else:
        try:
            spots = spots_of(case, name)
        except PathError as error:
            near = nearest(name, targets) if "/" not in name else None
            said = f"no parameter is called {name!r}; did you mean {near!r}?" if near else error
            raise refused(document, place, said) from error
        dimension, terms = dimension_of(spots[0]), list(spots)
        _check_number(document, place, name, dimension)
        set_here = {spot.place for target in targets.values() for spot in target.spots}
        if any(
            not isinstance(spot.value, int | float) and spot.place not in set_here for spot in spots
        ):
            message = f"the base case has no number at {spots[0].spoken}"
            raise refused(document, place, f"{message}; state one there")
    _check_number(document, place, name, dimension)
    return terms, dimension


def _check_number(document: Document, place: Place, name: str, dimension: str) -> None:
    if dimension in ("", "text"):
        message = f"{name!r} is no number, so it has no limit; name a key with a quantity"
        raise refused(document, place, message)


def _limit(
    document: Document, place: Place, raw: int | float | str | None, dimension: str, none: float
) -> float:
    if raw is None:
        return none
    try:
        return float(read(raw, dimension))
    except UnitError as error:
        raise refused(document, place, error) from error
