"""A case with some values replaced: on the spec, fast, and on its file's data, as if they stood
there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import BaseModel

from pulse1d.case.document import Document
from pulse1d.case.schema import Case
from pulse1d.case.trail import alias
from pulse1d.losses.surface import Surface
from pulse1d.network.layout import Meeting
from pulse1d.study.paths import SpecPlace

M = TypeVar("M", bound=BaseModel)
Tree = dict[str | int, Any]
SHORT: dict[type[BaseModel], str] = {Surface: "name", Meeting: "joint"}
"""Specs that a file may state by one text, and the key that the text stands for."""


def tree_of(values: Mapping[SpecPlace, Any]) -> Tree:
    """Values by place as a tree, so that every spec on the way is made once.

    Parameters
    ----------
    values : mapping   Place to new value [SI]
    Returns
    -------
    tree : dict   Nested by keys of the places [SI]
    """
    tree: Tree = {}
    for place, value in values.items():
        node = tree
        for key in place[:-1]:
            node = node.setdefault(key, {})
        node[place[-1]] = value
    return tree


def changed(spec: M, tree: Tree) -> M:
    """A spec with values replaced, checked as its file would be.

    Only the specs on the way to a value are made anew; all others are shared with the old one.

    Parameters
    ----------
    spec : model   [-]
    tree : dict   As from ``tree_of`` [SI]
    Returns
    -------
    spec : same type   [-]
    Errors      ValidationError of the innermost spec that refuses its values.
    """
    fields = {name: getattr(spec, name) for name in spec.model_fields_set}
    for key, below in tree.items():
        fields[str(key)] = _changed(getattr(spec, str(key)), below)
    return type(spec).model_validate(fields)


def _changed(node: Any, below: Any) -> Any:
    if not isinstance(below, dict):
        return below
    if isinstance(node, BaseModel):
        return changed(node, below)
    if isinstance(node, dict):
        return {**node, **{key: _changed(node[key], value) for key, value in below.items()}}
    items = list(node)
    for i, value in below.items():
        items[int(i)] = _changed(items[int(i)], value)
    return tuple(items)


def rewritten(document: Document, case: Case, values: Mapping[SpecPlace, Any]) -> Document:
    """The document with values replaced, as if its file stated them.

    Parameters
    ----------
    document : Document   Of the base case, its head merged in [-]
    case : Case   The spec made from it [-]
    values : mapping   Place in the spec to what a file would state [as written]
    Returns
    -------
    document : Document   Shares all that is unchanged [-]
    """
    return replace(document, data=_rewritten(document.data, case, tree_of(values)))


def _rewritten(data: Any, node: Any, tree: Any) -> Any:
    if not isinstance(tree, dict):
        return tree
    if isinstance(node, tuple):
        items = list(data) if isinstance(data, list) else [_beside(one, tree) for one in node]
        for i, below in tree.items():
            items[int(i)] = _rewritten(items[int(i)], node[int(i)], below)
        return items
    if isinstance(node, dict):
        keys = {name: name for name in node}
    else:
        keys = {name: alias(name, field) for name, field in type(node).model_fields.items()}
    if not isinstance(data, dict):
        short = SHORT.get(type(node))
        data = {short: getattr(node, short) if data is None else data} if short else {}
    data = dict(data)
    for name, below in tree.items():
        key = name if name in data else keys[name]
        value = node[name] if isinstance(node, dict) else getattr(node, name)
        data[key] = _rewritten(data.get(key), value, below)
    return data


def _beside(value: Any, tree: Tree) -> Any:
    """A number of a default as a file would state it beside one that is replaced."""
    unit = next((str(new).partition(" ")[2] for new in tree.values()), "")
    return f"{value!r} {unit}" if unit else value
