"""Are the metals that the durability screening asks for known? Checked on the plain data, so that a
slip elsewhere in the file does not hide a slip here."""

from __future__ import annotations

from collections.abc import Iterator

from pulse1d.case.alone import alone
from pulse1d.case.document import Document, Place
from pulse1d.durability.materials import Material, material
from pulse1d.durability.own_material import OwnMaterial
from pulse1d.durability.own_materials import own_materials
from pulse1d.durability.spec import Durability
from pulse1d.errors import Problem

REMEDY = "name a metal of `pulse1d/durability/materials.toml`, or one under `materials`"


def metal_problems(document: Document) -> list[Problem]:
    """Metals that neither the package nor the case knows.

    A durability block that cannot be read by itself is passed over; the schema reports it.

    Parameters
    ----------
    document : Document   A whole case [-]
    Returns
    -------
    problems : list of Problem   One for each place that names an unknown metal [-]
    """
    asked = alone(Durability, document.data, "durability")
    if asked is None:
        return []
    found: list[Problem] = []
    own = _own(asked, document, found)
    if found:
        return found
    for place, name in _named(asked, document):
        try:
            material(name, own)
        except ValueError as error:
            found.append(document.problem(place, str(error), REMEDY))
    return found


def _own(asked: Durability, document: Document, found: list[Problem]) -> tuple[Material, ...]:
    """The case's own metals, as far as they are like known ones."""
    sound: dict[str, OwnMaterial] = {}
    for name, spec in asked.materials.items():
        try:
            own_materials({**sound, name: spec})
            sound[name] = spec
        except ValueError as error:
            place = ("durability", "materials", name, "like")
            found.append(document.problem(place, str(error), REMEDY))
    return own_materials(sound)


def _named(asked: Durability, document: Document) -> Iterator[tuple[Place, str]]:
    wall = document.data.get("wall")
    name = wall.get("material") if isinstance(wall, dict) else None
    if isinstance(name, str):
        yield ("wall", "material"), name
    yield ("durability", "head", "material"), asked.head.material
    if asked.flange.material is not None:
        yield ("durability", "flange", "material"), asked.flange.material
    if asked.fasteners is not None:
        yield ("durability", "fasteners", "material"), asked.fasteners.material
        if asked.fasteners.sleeve is not None:
            place = ("durability", "fasteners", "sleeve", "material")
            yield place, asked.fasteners.sleeve.material
