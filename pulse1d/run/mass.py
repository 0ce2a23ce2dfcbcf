"""Mass of a part: the metal around its gas."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pulse1d.case.design import Design
from pulse1d.geometry.sections import Section

DENSITIES = {
    "stainless": 7900.0,
    "nickel": 8200.0,
    "titanium": 4500.0,
    "alumin": 2700.0,
    "ductile": 7100.0,
    "nodular": 7100.0,
    "iron": 7200.0,
    "steel": 7850.0,
}
"""First word of these that stands in the material's name decides; handbook values, from memory
[kg/m3]."""
ELSE = 7850.0
"""Of a material that is not stated or not known: steel (judgement) [kg/m3]."""


def density_of(material: str | None) -> tuple[float, str]:
    """Density of a wall, and what was taken.

    Parameters
    ----------
    material : str or None   As the case names it [-]
    Returns
    -------
    rho, taken : float, str   [kg/m3, -]
    Source      handbook values, from memory; steel where nothing is known (judgement)
    """
    for word, rho in DENSITIES.items():
        if material is not None and word in material.lower():
            return rho, material
    if material is None:
        return ELSE, "steel, as no material is stated"
    return ELSE, f"steel, as {material!r} is not known"


def has_walls(design: Design) -> bool:
    """Whether every section of a part has a stated thickness.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    known : bool   [-]
    """
    if design.case.wall.thickness is not None:
        return True
    return all(hasattr(s, "wall") for pair in _stretches(design) for s in pair[:2])


def part_mass(design: Design) -> float:
    """Mass of the walls of every leg of the part itself, what stands downstream left out.

    The metal around a section is a strip of the wall's thickness t outside the bore: P t + pi t^2
    (Steiner, exact for a round bore and for convex outlines with rounded corners). Along a piece
    it is the mean of both ends, exact for tubes, bends (Pappus) and cones of one thickness.
    Flanges, beads, bricks and brackets are not counted, and metal shared where legs merge counts
    for each.

    Parameters
    ----------
    design : Design   With stated thicknesses [SI]
    Returns
    -------
    mass : float   Not a number where a thickness is missing [kg]
    Source      plane geometry, no source
    """
    rho, _ = density_of(design.case.wall.material)
    thickness = design.case.wall.thickness
    metal = [
        0.5 * (_around(first, thickness) + _around(last, thickness)) * length
        for first, last, length in _stretches(design)
    ]
    return rho * math.fsum(metal)


def _stretches(design: Design) -> Iterator[tuple[Section, Section, float]]:
    for leg in (*design.case.runners, *design.case.trunks):
        section = leg.section
        for piece in leg.pieces:
            behind = piece.section_out(section)
            if (length := piece.path_length()) > 0.0:
                yield section, behind, length
            section = behind


def _around(section: Section, thickness: float | None) -> float:
    t = getattr(section, "wall", thickness)
    return math.nan if t is None else section.perimeter * t + math.pi * t * t
