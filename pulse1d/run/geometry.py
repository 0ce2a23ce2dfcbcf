"""The geometry that a case resolves to, as plain numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from pulse1d import __version__
from pulse1d.case.design import Design
from pulse1d.network.closure import closures
from pulse1d.network.legs import BuiltLeg, BuiltPiece
from pulse1d.run.drawing_note import Note

SCHEMA = "pulse1d check 1"


def check_record(designs: Sequence[Design], notes: Sequence[Sequence[Note]] = ()) -> dict[str, Any]:
    """The object that ``pulse1d check --json`` prints.

    ``{"schema", "version", "cases": [...]}``, each case as below, and with ``--drawing-notes``
    under ``drawing_notes`` rows of ``topic``, ``text``, ``reason``, ``source``.

    Parameters
    ----------
    designs : sequence of Design   [-]
    notes : sequences of Note   Of each design, where asked for [-]
    Returns
    -------
    record : dict   [SI]
    """
    cases = [geometry_record(design) for design in designs]
    for case, own in zip(cases, notes, strict=False):
        case["drawing_notes"] = [asdict(note) for note in own]
    return {"schema": SCHEMA, "version": __version__, "cases": cases}


def geometry_record(design: Design) -> dict[str, Any]:
    """The geometry of one case.

    ``{"case", "file", "legs": [...], "runners": [...], "joints": [...]}``. Each leg: ``leg``,
    ``from``, ``to``, ``length_m``, ``volume_m3``, ``surface``, ``roughness_m``, ``pieces``. Each
    piece: ``piece``, ``kind``, ``section_in``, ``section_out`` (in words), ``length_m``,
    ``area_in_m2``, ``area_out_m2``, ``d_h_m``, ``volume_m3``, ``turn_rad``, ``area_change``. Each
    runner, from port to outlet: ``port``, ``cylinders``, ``legs``, ``runner_length_m``,
    ``length_m``, ``volume_m3``, ``least_area_m2``, ``turn_rad``, ``port_section``,
    ``port_area_m2``, ``opening_section``, ``opening_area_m2``. Each joint: ``joint``, ``legs``,
    ``distance_m`` (of each leg's end from its place), ``expected_m``, ``gap_m``, ``angle_rad`` (of
    each leg to the joint's axis in space, null where the case does not tell it),
    ``angle_stated_rad``, by which losses go.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    record : dict   [SI]
    """
    network = design.network
    return {
        "case": design.name,
        "file": str(design.path),
        "legs": [
            {
                "leg": leg.name,
                "from": network.starts[i],
                "to": network.ends[i],
                "length_m": leg.length,
                "volume_m3": leg.volume,
                "surface": leg.station.surface,
                "roughness_m": leg.station.eps,
                "pieces": [piece_record(piece) for piece in leg.pieces],
            }
            for i, leg in enumerate(network.legs)
        ],
        "runners": [runner_record(design, port) for port in network.port_names],
        "joints": [
            {
                "joint": c.joint,
                "legs": list(c.legs),
                "distance_m": list(c.distance),
                "expected_m": list(c.expected),
                "gap_m": c.gap,
                "angle_rad": [None if math.isnan(angle) else angle for angle in c.angle],
                "angle_stated_rad": list(c.stated),
            }
            for c in closures(network)
        ],
    }


def piece_record(piece: BuiltPiece) -> dict[str, Any]:
    """One piece: sections, length, volume, turn, change of area.

    Parameters
    ----------
    piece : BuiltPiece   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    return {
        "piece": piece.name,
        "kind": piece.spec.kind,
        "section_in": piece.section_in.describe(),
        "section_out": piece.section_out.describe(),
        "length_m": piece.length,
        "area_in_m2": piece.section_in.area,
        "area_out_m2": piece.section_out.area,
        "d_h_m": piece.section_out.D_h,
        "volume_m3": piece.volume,
        "turn_rad": turn(piece),
        "area_change": piece.section_out.area / piece.section_in.area - 1.0,
    }


def turn(piece: BuiltPiece) -> float:
    """Angle by which a piece turns the flow.

    Parameters
    ----------
    piece : BuiltPiece   [-]
    Returns
    -------
    angle : float   [rad]
    """
    return float(getattr(piece.spec, "angle", 0.0))


def runner_record(design: Design, port: str) -> dict[str, Any]:
    """A port's way to the outlet: length, volume, narrowest section, total turn.

    Parameters
    ----------
    design : Design   [-]
    port : str   [-]
    Returns
    -------
    record : dict   [SI]
    """
    network = design.network
    runner = network.legs[network.runner_index(port)]
    chain = network.chain(port)
    legs: list[BuiltLeg] = [network.legs[i] for i in chain] if chain else [runner]
    pieces = [piece for leg in legs for piece in leg.pieces]
    areas = [leg.section_start.area for leg in legs] + [piece.section_out.area for piece in pieces]
    outline = network.port(port).section
    return {
        "port": port,
        "cylinders": list(network.port(port).cylinders),
        "legs": [leg.name for leg in legs],
        "runner_length_m": runner.length,
        "length_m": sum(leg.length for leg in legs),
        "volume_m3": sum(leg.volume for leg in legs),
        "least_area_m2": min(areas),
        "turn_rad": math.fsum(turn(piece) for piece in pieces),
        "port_section": outline.describe() if outline is not None else None,
        "port_area_m2": outline.area if outline is not None else None,
        "opening_section": runner.section_start.describe(),
        "opening_area_m2": runner.section_start.area,
    }


def turns(design: Design) -> Iterator[tuple[str, str, str, str, float, float]]:
    """How the legs that come into each joint turn into the one that goes out.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    rows : iterator   Joint, kind, leg, leg that goes out, turn, area ratio [-, -, -, -, rad, -]
    """
    network = design.network
    for name, (joint, ends) in network.joints.items():
        out = next((end for end in ends if not end.at_end), None)
        if out is None:
            continue
        for end in (end for end in ends if end.at_end):
            cosine = min(max(-float(end.direction @ out.direction), -1.0), 1.0)
            legs = network.legs[end.leg].name, network.legs[out.leg].name
            yield name, joint.kind, *legs, math.acos(cosine), out.area / end.area
