"""Paths into a case: ``runners/*/tail/length`` to the places that it means.

Between slashes stand keys of the case, items of a list by their ``name``, ``port`` or the joint
that they come ``from``, or ``*`` for all. A piece stands by its name right behind its leg; without
a name it is its kind and number there, as in tables: ``bend 2``. x, y and z count in a position.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pulse1d.case.document import listed, nearest
from pulse1d.case.schema import Case
from pulse1d.case.trail import alias, keys_of
from pulse1d.losses.surface import Surface

SpecPlace: TypeAlias = "tuple[str | int, ...]"
"""Fields, keys and positions from the top of a case."""


class PathError(ValueError):
    """A path that leads nowhere; "; " parts message and remedy."""


@dataclass(frozen=True)
class Spot:
    """One place of a case that a path leads to."""

    place: SpecPlace
    field: FieldInfo
    """Field that the value belongs to."""
    inside: int
    """How many lists or mappings inside that field it lies."""
    value: Any
    """What the case has there [SI]."""
    spoken: str


def spots_of(case: Case, path: str) -> tuple[Spot, ...]:
    """All places of a case that a path means.

    Parameters
    ----------
    case : Case   [-]
    path : str   As in a study file [-]
    Returns
    -------
    spots : tuple of Spot   In the order of the case, at least one [-]
    Errors      PathError for a path that leads nowhere, or not to a single value.
    """
    parts = [part.strip() for part in path.strip().strip("/").split("/")]
    start = Spot((), FieldInfo(), 0, case, "")
    found: list[Spot] = []
    refused: list[tuple[int, PathError]] = []
    for item in _walk(start, parts, refused):
        found.append(item)
    if not found:
        raise max(refused, key=lambda pair: pair[0])[1]
    return tuple(found)


def value_at(case: Case, place: SpecPlace) -> Any:
    """What a case has at a place.

    Parameters
    ----------
    case : Case   [-]
    place : tuple   [-]
    Returns
    -------
    value : Any   [SI]
    """
    node: Any = case
    for key in place:
        node = getattr(node, str(key)) if isinstance(node, BaseModel) else node[key]
    return node


def _walk(
    spot: Spot, parts: list[str], refused: list[tuple[int, PathError]], depth: int = 0
) -> Iterator[Spot]:
    if not parts:
        error = _not_a_value(spot)
        if error is None:
            yield spot
        else:
            refused.append((depth, error))
        return
    try:
        below = list(_below(spot, parts[0]))
    except PathError as error:
        refused.append((depth, error))
        return
    for item in below:
        yield from _walk(item, parts[1:], refused, depth + 1)


def _not_a_value(spot: Spot) -> PathError | None:
    node = spot.value
    if isinstance(node, BaseModel) and not isinstance(node, Surface):
        return PathError(
            f"{spot.spoken or 'the path'} is a group of keys, not one value; "
            f"go on to one of: {listed(_keys(node))}"
        )
    if isinstance(node, tuple | dict):
        return PathError(
            f"{spot.spoken} is a list, not one value; go on to one of: {listed(_names(node))}"
        )
    return None


def _below(spot: Spot, part: str) -> Iterator[Spot]:
    node = spot.value
    where = spot.spoken or "a case"
    if node is None:
        raise PathError(f"the case states no {where}; state it in the base case first")
    if isinstance(node, BaseModel):
        for name, field in type(node).model_fields.items():
            if part in (name, alias(name, field)):
                yield Spot((*spot.place, name), field, 0, getattr(node, name), _say(spot, part))
                return
        if "pieces" in type(node).model_fields:
            pieces = next(_below(spot, "pieces"))
            pieces = Spot(pieces.place, pieces.field, 0, pieces.value, spot.spoken)
            if part == "*" or part in _names(pieces.value):
                yield from _below(pieces, part)
                return
        raise _nowhere(part, where, _keys(node))
    if isinstance(node, dict):
        for key, value in node.items():
            if part in ("*", str(key)):
                yield _inside(spot, key, value, str(key))
        if part != "*" and part not in map(str, node):
            raise _nowhere(part, where, [str(key) for key in node])
        return
    if not isinstance(node, tuple):
        raise PathError(f"nothing stands below {where}, which is one value; end the path there")
    hits = [i for i, names in enumerate(_item_names(node)) if part == "*" or part in names]
    if not hits:
        raise _nowhere(part, where, _names(node))
    labels = _names(node)
    for i in hits:
        yield _inside(spot, i, node[i], labels[i])


def _inside(spot: Spot, key: str | int, value: Any, label: str) -> Spot:
    return Spot((*spot.place, key), spot.field, spot.inside + 1, value, _say(spot, label))


def _say(spot: Spot, part: str) -> str:
    return f"{spot.spoken}/{part}" if spot.spoken else part


def _nowhere(part: str, where: str, known: list[str]) -> PathError:
    near = nearest(part, known)
    remedy = f"did you mean {near!r}? " if near else ""
    return PathError(f"{where} has no {part!r}; {remedy}it has {listed(known) or 'nothing'}")


def _keys(node: BaseModel) -> list[str]:
    """What may follow in a path: keys, and names of the pieces."""
    return keys_of(type(node)) + list(dict.fromkeys(_names(getattr(node, "pieces", ()))))


def _names(node: Any) -> list[str]:
    if isinstance(node, dict):
        return [str(key) for key in node]
    return [names[0] for names in _item_names(node)]


def _item_names(items: tuple[Any, ...]) -> list[list[str]]:
    """All that each item answers to, what it is called in tables first."""
    if len(items) == 3 and all(isinstance(item, float) for item in items):
        return [["x"], ["y"], ["z"]]
    found, counts = [], dict[str, int]()
    for number, item in enumerate(items, 1):
        start = getattr(item, "from_", None)
        names = [getattr(item, "name", None), getattr(item, "port", None)]
        names.append(getattr(start, "joint", None))
        kind = getattr(item, "kind", None)
        if isinstance(kind, str) and not hasattr(item, "position"):
            counts[kind] = counts.get(kind, 0) + 1
            names.append(f"{kind} {counts[kind]}")
        stated = [name for name in names if isinstance(name, str)]
        found.append(stated or [str(number)])
    return found
