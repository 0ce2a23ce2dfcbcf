"""Notes for the pattern shop: wall, core, draft, machining, fillets."""

from __future__ import annotations

import math
from typing import NamedTuple

from pulse1d.case.design import Design
from pulse1d.durability.metal import Material
from pulse1d.run.drawing_note import MEMORY, PRACTICE, Note


class Process(NamedTuple):
    """What a way of casting can hold, typical values (common practice, no source)."""

    shift: float
    """Of a core in its mould, either way [m]."""
    wall: dict[str, float]
    """Least wall that runs full, by family of metal [m]."""
    draft: float
    """Of pattern faces, a side [deg]."""
    core_draft: float
    """Of core faces, a side [deg]."""
    allowance: float
    """Of metal to be cut from a face [m]."""


PROCESSES = {
    "green sand cast": Process(
        1.0e-3, {"grey iron": 4.0e-3, "ductile iron": 4.5e-3}, 1.5, 1.0, 3.0e-3
    ),
    "resin cast": Process(0.7e-3, {"grey iron": 3.5e-3, "ductile iron": 4.0e-3}, 1.0, 0.75, 2.5e-3),
    "shell cast": Process(0.4e-3, {"grey iron": 3.0e-3, "ductile iron": 3.5e-3}, 0.75, 0.5, 2.0e-3),
}
STEEL = 1.0e-3
"""Cast steel runs worse than iron: added to the ductile iron's wall (judgement) [m]."""
FILLET = 6e-3
"""Radius where runners meet [m]."""


def cast_notes(design: Design, metal: Material | None) -> list[Note]:
    """What the drawing of a casting could say.

    Parameters
    ----------
    design : Design   With a cast surface [-]
    metal : Material or None   Of its wall, where it is known [-]
    Returns
    -------
    notes : list of Note   [-]
    Source      common practice, no source; the fillet after Li et al. 2022
    """
    surface = design.case.surface.label
    process = PROCESSES.get(surface, PROCESSES["green sand cast"])
    family = metal.family if metal is not None else "ductile iron"
    least = process.wall.get(family, process.wall["ductile iron"] + STEEL)
    return [
        _wall(design, surface, family, least, process),
        Note(
            "core shift",
            f"Cores held to {1e3 * process.shift:g} mm; prints that locate every core against the "
            "port face, the check taken there.",
            f"Typical of a {surface} part. What a shift costs at the port stands under port match.",
            PRACTICE,
        ),
        _draft(design, surface, process),
        Note(
            "machining",
            f"{1e3 * process.allowance:g} mm to be cut from port face and outlet face, cast datum "
            "points on the part; scale and a bent flange must clean up.",
            f"Typical of a {surface} part of some 400 mm; a one-piece flange bends as it cools.",
            MEMORY + " (order of the ISO 8062-3 allowances)",
        ),
        Note(
            "fillets",
            f"Radius of {1e3 * FILLET:g} mm or more, inside and out, where runners meet each other "
            "and the flange; even walls through the joint.",
            "Cracks start where walls meet and stay hot; on a diesel manifold that cracked in a "
            "700 h bench test a 6 mm fillet cured it.",
            "Li et al. 2022, doi 10.1007/s40962-022-00796-8 (one part); evenness common practice",
        ),
    ]


def _wall(design: Design, surface: str, family: str, least: float, process: Process) -> Note:
    drawn = design.case.wall.thickness
    wanted = least + process.shift
    text = (
        f"Wall of {1e3 * least:g} mm or more everywhere as cast, so {1e3 * wanted:g} mm or more "
        "as drawn."
    )
    reason = (
        f"{family[0].upper()}{family[1:]} runs full down to about {1e3 * least:g} mm in a "
        f"{surface} part, and a core may sit {1e3 * process.shift:g} mm off."
    )
    if drawn is not None:
        left = 1e3 * (drawn - process.shift)
        verdict = "enough" if drawn >= wanted * (1.0 - 1e-9) else "too little"
        reason += f" The case's {1e3 * drawn:g} mm would leave {left:g} mm: {verdict}."
    return Note("least wall", text, reason, PRACTICE)


def _draft(design: Design, surface: str, process: Process) -> Note:
    found: list[tuple[float, str]] = []
    for leg in design.network.legs:
        for piece in leg.pieces:
            if piece.spec.kind == "taper":
                start, end = (
                    math.sqrt(s.area / math.pi) for s in (piece.section_in, piece.section_out)
                )
                angle = math.degrees(math.atan(abs(end - start) / piece.length))
                found.append((angle, f"{leg.name}: {piece.name}"))
    reason = f"Typical of a {surface} part; a core that is stripped sideways needs it in its box."
    if found:
        angle, name = min(found)
        reason += f" The slightest taper drawn is {angle:.2g} deg a side, {name}."
    return Note(
        "draft",
        f"{process.draft:g} deg a side on pattern faces, {process.core_draft:g} deg on core faces "
        "along the way they are drawn.",
        reason,
        PRACTICE,
    )
