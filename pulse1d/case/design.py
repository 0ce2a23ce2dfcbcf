"""Load a case: file to spec to network, every problem reported in one pass."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from pulse1d.case import kinds
from pulse1d.case.alone import alone
from pulse1d.case.banks import bank_problems
from pulse1d.case.derive import load_derived
from pulse1d.case.document import Document, shown
from pulse1d.case.duct_pieces import duct_problems
from pulse1d.case.durable import metal_problems
from pulse1d.case.engine_head import lift_problems
from pulse1d.case.files import inside
from pulse1d.case.kinds import refuse_other
from pulse1d.case.problems import validate
from pulse1d.case.reader import read_yaml
from pulse1d.case.schema import Case, Head
from pulse1d.case.topology import topology_problems
from pulse1d.errors import InputError, Problem
from pulse1d.geometry.sections import Section
from pulse1d.network.layout import Layout, Runner, Trunk
from pulse1d.network.legs import PieceError, build_leg, leg_name
from pulse1d.network.network import Network, PieceErrors, build
from pulse1d.network.rows import Keys
from pulse1d.steady.conditions import Bench

OF_WHOLE_CASE = (topology_problems, bank_problems, lift_problems, duct_problems, metal_problems)
_ANY_WALL: Layout = Layout.model_construct()  # type: ignore[call-arg]


@dataclass(frozen=True)
class Design:
    """A loaded case: the spec, where it came from, and its network."""

    case: Case
    path: Path
    document: Document

    @property
    def name(self) -> str:
        """The design's name, as the case gives it."""
        return self.case.about.name

    @property
    def keys(self) -> Keys:
        """Whose doubts its numbers carry: its file's name, and that of the base it comes from."""
        return Keys(self.path.stem, next(iter(self.document.sources), self.path).stem)

    @cached_property
    def network(self) -> Network:
        """Legs and joints, built, on the case's own bench."""
        return build(self.case.layout(self.case.bench))

    def network_on(self, bench: Bench) -> Network:
        """Legs and joints on another bench set-up."""
        return self.network if bench == self.case.bench else build(self.case.layout(bench))

    @cached_property
    def digest(self) -> str:
        """Hash of what gas and engine see of the design, under its name; notes, numerics and
        expectations apart."""
        apart: dict[str, Any] = {
            **dict.fromkeys(("numerics", "expect", "based_on", "durability"), True),
            "about": {"notes"},
            "joints": {"__all__": {"direction"}},  # of the plan, not of the flow
        }
        what = self.case.model_dump(mode="json", exclude=apart)
        return hashlib.sha256(json.dumps(what, sort_keys=True).encode()).hexdigest()


def load(path: str | Path) -> Design:
    """Read a case file, with the files it is based on and its head.

    Parameters
    ----------
    path : str or Path   The case file [-]
    Returns
    -------
    design : Design   [SI]
    Errors      InputError with every problem found, each with file, line and remedy.
    """
    path = Path(path)
    if path.suffix.lower() == ".csv":
        message = "this is a table, not a case"
        raise InputError([Problem(message, "name a case; readings name their table", shown(path))])
    document = with_files(load_derived(path, defer=True))
    refuse_other(document, kinds.CASE, "a case", "name a case")
    case = validate(Case, document, checks=(*OF_WHOLE_CASE, piece_problems))
    design = Design(case, path, document)
    try:
        _ = design.network
    except PieceErrors as error:
        raise InputError([_downstream_problem(design, item) for item in error.errors]) from error
    beyond = station_problems(design)
    if beyond:
        raise InputError(beyond)
    return design


def station_problems(design: Design) -> list[Problem]:
    """Stations of the pulse that lie beyond the end of their way.

    Parameters
    ----------
    design : Design   Its network built [-]
    Returns
    -------
    problems : list of Problem   [-]
    """
    pulse, network = design.case.pulse, design.network
    if pulse is None:
        return []
    way = network.chain(pulse.port)
    length = sum(network.legs[i].length for i in way or [network.runner_index(pulse.port)])
    end = "the outlet" if way else "the joint where its way splits"
    return [
        design.document.problem(
            ("pulse", "stations", name),
            f"station {name!r} lies {1e3 * (at - length):.0f} mm beyond {end}, which is "
            f"{1e3 * length:.0f} mm from port {pulse.port!r} along the path",
            "give its distance from the port along the centre line",
        )
        for name, at in pulse.stations.items()
        if at > length + 1e-9
    ]


def with_files(document: Document) -> Document:
    """The document with the head and calibration files that it names put in their places.

    Parameters
    ----------
    document : Document   A case [-]
    Returns
    -------
    document : Document   `head` and `calibration` are mappings [-]
    Errors      InputError when a file cannot be read or is of another kind.
    """
    document = with_file(document, "head", kinds.HEAD)
    return with_file(document, "calibration", kinds.CALIBRATION)


def with_file(document: Document, key: str, known: str) -> Document:
    """The document with the file that one of its keys names put in its place.

    Parameters
    ----------
    document : Document   A case [-]
    key : str   Top-level key; left alone unless its value is a file name [-]
    known : str   Format that the file must state [-]
    Returns
    -------
    document : Document   [-]
    Errors      InputError when the file cannot be read or states another format.
    """
    name = document.data.get(key)
    if not isinstance(name, str):
        return document
    file, line = document.mark((key,))
    root = document.path.parent
    named = read_yaml(inside(root, file, name, line), root, defer=True)
    data = dict(named.data)
    stated = data.pop("format", None)
    if stated != known:
        raise InputError(
            [
                document.problem(
                    (key,),
                    f"{name!r} is not a {key} file of a known format; its format is {stated!r}",
                    f"name a {key} file; it starts with `format: {known}`",
                )
            ]
        )
    marks = {place: mark for place, mark in document.marks.items() if place != (key,)}
    marks |= {(key, *place): mark for place, mark in named.marks.items()}
    return Document(
        document.path,
        document.text,
        {**document.data, key: data},
        marks,
        {**document.sources, **named.sources},
        (*document.problems, *named.problems),
    )


def piece_problems(document: Document) -> list[Problem]:
    """Pieces that do not fit their neighbours, leg by leg on the plain data.

    Legs that cannot be read by themselves are passed over; the schema reports those.

    Parameters
    ----------
    document : Document   A case [-]
    Returns
    -------
    problems : list of Problem   [-]
    """
    found: list[Problem] = []
    outlines = _outlines(document.data.get("head"))
    for key, model in (("runners", Runner), ("trunks", Trunk)):
        items = document.data.get(key)
        for index, item in enumerate(items if isinstance(items, list) else ()):
            leg = alone(model, item)
            if leg is None:
                continue
            try:
                build_leg(_ANY_WALL, leg, outlines.get(str(item.get("port"))), None)
            except PieceError as error:
                message, _, remedy = str(error).partition("; ")
                place = (key, index, "pieces", error.index)
                found.append(document.problem(place, f"{error.leg}: {message}", remedy))
    return found


def _downstream_problem(design: Design, error: PieceError) -> Problem:
    message, _, remedy = str(error).partition("; ")
    place: tuple[str | int, ...] = ("downstream",)
    for leg in (*design.case.runners, *design.case.trunks):
        index = error.index - len(leg.pieces) - 1  # the step to the downstream section between
        if leg_name(leg) == error.leg and index >= 0:
            place = ("downstream", "pieces", index)
    return design.document.problem(place, message, remedy)


def _outlines(data: Any) -> dict[str, Section]:
    head = alone(Head, data) if isinstance(data, dict) else None
    return {port.name: port.section for port in head.ports} if head is not None else {}
