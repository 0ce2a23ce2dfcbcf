"""A piece of the catalogue, explained from its spec, its law's docstrings and its own rows."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import ValidationError

from pulse1d import units
from pulse1d.geometry.sections import Round
from pulse1d.losses.element import Element, Station
from pulse1d.losses.explain_docs import Formula, dimension_of, formula_of, keys_of, laws_of
from pulse1d.losses.explain_rows import MACH, K_of, band_of
from pulse1d.losses.explained import Explained, Values, cited
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.surface import Surface
from pulse1d.losses.told import Told
from pulse1d.spec import FROM_TEXT

BORE, WALL = 0.038, "tube"
"""Passage in which values are told [m], and its wall."""
SECTION = {"shape": "round", "bore": "45 mm"}
"""An example of a section that another one leads to."""
FACTORS = (0.25, 0.5, 1.0, 1.5, 2.0)
"""Of an example's value, where a piece says no values of its own."""


def explain_piece(piece: type[PieceBase]) -> Explained:
    """What is known of a piece.

    Parameters
    ----------
    piece : class   Of the catalogue [-]
    Returns
    -------
    explained : Explained   [-]
    """
    told = told_of(piece)
    kind = str(piece.model_fields["kind"].default)
    station = example_station()
    elements = built(piece, told.example).elements(station)
    formulas = tuple(formula_of(function) for function in laws_of(piece))
    sources = [element.source for element in elements] + [one.source for one in formulas]
    return Explained(
        name=kind,
        kind="piece",
        what=summary(piece),
        also=told.also,
        example=written({"kind": kind, **told.example}),
        keys=keys_of(piece),
        formulas=formulas,
        stations=f"K on the dynamic pressure {elements[0].k_ref} of the piece (flow to the outlet)",
        band=tuple(bands(elements, station)),
        validity=(*limits(elements), *stated_limits(formulas)),
        sources=cited(sources),
        tables=tuple(tables(piece, told, station)),
    )


def example_station() -> Station:
    """The passage in which examples stand.

    Returns
    -------
    station : Station   [SI]
    """
    wall = Surface(name=WALL)
    return Station(Round(bore=BORE), wall.roughness, surface=WALL, eps_band=wall.band)


def told_of(piece: type[PieceBase]) -> Told:
    """What a piece tells of itself, with what it leaves out filled in from its spec.

    Parameters
    ----------
    piece : class   [-]
    Returns
    -------
    told : Told   With an example and something to vary [-]
    """
    told = getattr(piece, "told", Told())
    example = dict(told.example) or {
        info.alias or name: _like(info)
        for name, info in piece.model_fields.items()
        if info.is_required()
    }
    vary = dict(told.vary)
    if not vary:
        quantities = [
            (info.alias or name, dimension)
            for name, info in piece.model_fields.items()
            if (dimension := dimension_of(info.metadata)) and (info.alias or name) in example
        ]
        vary = {key: _scaled(str(example[key])) for key, _ in quantities[:1]}
    return Told(told.also, example, vary)


def built(piece: type[PieceBase], example: Mapping[str, Any]) -> PieceBase:
    """A piece as a case would read it.

    Parameters
    ----------
    piece : class   [-]
    example : mapping   Keys as a case writes them [-]
    Returns
    -------
    piece : PieceBase   [SI]
    Errors      ValidationError for an example that is none.
    """
    return piece.model_validate(dict(example), context=FROM_TEXT)


def summary(piece: type[PieceBase]) -> str:
    """The docstring of a spec on one line.

    Parameters
    ----------
    piece : class   [-]
    Returns
    -------
    text : str   [-]
    """
    return " ".join((piece.__doc__ or "").replace("``", "`").split())


def bands(elements: tuple[Element, ...], station: Station) -> Iterator[str]:
    """What makes the example's K doubtful, and by how much.

    Parameters
    ----------
    elements, station : of the example [SI]
    Returns
    -------
    lines : iterator of str   One a cause; causes that move nothing here are left out [-]
    """
    middle = K_of(elements, station)
    for cause, (low, high) in band_of(elements, station).items():
        if max(middle - low, high - middle) > max(1e-3 * abs(middle), 1e-6):
            yield f"{cause}: K {low:.3g} to {high:.3g}"


def limits(elements: tuple[Element, ...]) -> Iterator[str]:
    """Ranges in which the coefficients hold.

    Parameters
    ----------
    elements : tuple of Element   [SI]
    Returns
    -------
    lines : iterator of str   [-]
    """
    for limit in dict.fromkeys(limit for element in elements for limit in element.limits):
        yield f"{limit.quantity} {limit.low:g} to {limit.high:g}: {limit.what}"


def stated_limits(formulas: tuple[Formula, ...]) -> Iterator[str]:
    """What functions say of where they hold.

    Parameters
    ----------
    formulas : tuple of Formula   [-]
    Returns
    -------
    lines : iterator of str   [-]
    """
    yield from (f"{one.name}: {one.limits}" for one in formulas if one.limits)


def tables(piece: type[PieceBase], told: Told, station: Station) -> Iterator[Values]:
    """K over what the piece varies, by the solvers' own rows.

    Parameters
    ----------
    piece : class   Of the catalogue [-]
    told : Told   With an example and what to vary [-]
    station : Station   In front of the piece [SI]
    Returns
    -------
    tables : iterator of Values   A value that the piece refuses is left out [-]
    """
    for path, texts in told.vary.items():
        rows: list[tuple[str | float, ...]] = []
        for text in texts:
            try:
                elements = built(piece, put(told.example, path, text)).elements(station)
            except (ValueError, ValidationError):
                continue
            K = K_of(elements, station)
            spread = [(low, high) for low, high in band_of(elements, station).values()]
            down = math.hypot(0.0, *(K - low for low, _ in spread))
            up = math.hypot(0.0, *(high - K for _, high in spread))
            rows.append((text, K, K - down, K + up, K_of(elements, station, reverse=True)))
        words = [key for key in path.split("/") if not key.isdigit()]
        heading = "stated K" if words == ["K"] else " ".join(words)
        title = f"Air at 20 degC, Mach {MACH:g} before it, {1e3 * BORE:g} mm bore, wall `{WALL}`"
        yield Values(title, (heading, "K", "5 %", "95 %", "K reversed"), tuple(rows))


def put(example: Mapping[str, Any], path: str, text: str) -> dict[str, Any]:
    """An example with one value in another's place.

    Parameters
    ----------
    example : mapping   [-]
    path : str   Keys and places, such as "to/bore" [-]
    text : str   [-]
    Returns
    -------
    example : dict   [-]
    """
    changed: Any = copy.deepcopy(dict(example))
    at, *rest = reversed(path.split("/"))
    inner = changed
    for key in reversed(rest):
        inner = inner[int(key) if key.isdigit() else key]
    inner[int(at) if at.isdigit() else at] = text
    return dict(changed)


def written(value: Any) -> str:
    """A value as YAML writes it on one line.

    Parameters
    ----------
    value : any   Of mappings, lists and texts [-]
    Returns
    -------
    text : str   [-]
    """
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {written(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(written, value)) + "]"
    return str(value).lower() if isinstance(value, bool) else str(value)


def _like(info: Any) -> Any:
    """An example of a needed key, from its type."""
    dimension = dimension_of(info.metadata)
    if dimension:
        return units.EXAMPLE[dimension].split(" or ")[0]
    return dict(SECTION) if get_args(info.annotation) else 1.0


def _scaled(text: str) -> tuple[str, ...]:
    number, _, unit = text.partition(" ")
    return tuple(f"{factor * float(number):g} {unit}".strip() for factor in FACTORS)
