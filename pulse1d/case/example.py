"""Examples of what to write in a case file, taken from the specs themselves."""

from __future__ import annotations

import types
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, WithJsonSchema
from pydantic.fields import FieldInfo

_PLAIN = {"bool": "true", "int": "4", "float": "1.5", "str": "some text"}


def example(field: FieldInfo | None, inside: int = 0) -> str:
    """A value as it could stand in a file; empty for lists, mappings and the unknown.

    Parameters
    ----------
    field : FieldInfo or None   Field of a spec [-]
    inside : int   How many lists or mappings inside its value the wanted value lies [-]
    Returns
    -------
    text : str   Its first declared example, the example of its quantity, or one of its type [-]
    Source      common practice, no source
    """
    if field is None:
        return ""
    if inside:
        inner = field.annotation
        for _ in range(inside):
            inner = _item(inner)
        return _from_type(inner)
    if field.examples:
        return str(field.examples[0])
    return _from_metadata(field.metadata) or _from_type(field.annotation)


def line_to_add(key: str, field: FieldInfo | None) -> str:
    """What to add when a key is missing."""
    shown = example(field)
    if shown:
        return f"add '{key}: {shown}'"
    kind = _bare(field.annotation) if field else None
    origin = get_origin(kind) or kind
    if isinstance(origin, type) and issubclass(origin, Sequence):
        return f"add '{key}:' with one item a line below it, each starting with '- '"
    if isinstance(origin, type) and issubclass(origin, BaseModel):
        needed = [f.alias or n for n, f in origin.model_fields.items() if f.is_required()]
        return f"add '{key}:' with its keys below it" + (
            f", at least {', '.join(needed)}" if needed else ""
        )
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return f"add '{key}:' with its keys below it"
    return f"add '{key}:' with its value"


def _from_metadata(metadata: Sequence[Any]) -> str:
    for item in metadata:
        if isinstance(item, WithJsonSchema) and item.json_schema:
            _, like, shown = str(item.json_schema.get("description", "")).partition(" like ")
            if like:
                return shown.split(" or ")[0]
    return ""


def _from_type(annotation: Any) -> str:
    if get_origin(annotation) is Annotated:
        base, *metadata = get_args(annotation)
        return _from_metadata(metadata) or _from_type(base)
    if get_origin(annotation) is Literal:
        return str(get_args(annotation)[0])
    if get_origin(annotation) in (Union, types.UnionType):
        found = (_from_type(option) for option in get_args(annotation))
        return next((text for text in found if text), "")
    return _PLAIN.get(getattr(annotation, "__name__", ""), "") if annotation is not None else ""


def _item(annotation: Any) -> Any:
    """The type of the items of a list or of the values of a mapping."""
    bare = _bare(annotation)
    origin, args = get_origin(bare), get_args(bare)
    if not args or not isinstance(origin, type):
        return None
    return args[-1] if issubclass(origin, Mapping) else args[0]


def _bare(annotation: Any) -> Any:
    """The type without annotations and without the None of an optional field."""
    if get_origin(annotation) is Annotated:
        return _bare(get_args(annotation)[0])
    if get_origin(annotation) in (Union, types.UnionType):
        options = [option for option in get_args(annotation) if option is not type(None)]
        return _bare(options[0]) if len(options) == 1 else None
    return annotation
