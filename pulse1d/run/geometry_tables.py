"""The geometry that cases resolve to as tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pulse1d.case.design import Design
from pulse1d.network.closure import Closure, closures
from pulse1d.results.sheet import Column, Sheet, count, flag, number, text
from pulse1d.results.table import Table
from pulse1d.run.geometry import piece_record, runner_record, turns

CASE: Column[Any] = text("case", "name of the design", lambda r: r[0].name)

RUNNERS: Sheet[tuple[Design, dict[str, Any]]] = Sheet(
    "runners",
    "Way of every port to the outlet",
    (
        CASE,
        text("port", "of the head", lambda r: r[1]["port"]),
        text("legs", "on the way, one behind another", lambda r: "; ".join(r[1]["legs"])),
        text("port_section", "as stated", lambda r: r[1]["port_section"] or ""),
        number("port_area", "m2", "of the head's port", lambda r: r[1]["port_area_m2"]),
        text("opening_section", "where the runner starts", lambda r: r[1]["opening_section"]),
        number("opening_area", "m2", "of it", lambda r: r[1]["opening_area_m2"]),
        number("least_area", "m2", "on the way to the outlet", lambda r: r[1]["least_area_m2"]),
        number("runner_length", "m", "to the first joint", lambda r: r[1]["runner_length_m"]),
        number("length", "m", "to the outlet", lambda r: r[1]["length_m"]),
        number("volume", "m3", "to the outlet", lambda r: r[1]["volume_m3"]),
        number("turn", "rad", "angles of all bends added up", lambda r: r[1]["turn_rad"]),
    ),
)

PIECES: Sheet[tuple[Design, str, int, dict[str, Any]]] = Sheet(
    "pieces",
    "Every piece of every leg, from its start",
    (
        CASE,
        text("leg", "runner or trunk", lambda r: r[1]),
        count("place", "in the leg, from 1", lambda r: r[2]),
        text("piece", "as the case names it", lambda r: r[3]["piece"]),
        text("kind", "of piece", lambda r: r[3]["kind"]),
        text("section_in", "where it starts", lambda r: r[3]["section_in"]),
        text("section_out", "where it ends", lambda r: r[3]["section_out"]),
        number("length", "m", "along the centre line", lambda r: r[3]["length_m"]),
        number("area_in", "m2", "where it starts", lambda r: r[3]["area_in_m2"]),
        number("area_out", "m2", "where it ends", lambda r: r[3]["area_out_m2"]),
        number("hydraulic_diameter", "m", "where it ends", lambda r: r[3]["d_h_m"]),
        number("volume", "m3", "of gas", lambda r: r[3]["volume_m3"]),
        number("turn", "rad", "of the flow", lambda r: r[3]["turn_rad"]),
    ),
)

JOINTS: Sheet[tuple[Design, str, str, str, str, float, float]] = Sheet(
    "joints",
    "How legs meet",
    (
        CASE,
        text("joint", "as the case names it", lambda r: r[1]),
        text("kind", "of joint", lambda r: r[2]),
        text("leg", "that comes in", lambda r: r[3]),
        text("into", "leg that goes out", lambda r: r[4]),
        number("turn", "rad", "from one to the other", lambda r: r[5]),
        number("area_ratio", "1", "area behind over that of the leg", lambda r: r[6]),
    ),
)

ENDS: Sheet[tuple[Design, Closure, int]] = Sheet(
    "ends",
    "Whether legs' ends meet at their joint, where places are known",
    (
        CASE,
        text("joint", "as the case names it", lambda r: r[1].joint),
        text("leg", "that arrives", lambda r: r[1].legs[r[2]]),
        number("off", "m", "leg's end to the joint", lambda r: r[1].distance[r[2]]),
        number("fit", "m", "largest distance that still fits", lambda r: r[1].expected[r[2]]),
        flag("stated", "off the joint's stated place; else the ends' centre",
             lambda r: r[1].has_position),
        number("angle", "rad", "between the leg and the joint's axis; empty: it cannot be told",
               lambda r: r[1].angle[r[2]]),
        number("angle_stated", "rad", "to the axis, by the case", lambda r: r[1].stated[r[2]]),
    ),
)  # fmt: skip

SHEETS: tuple[Sheet[Any], ...] = (RUNNERS, PIECES, JOINTS, ENDS)


def geometry_tables(designs: Sequence[Design]) -> list[Table]:
    """Everything that ``pulse1d check`` prints or draws from.

    Parameters
    ----------
    designs : sequence of Design   [-]
    Returns
    -------
    tables : list of Table   Runners, pieces; joints and ends where legs meet [SI]
    """
    more = (
        JOINTS.table(one for design in designs for one in _joints(design)),
        ENDS.table(
            (design, closure, k)
            for design in designs
            for closure in closures(design.network)
            for k in range(len(closure.legs))
        ),
    )
    return [
        RUNNERS.table(
            (design, runner_record(design, port))
            for design in designs
            for port in design.network.port_names
        ),
        PIECES.table(
            (design, leg.name, place, piece_record(piece))
            for design in designs
            for leg in design.network.legs
            for place, piece in enumerate(leg.pieces, 1)
        ),
        *(table for table in more if table.rows),
    ]


def _joints(design: Design) -> Iterator[tuple[Design, str, str, str, str, float, float]]:
    for row in turns(design):
        yield (design, *row)
