"""Materials of a case: known ones with some values changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pulse1d.durability.materials import material
from pulse1d.durability.metal import UNITS, Material, Table
from pulse1d.durability.own_material import OwnMaterial

TABLES = {
    "E": "E", "expansion": "alpha_mean", "conductivity": "k", "specific_heat": "cp",
    "yield_": "yield_", "ultimate": "ultimate",
}  # fmt: skip
NUMBERS = {"density": "rho", "reduction_of_area": "RA", "limit": "T_limit"}


def own_materials(stated: Mapping[str, OwnMaterial]) -> tuple[Material, ...]:
    """The materials of a case; each may be like a shipped one or like one stated before it.

    Parameters
    ----------
    stated : mapping   Name to what differs [units of the materials file]
    Returns
    -------
    own : tuple of Material   Their changed cells have "case" for a source [SI]
    Errors      ValueError for an unknown material to be like; it says the nearest known one.
    """
    own: tuple[Material, ...] = ()
    for name, spec in stated.items():
        own = (*own, _changed(name, spec, material(spec.like, own)))
    return own


def _changed(name: str, spec: OwnMaterial, like: Material) -> Material:
    new: dict[str, Any] = {"name": name}
    for key, prop in TABLES.items():
        if rows := getattr(spec, key):
            T, value = zip(*rows, strict=True)
            new[prop] = Table(T, tuple(v * UNITS[prop] for v in value), ("case",) * len(T))
    for key, prop in NUMBERS.items():
        if (number := getattr(spec, key)) is not None:
            new[prop] = float(number)
            new["from_"] = f"case ({prop}), {new.get('from_', like.from_)}"
    if spec.limit is not None:
        new["limit_note"] = "stated in the case"
    return replace(like, **new)
