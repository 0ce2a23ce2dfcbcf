"""Walls as the gas meets them: named surfaces, an own roughness, or a fixed friction factor."""

from __future__ import annotations

import difflib
import tomllib
from functools import lru_cache
from importlib.resources import files
from typing import Any, Self

from pydantic import model_validator

from pulse1d.losses.piece import NonNegativeRatio
from pulse1d.spec import Length, PositiveRatio, Spec

OWN_BAND = 0.4
"""Half width of ln eps for an own roughness without a band: a factor of 1.5 (judgement) [-]."""


class Surface(Spec):
    """A wall: a roughness with its band, or a fixed Darcy factor for closed-form comparisons."""

    name: str | None = None
    """A name of its own, or one of the surfaces that ship with the package."""
    roughness: Length = 0.0
    """Equivalent sand roughness."""
    band: NonNegativeRatio = OWN_BAND
    """5-95 % half width of the logarithm of the roughness."""
    f_D: PositiveRatio | None = None
    source: str = "case"

    @model_validator(mode="before")
    @classmethod
    def _named(cls, data: Any) -> Any:
        """A name that ships with the package brings its roughness, unless one is stated."""
        if not isinstance(data, dict) or "roughness" in data:
            return data
        if any(key in data for key in ("f_D", "f D")):
            return data
        name = data.get("name")
        return {**_shipped(str(name)), **data} if name is not None else data

    @model_validator(mode="after")
    def _one_statement(self) -> Self:
        stated = "roughness" in self.model_fields_set
        if self.f_D is not None and stated:
            raise ValueError("a surface has a roughness or a fixed f D, not both; drop one")
        if self.f_D is None and not stated:
            raise ValueError(
                "a surface needs a name that is known, a roughness or a fixed f D; known: "
                + ", ".join(surface_names())
            )
        return self

    @property
    def label(self) -> str:
        """Name to print, which also ties the roughness bands of equal walls together [-]."""
        if self.name is not None:
            return self.name
        return f"f_D {self.f_D:g}" if self.f_D is not None else f"{1e6 * self.roughness:.4g} um"


@lru_cache(maxsize=1)
def _table() -> dict[str, dict[str, Any]]:
    text = files("pulse1d.losses").joinpath("surfaces.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def by_name(value: Any) -> Any:
    """What a case means by the bare name of a surface.

    Parameters
    ----------
    value : any   As read [-]
    Returns
    -------
    value : any   A statement in place of a name; anything else as it is [-]
    """
    return {"name": value} if isinstance(value, str) else value


def surface_names() -> tuple[str, ...]:
    """Names of the surfaces that ship with the package, smoothest first.

    Returns
    -------
    names : tuple   [-]
    Source      losses/surfaces.toml
    """
    return tuple(_table())


def surface_note(name: str) -> str:
    """What stands behind the roughness of a shipped surface.

    Parameters
    ----------
    name : str   One of ``surface_names`` [-]
    Returns
    -------
    note : str   [-]
    Source      losses/surfaces.toml
    """
    return str(_table()[name]["note"])


def _shipped(name: str) -> dict[str, Any]:
    table = _table()
    if name not in table:
        near = difflib.get_close_matches(name, table, n=1)
        hint = f"did you mean {near[0]!r}?" if near else "known: " + ", ".join(surface_names())
        raise ValueError(f"no surface is called {name!r}; {hint} Or state its roughness")
    return {key: table[name][key] for key in ("roughness", "band", "source")}


def resolve_surface(surface: Surface | str) -> Surface:
    """The surface that a case means by a name or by its own statement.

    Parameters
    ----------
    surface : Surface or str   [-]
    Returns
    -------
    surface : Surface   With its roughness and band [SI]
    Errors      ValueError for a name that is not known.
    Source      losses/surfaces.toml
    """
    if isinstance(surface, Surface):
        return surface
    return Surface(name=surface, **_shipped(surface))
