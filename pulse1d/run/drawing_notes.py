"""Notes that a drawing could carry, each with value, reason and source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pulse1d.case.design import Design
from pulse1d.durability.materials import citations, material
from pulse1d.durability.metal import Material
from pulse1d.run.drawing_cast import cast_notes
from pulse1d.run.drawing_flange import flange_notes
from pulse1d.run.drawing_note import FIRST, Note
from pulse1d.run.drawing_port import port_notes
from pulse1d.run.drawing_tube import tube_notes

if TYPE_CHECKING:
    from pulse1d.run.life import LifeResult

__all__ = ["FIRST", "Note", "drawing_notes", "is_cast"]


def drawing_notes(design: Design, screened: LifeResult | None = None) -> tuple[Note, ...]:
    """Suggestions for the pattern shop or the fabricator.

    Parameters
    ----------
    design : Design   [-]
    screened : LifeResult or None   Where it was screened already [SI]
    Returns
    -------
    notes : tuple of Note   To be shown under ``FIRST`` [-]
    Errors      InputError where the bench that prices a detail cannot be solved.
    Source      each note names its own
    """
    metal = _metal(design)
    made = cast_notes(design, metal) if is_cast(design) else tube_notes(design)
    return (*port_notes(design), *made, *flange_notes(design, screened), *_metal_notes(metal))


def is_cast(design: Design) -> bool:
    """Whether the part is cast rather than bent and welded.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    cast : bool   By its surface, else by its metal [-]
    """
    metal = _metal(design)
    if "cast" in design.case.surface.label:
        return True
    return metal is not None and ("iron" in metal.family or metal.name.startswith("cast"))


def _metal(design: Design) -> Material | None:
    """The wall's metal, where it is one that is known."""
    name = design.case.wall.material
    try:
        return material(name) if name is not None else None
    except ValueError:
        return None


def _metal_notes(metal: Material | None) -> list[Note]:
    if metal is None:
        return []
    cited = citations()
    keys = list(dict.fromkeys(key for key in metal.from_.split(", ")))
    return [
        Note(
            "metal",
            "Grade, heat treatment and certificate on the drawing.",
            f"Figures here are typical of {metal.name}: no hotter than "
            f"{metal.T_limit - 273.15:.0f} degC in cyclic service"
            + (f": {metal.limit_note}." if metal.limit_note else ".")
            + " `pulse1d life` says how hot it gets.",
            "; ".join(cited.get(key, key) for key in keys),
        )
    ]
