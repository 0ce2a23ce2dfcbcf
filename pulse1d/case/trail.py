"""Follows an error of the schema back to the place in the file, the spec and the field it is about.

The location that pydantic gives mixes keys of the file with labels of the branch it tried (the kind
of a piece, the type of an alternative). Walking the schema along the location tells them apart.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pulse1d.case.document import Place

Schema = Mapping[str, Any]
_ITEMS = ("list", "set", "frozenset", "tuple")


@dataclasses.dataclass
class Trail:
    """Where an error leads: ``place`` in the data and what the schema says there."""

    place: Place = ()
    spec: type[BaseModel] | None = None
    """The spec around the place (of the mapping itself, when that is what is wrong)."""
    field: FieldInfo | None = None
    """The field that the place belongs to, when the spec has it."""
    inside: int = 0
    """How many lists or mappings inside the value of that field the place lies."""
    kinds: tuple[str, ...] = ()
    """Kinds to choose from, when the place holds one of several kinds of spec."""
    kind_key: str | None = None
    branches: list[tuple[Place, str]] = dataclasses.field(default_factory=list)
    """Alternatives tried on the way: where, and which."""


def follow(model: type[BaseModel], location: tuple[str | int, ...], data: Any) -> Trail:
    """The trail of one error location.

    Parameters
    ----------
    model : type   The spec that the data were validated against [-]
    location : tuple   ``loc`` of a pydantic error [-]
    data : dict   The data that were validated [-]
    Returns
    -------
    trail : Trail   Place in the data, spec, field and branches [-]
    Source      pydantic_core.core_schema
    """
    trail = Trail()
    definitions: dict[str, Schema] = {}
    schema: Schema | None = model.__pydantic_core_schema__
    for part in location:
        schema = _open(schema, definitions, trail)
        kind = schema["type"] if schema else None
        if kind == "tagged-union" and schema and part in schema["choices"]:
            schema = schema["choices"][part]
        elif kind == "union" and schema:
            trail.branches.append((trail.place, str(part)))
            schema = _branch(schema, str(part), definitions)
        elif part != "[key]":
            schema, data = _step(schema, trail, part, data)
    schema = _open(schema, definitions, trail)
    if schema and schema["type"] == "tagged-union":
        trail.kinds = tuple(str(kind) for kind in schema["choices"])
        key = schema["discriminator"]
        trail.kind_key = key if isinstance(key, str) else None
    return trail


def alias(name: str, found: FieldInfo) -> str:
    """The key of a field in a file."""
    return found.alias or name


def keys_of(spec: type[BaseModel]) -> list[str]:
    """The keys that a mapping of this spec may hold."""
    return [alias(name, found) for name, found in spec.model_fields.items()]


def _step(
    schema: Schema | None, trail: Trail, part: str | int, data: Any
) -> tuple[Schema | None, Any]:
    """One key or list position further: the schema and the data there."""
    kind = schema["type"] if schema else None
    below: Schema | None = None
    key, value = _get(data, part)
    if schema and kind in ("model-fields", "typed-dict"):
        name = _field_name(schema["fields"], part)
        below = schema["fields"][name]["schema"] if name else None
        trail.field = trail.spec.model_fields.get(name) if trail.spec and name else None
        trail.inside = 0
    elif schema and kind in _ITEMS:
        items = schema.get("items_schema")
        if kind == "tuple" and items:
            items = items[min(part, len(items) - 1)] if isinstance(part, int) else None
        below = items
    elif schema and kind == "dict":
        below = schema.get("values_schema")
    elif value is None and key is None:
        return None, data
    trail.inside += schema is None or kind not in ("model-fields", "typed-dict")
    trail.place = (*trail.place, part if key is None else key)
    return below, value


def _get(data: Any, part: str | int) -> tuple[str | int | None, Any]:
    """The key as it stands in the data, and its value; None and None when it is not there."""
    if isinstance(data, list):
        inside = isinstance(part, int) and -len(data) <= part < len(data)
        return (part, data[int(part)]) if inside else (None, None)
    if isinstance(data, dict):
        for key in (part, str(part), str(part).replace(" ", "_")):
            if key in data:
                return key, data[key]
    return None, None


def _field_name(fields: Mapping[str, Any], part: str | int) -> str | None:
    for name, found in fields.items():
        if part in (name, found.get("validation_alias")):
            return name
    return None


def _open(schema: Schema | None, definitions: dict[str, Schema], trail: Trail) -> Schema | None:
    """The schema without the wrappers that add nothing to a location; notes the spec it meets."""
    while schema is not None:
        kind = schema["type"]
        if kind == "definitions":
            definitions.update({found["ref"]: found for found in schema["definitions"]})
        if kind == "definition-ref":
            schema = definitions.get(schema["schema_ref"])
            continue
        if kind == "model":
            trail.spec = schema["cls"]
        below = schema.get("schema") or schema.get("lax_schema") or schema.get("python_schema")
        if below is None:
            return schema
        schema = below
    return None


def _branch(schema: Schema, label: str, definitions: dict[str, Schema]) -> Schema | None:
    """The alternative of a union that carries a label, when it is a spec."""
    for choice in schema["choices"]:
        tried = Trail()
        inner = choice[0] if isinstance(choice, tuple) else choice
        _open(inner, definitions, tried)
        name = tried.spec.__name__ if tried.spec else ""
        if name and (label == name or label.endswith(f", {name}]")):
            return inner  # type: ignore[no-any-return]
    choices = [choice[0] if isinstance(choice, tuple) else choice for choice in schema["choices"]]
    lists = [choice for choice in choices if choice["type"] in (*_ITEMS, "dict", "tagged-union")]
    sign = label.split("[")[0]
    return next((choice for choice in lists if choice["type"] == sign), None)
