"""Notes for the fabricator: bends, weld preparation, dressing."""

from __future__ import annotations

from pulse1d.case.design import Design
from pulse1d.durability.weld_factor import weld_factor
from pulse1d.losses.bend import Bend
from pulse1d.losses.weld_bead import WeldBead
from pulse1d.run.drawing_flow import bench_flows, without_beads
from pulse1d.run.drawing_note import PRACTICE, Note, by_law

LEAST = 1.0e-3
"""Wall of a bent tube below which welds burn through and cracks come early (judgement) [m]."""
SQUARE = 3.0e-3
"""Thickest wall that is welded from square ends (common practice) [m]."""


def tube_notes(design: Design) -> list[Note]:
    """What the drawing of a bent and welded part could say.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    notes : list of Note   [-]
    Source      geometry of a bent tube; WRC 432 and Jaske 2000 (from memory) for welds
    """
    return [*_bends(design), *_prepared(design), *_dressed(design)]


def _bends(design: Design) -> list[Note]:
    wall = design.case.wall.thickness
    tight: list[tuple[float, str]] = []
    for leg in design.network.legs:
        for piece in leg.pieces:
            if isinstance(piece.spec, Bend):
                width, height = piece.section_in.extent
                side = width if piece.spec.plane == "width" else height
                tight.append((piece.spec.radius / side, f"{leg.name}: {piece.name}"))
    if wall is None or not tight:
        return []
    ratio, name = min(tight)
    outer = 1.0 / (1.0 + 0.5 / ratio)
    thin = wall * outer
    enough = "enough" if thin >= LEAST else "too thin: take a thicker tube or a larger radius"
    return [
        Note(
            "least wall",
            f"Wall of {1e3 * LEAST:g} mm or more on the outside of every bend, checked on a cut or "
            "by ultrasound on the first part.",
            f"The tightest bend, {name}, has r/D {ratio:.2f}: its outside stretches the wall from "
            f"{1e3 * wall:.3g} to about {1e3 * thin:.2g} mm, {enough}.",
            "geometry: t r/(r + D/2), the neutral line on the centre line; the limit a judgement",
        )
    ]


def _prepared(design: Design) -> list[Note]:
    wall = design.case.wall.thickness
    square = wall is None or wall <= SQUARE
    ends = "square ends without a gap" if square else "ends bevelled to 30 deg, 1 mm root face"
    return [
        Note(
            "weld preparation",
            f"{ends[0].upper()}{ends[1:]}, full penetration, stainless purged inside with argon; "
            "bores brought into line before tacking; no galvanised parts.",
            "A step at the seam stands in the stream, and a root that air has reached is brittle "
            "and cracks. Fume of stainless holds chromium(VI): extraction, and qualified welders.",
            PRACTICE,
        )
    ]


def _dressed(design: Design) -> list[Note]:
    legs = (*design.case.runners, *design.case.trunks)
    beads = [piece.height for leg in legs for piece in leg.pieces if isinstance(piece, WeldBead)]
    as_welded, dressed = weld_factor("as welded").middle, weld_factor("dressed").middle
    reason = (
        f"Strain at a weld counts {dressed:g} times when dressed, {as_welded:g} times as welded, "
        f"{weld_factor('fillet').middle:g} times at a fillet."
    )
    source = "WRC Bulletin 432, Jaske 2000 (from memory)"
    if beads:
        before, after = bench_flows(design), bench_flows(without_beads(design))
        gains = {port: after[port] / before[port] - 1.0 for port in before}
        most = max(gains, key=lambda port: gains[port])
        reason = (
            f"Without the beads drawn (up to {1e3 * max(beads):g} mm) port {most} would flow "
            f"{100 * gains[most]:.1f} % more. {reason}"
        )
        source = f"{by_law('weld bead', 'weisbach1855')}; {source}"
    return [
        Note(
            "weld dressing",
            "Roots dressed flush inside where a tool reaches, port flange first; toes blended "
            "outside, no undercut.",
            reason,
            source,
        )
    ]
