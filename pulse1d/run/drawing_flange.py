"""Notes on the flange: slots, holes, flatness, what hangs on it, and the leak test."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from pulse1d.case.design import Design
from pulse1d.durability.bolt_sizes import thread
from pulse1d.errors import Pulse1dError
from pulse1d.run.drawing_note import PRACTICE, Note
from pulse1d.run.life_slip import Slip

if TYPE_CHECKING:
    from pulse1d.run.life import LifeResult

FLAT = 0.2e-3
"""Over the length of the sealing face [m]."""
CUT = 2.0e-3
"""Narrowest slot that a saw or a plasma cut leaves clean [m]."""
STEP = 0.5e-3
"""To which sizes are rounded up [m]."""


def flange_notes(design: Design, screened: LifeResult | None = None) -> list[Note]:
    """What the drawing could say of flange, holes, faces and test.

    Parameters
    ----------
    design : Design   [-]
    screened : LifeResult or None   Where it was screened already [SI]
    Returns
    -------
    notes : list of Note   [-]
    Source      ``pulse1d.run.life`` for the growth; else common practice
    """
    return [
        *_growth(design, screened),
        Note(
            "sealing face",
            f"Port face flat to {1e3 * FLAT:g} mm over its whole length, cut after all welding and "
            "any heat treatment; free of tool marks across the gasket's bead.",
            "A bowed face is pulled flat by its bolts, which then have less to clamp with, and "
            "leaks between ports first.",
            PRACTICE,
        ),
        Note(
            "outlet support",
            "A bracket from block or gearbox behind the outlet, a joint that gives behind it.",
            "A manifold that had passed its thermal cycles on the test bed failed in vehicles "
            "until the weight behind its outlet was put on the rig.",
            "SAE 840503 (abstract)",
        ),
        Note(
            "leak test",
            "Ports and outlet blanked, air at 0.2 bar gauge at most, leaks found by soap or under "
            "water; stand clear of blanks.",
            "Air under pressure stores energy, so pneumatic tests stay at low pressure; above it "
            "water, and whoever is licensed for it.",
            PRACTICE,
        ),
    ]


def _growth(design: Design, screened: LifeResult | None) -> list[Note]:
    asked, ports = design.case.durability, len(design.case.runners)
    if asked is not None and asked.flange.kind == "split":
        return []
    slip = _slip(design, screened)
    if isinstance(slip, str) or asked is None:
        if ports < 2:
            return []
        return [
            Note(
                "slots",
                "Flange cut between the ports, or one foot a port; studs in the middle fit their "
                "holes, holes outwards get wider.",
                f"A hot flange outgrows its head. By how much is not worked out here: {slip}.",
                PRACTICE,
            )
        ]
    flange, bolts = asked.flange, asked.fasteners
    assert bolts is not None
    size = thread(bolts.size)
    source = "computed by the screening of `pulse1d life` (hottest flange of the start)"
    grown = (
        f"It slides {1e3 * slip.slip:.2g} mm on the head at the end studs, "
        f"{1e3 * slip.span:.0f} mm apart; a hole of {1e3 * size.hole:g} mm leaves {bolts.size} "
        f"{1e3 * slip.clearance:.2g} mm to a side"
    )
    tight = slip.slip > slip.clearance
    whole = flange.kind == "one piece" and ports > 1
    cut = max(_up(2.0 * slip.slip / max(ports - 1, 1)), CUT)
    wide = _up(size.d + 2.0 * slip.slip)
    notes = []
    if tight:
        text = (
            f"Holes of {1e3 * size.hole:g} mm in the middle, widening to {1e3 * wide:g} mm at the "
            "end studs, or slots along the flange; washers that span them."
        )
        notes.append(Note("holes", text, f"{grown}, and the stud must bend for the rest.", source))
    else:
        text = f"Holes of {1e3 * size.hole:g} mm serve at every stud."
        notes.append(Note("holes", text, f"{grown}.", source))
    if whole and tight:
        text = f"Flange cut through between ports, {1e3 * cut:g} mm wide or more."
        reason = "A cut takes up the growth of one foot, and must not close hot."
        notes.append(Note("slots", text, reason, source))
    elif whole:
        text = f"The studs need no slots; a cut of {1e3 * cut:g} mm between ports may still pay."
        reason = (
            "A flange in one piece pulls at its runners. `flange: {kind: slotted, slot: "
            f"{1e3 * cut:g} mm}}` in the case lets `pulse1d life` say what a cut brings."
        )
        notes.append(Note("slots", text, reason, source))
    return notes


def _slip(design: Design, screened: LifeResult | None) -> Slip | str:
    """How the flange slides; or why that is not worked out here."""
    asked = design.case.durability
    if asked is None:
        return "the case states no `durability`"
    if asked.fasteners is None:
        return "the `durability` of the case states no `fasteners`"
    if asked.gas.from_ is not None:
        return (
            f"its gas is the running engine's at {asked.gas.speed:g} rev/min, which would be "
            "marched first; `pulse1d life` does so and prints the slip of the end stud"
        )
    from pulse1d.run.life import screen

    try:
        slip = (screened or screen(design, sizes=False)).slip
    except Pulse1dError as error:
        return f"the screening says: {str(error).splitlines()[0]}"
    return slip if slip is not None else "the ports have no `position` on the head"


def _up(length: float) -> float:
    return STEP * math.ceil(length / STEP - 1e-9)
