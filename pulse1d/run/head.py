"""The cylinder head in series with the part, or alone on the bench."""

from __future__ import annotations

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.losses.element import Station
from pulse1d.losses.valve_seat import ValveSeat
from pulse1d.network.path import Path
from pulse1d.network.rows import Rows, element_rows


def head_rows(design: Design, lift: float) -> Rows:
    """Rows of valve and port at a lift, from the bench's mouth to the flange.

    Parameters
    ----------
    design : Design   [-]
    lift : float   Valve lift [m]
    Returns
    -------
    rows : Rows   [SI]
    Errors      InputError when the head has no flow table, or not at this lift.
    """
    head = design.case.head
    if head.flow is None:
        raise InputError(
            [
                Problem(
                    "the head has no flow table, so a lift cannot be tested",
                    "state `flow` under `head`: a valve seat with its table, or a restriction",
                    str(design.path),
                )
            ]
        )
    port = next((p.section for p in head.ports if p.section is not None), None)
    passage = head.passage if head.passage_costs else None
    section = passage.section if passage else port
    if section is None:
        section = design.network.legs[0].section_start
    station = Station(section=section, eps=0.0)
    flow = head.flow
    if isinstance(flow, ValveSeat):
        flow = flow.model_copy(update={"lift": lift})
    try:
        elements = list(flow.elements(station))
        for piece in passage.pieces if passage else ():
            elements += piece.elements(Station(section=section, eps=0.0))
            section = piece.section_out(section)
    except ValueError as error:
        raise InputError([Problem(str(error), "", str(design.path))]) from error
    return element_rows(elements)


def head_only(rows: Rows) -> Path:
    """The head on the bench by itself, discharging to the room.

    Parameters
    ----------
    rows : Rows   From ``head_rows`` [SI]
    Returns
    -------
    path : Path   [SI]
    """
    return Path("head", rows, ())
