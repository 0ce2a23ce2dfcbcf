"""Notes on the flange: slots, holes, flatness, what hangs on it, and the leak test."""

from __future__ import annotations

import math

from pulse1d.case.design import Design
from pulse1d.durability.bolt_sizes import thread
from pulse1d.errors import Pulse1dError
from pulse1d.run.drawing_note import PRACTICE, Note
from pulse1d.run.life_slip import Slip

FLAT = 0.2e-3
"""Over the length of the sealing face [m]."""
CUT = 2.0e-3
"""Narrowest slot that a saw or a plasma cut leaves clean [m]."""
STEP = 0.5e-3
"""To which sizes are rounded up [m]."""


def flange_notes(design: Design) -> list[Note]:
    """What the drawing could say of flange, holes, faces and test.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    notes : list of Note   [-]
    Source      ``pulse1d.run.life`` for the growth; else common practice
    """
    return [
        *_growth(design),
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


def _growth(design: Design) -> list[Note]:
    slip, flange = _slip(design), design.case.durability.flange if design.case.durability else None
    ports = len(design.case.runners)
    if flange is not None and flange.kind == "split":
        return []
    if slip is None or flange is None or design.case.durability is None:
        if ports < 2:
            return []
        return [
            Note(
                "slots",
                "Flange cut between the ports, or one foot a port; studs in the middle fit their "
                "holes, holes outwards get wider.",
                "A hot flange outgrows its head. Ports with their places on the head, "
                "`durability` and its `fasteners` in the case let pulse1d work out by how much.",
                PRACTICE,
            )
        ]
    bolts = design.case.durability.fasteners
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


def _slip(design: Design) -> Slip | None:
    """How the flange slides, where the case says enough to tell it without an engine."""
    asked = design.case.durability
    if asked is None or asked.gas.from_ is not None:
        return None
    from pulse1d.run.life import screen

    try:
        return screen(design, sizes=False).slip
    except Pulse1dError:
        return None


def _up(length: float) -> float:
    return STEP * math.ceil(length / STEP - 1e-9)
