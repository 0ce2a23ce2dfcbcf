"""Metals of parts, heads and fasteners by name."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache
from importlib.resources import files
from typing import Any

from pulse1d.durability.metal import UNITS, Material, Table

__all__ = ["Material", "Table", "citations", "material", "names"]

C = 273.15


@lru_cache(maxsize=1)
def _file() -> tuple[dict[str, Material], dict[str, str], dict[str, str]]:
    """Materials by name, other names to names, and source keys to citations."""
    text = files("pulse1d.durability").joinpath("materials.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)
    cited = {key: f"{row['citation']} ({row['seen']})" for key, row in rows["source"].items()}
    also = {o: n for n, row in rows["material"].items() for o in (n, *row.get("also", ()))}
    return {name: _read(name, row) for name, row in rows["material"].items()}, also, cited


def _read(name: str, row: dict[str, Any]) -> Material:
    tables = {}
    for key, unit in UNITS.items():
        T, value, source = zip(*row[key], strict=True)
        tables[key] = Table(tuple(t + C for t in T), tuple(v * unit for v in value), source)
    rho, RA, limit = row["rho"], row["RA"], row["limit"]
    return Material(
        name, row["family"], **tables, rho=float(rho[0]), RA=RA[0], T_limit=limit[0] + C,
        limit_note=row.get("note", ""), from_=", ".join((rho[1], RA[1], limit[1])),
    )  # fmt: skip


def names() -> tuple[str, ...]:
    """Names of the materials that ship with the package.

    Returns
    -------
    names : tuple   [-]
    Source      durability/materials.toml
    """
    return tuple(_file()[0])


def citations() -> dict[str, str]:
    """Source keys of the materials file and what they stand for.

    Returns
    -------
    citations : dict   Key to citation, with how it reached this package [-]
    Source      durability/materials.toml
    """
    return dict(_file()[2])


def material(name: str, own: Iterable[Material] = ()) -> Material:
    """The material that a case means by a name.

    Parameters
    ----------
    name : str   A shipped name, another name of it, or one of ``own`` [-]
    own : iterable of Material   Materials of the case; they go before shipped ones [SI]
    Returns
    -------
    material : Material   [SI]
    Errors      ValueError for an unknown name; it says the nearest known one.
    Source      durability/materials.toml
    """
    mine = {each.name.casefold(): each for each in own}
    shipped, also, _ = _file()
    folded = {other.casefold(): shipped[at] for other, at in also.items()}
    known = {**folded, **mine}
    if (found := known.get(name.casefold())) is not None:
        return found
    near = get_close_matches(name.casefold(), known, n=1, cutoff=0.4)
    hint = f"nearest {near[0]!r}" if near else "known: " + ", ".join((*names(), *mine))
    raise ValueError(f"unknown material {name!r}; {hint}")
