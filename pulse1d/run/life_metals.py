"""The metals that a design's durability block names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pulse1d.case.design import Design
from pulse1d.durability.materials import material
from pulse1d.durability.metal import Material
from pulse1d.durability.own_materials import own_materials
from pulse1d.durability.spec import Durability
from pulse1d.errors import InputError, Problem
from pulse1d.run.mass import has_walls

LEAST = "durability: {gas: {temperature: 850 degC, heat transfer: 150 W/m^2/K}}"
ENGINE = "durability: {gas: {from: cycle, speed: 4000}}"
"""The least that a case states of its own durability."""


@dataclass(frozen=True)
class Metals:
    """By part."""

    wall: Material
    flange: Material
    head: Material
    bolt: Material | None
    sleeve: Material | None

    @property
    def named(self) -> dict[str, Material]:
        """By what they are the metal of [-]."""
        every = {
            "wall": self.wall, "flange": self.flange, "head": self.head,
            "bolts": self.bolt, "sleeves": self.sleeve,
        }  # fmt: skip
        return {part: metal for part, metal in every.items() if metal is not None}


def needed(design: Design) -> Durability:
    """The durability block of a design that has all that the screening needs.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    asked : Durability   [SI]
    Errors      InputError naming what the case lacks.
    """
    case, problem = design.case, design.document.problem
    found: list[Problem] = []
    if case.durability is None:
        found.append(
            problem(("durability",), "the case has no `durability`, so its life cannot be screened",
                    f"add at least `{LEAST}`; for the engine's own gas `{ENGINE}`; where it is "
                    "welded, its `weld` too. CASE_FILE.md lists every key")
        )  # fmt: skip
    if case.wall.material is None:
        found.append(
            problem(("wall",), "the wall's metal is not stated", "add `material` to `wall`")
        )
    if not has_walls(design):
        found.append(
            problem(("wall",), "the wall's thickness is not stated",
                    "add `thickness` to `wall`, or give tubes their `wall`")
        )  # fmt: skip
    for leg in design.network.legs:
        if not leg.length > 0.0:
            message = f"{leg.name} has no length, so it has no wall to screen"
            found.append(problem((), message, "give it pieces, or leave it out of this case"))
    if found or case.durability is None:
        raise InputError(found)
    return case.durability


def all_needed(designs: Iterable[Design]) -> None:
    """Find out before anything is screened what designs lack.

    Parameters
    ----------
    designs : iterable of Design   [-]
    Errors      InputError naming what each of them lacks.
    """
    problems: list[Problem] = []
    for design in designs:
        try:
            needed(design)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)


def metals_of(design: Design) -> Metals:
    """The metals of a design, its own ones included.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    metals : Metals   [SI]
    Errors      InputError as in ``needed``.
    """
    asked = needed(design)
    own = own_materials(asked.materials)
    assert design.case.wall.material is not None
    wall = material(design.case.wall.material, own)
    flange = material(asked.flange.material, own) if asked.flange.material else wall
    bolts = asked.fasteners
    return Metals(
        wall,
        flange,
        material(asked.head.material, own),
        material(bolts.material, own) if bolts else None,
        material(bolts.sleeve.material, own) if bolts and bolts.sleeve else None,
    )
