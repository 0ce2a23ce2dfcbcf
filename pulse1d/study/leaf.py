"""What a key of a case can hold - which quantity, a count, a text - and how a study writes it."""

from __future__ import annotations

import types
from collections.abc import Mapping
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import WithJsonSchema

from pulse1d import units
from pulse1d.errors import UnitError
from pulse1d.losses.surface import Surface
from pulse1d.study.paths import SpecPlace, Spot

SI_UNIT = {**units.SI, "absolute pressure": "Pa abs", "temperature difference": "K"}
DIFFERENCE = {"temperature": "temperature difference", "absolute pressure": "pressure"}
"""Dimension of a change, where it is another than that of the value."""


def dimension_of(spot: Spot) -> str:
    """Dimension of the values that may stand at a place.

    Parameters
    ----------
    spot : Spot   [-]
    Returns
    -------
    dimension : str   A key of ``SI_UNIT``, or "count" or "text"; "" where no study can set it [-]
    """
    if spot.inside == 0:
        found = _from_metadata(spot.field.metadata)
        if found:
            return found
    return _of_type(spot.field.annotation, spot.place[len(spot.place) - spot.inside :])


def read(raw: int | float | str, dimension: str) -> float | str:
    """A value as a study writes it.

    Parameters
    ----------
    raw : int, float or str   [as written]
    dimension : str   Of the key that it is set to [-]
    Returns
    -------
    value : float or str   [SI]
    Errors      UnitError for another unit or none, a count that is not whole.
    """
    if dimension == "text":
        return str(raw)
    if dimension == "count":
        if isinstance(raw, bool) or not isinstance(raw, int):
            raise UnitError(f"{raw!r} is not a whole number; write it like 4")
        return float(raw)
    if dimension == "absolute pressure":
        return units.parse_absolute(str(raw))
    return units.parse(str(raw), dimension)


def unit_of(raw: int | float | str, dimension: str) -> str:
    """The unit that a value is written in, for people.

    Parameters
    ----------
    raw : int, float or str   [as written]
    dimension : str   [-]
    Returns
    -------
    unit : str   Empty for counts, texts and plain ratios [-]
    """
    if dimension in ("text", "count") or not isinstance(raw, str):
        return ""
    part = units.FRACTION.fullmatch(raw.strip())
    number = units.NUMBER.match(raw.strip())
    return part[4] if part else number[2].strip() if number else ""


def shown(value: float, unit: str, dimension: str) -> str:
    """An SI value in a unit, for messages.

    Parameters
    ----------
    value : float   [SI]
    unit : str   As ``unit_of`` gives it [-]
    dimension : str   [-]
    Returns
    -------
    text : str   [unit]
    """
    if dimension == "absolute pressure":
        tail = unit.removesuffix("abs").strip() or "Pa"
        return f"{units.to(value, tail, 'pressure'):.6g} {tail} abs"
    if dimension in units.SI and unit:
        return f"{units.to(value, unit, dimension):.6g} {unit}"
    return f"{value:.6g} {SI_UNIT.get(dimension, '')}".strip()


def written(value: float | str, dimension: str) -> float | int | str:
    """A value as a case file would state it in SI units.

    Parameters
    ----------
    value : float or str   [SI]
    dimension : str   [-]
    Returns
    -------
    raw : float, int or str   What ``read`` turns into the same value [-]
    """
    if isinstance(value, str) or dimension == "ratio":
        return value
    if dimension == "count":
        return int(value)
    return f"{value!r} {SI_UNIT[dimension].removeprefix('1')}"


def _from_metadata(metadata: Any) -> str:
    for item in metadata:
        if isinstance(item, WithJsonSchema) and item.json_schema:
            said = str(item.json_schema.get("description", ""))
            if " with its unit" in said:
                return said.partition(" with its unit")[0]
    return ""


def _of_type(kind: Any, inside: SpecPlace) -> str:
    origin, args = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return ("" if inside else _from_metadata(args[1:])) or _of_type(args[0], inside)
    if origin in (Union, types.UnionType):
        found = [_of_type(option, inside) for option in args if option is not type(None)]
        return next((dimension for dimension in found if dimension), "")
    if inside and isinstance(origin, type):
        mixed = issubclass(origin, tuple) and Ellipsis not in args
        item = args[int(inside[0])] if mixed else args[-1 if issubclass(origin, Mapping) else 0]
        return _of_type(item, inside[1:])
    if inside:
        return ""
    if origin is Literal or kind is str or kind is Surface:
        return "text"
    return {int: "count", float: "ratio"}.get(kind, "")
