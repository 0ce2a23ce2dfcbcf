"""Rows of a part's single paths without the doubts on them, for thousands of designs.

A piece that two designs share, as the same object, is worked out once; so a design costs what it
changes. The rows are those of ``pulse1d.network.path``, number for number.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.geometry.sections import Section
from pulse1d.losses.bend import Bend
from pulse1d.losses.element import COLUMN, Element, Station
from pulse1d.losses.mitre import Mitre
from pulse1d.losses.step import SectionStep
from pulse1d.network.layout import Layout, Leg, Meeting
from pulse1d.network.legs import (
    ALONE,
    BuiltLeg,
    PieceError,
    bend_factors,
    elements_of,
    leg_name,
    station_at,
    wall_station,
    walled,
)
from pulse1d.network.network import Network, node_of_start
from pulse1d.network.rows import passage

Array = NDArray[np.float64]
MOST = 20_000
"""Pieces remembered; then all are forgotten and worked out anew."""


@dataclass(frozen=True)
class PlainNetwork:
    """Legs without a place in space, and their rows."""

    network: Network
    rows: tuple[tuple[Array, ...], ...]
    """Of each leg, piece by piece [SI]."""


@dataclass
class Memory:
    """Rows of pieces, by the objects that they come from, which are held so that they stay."""

    known: dict[tuple[Any, ...], tuple[Array, Section, Any]] = field(default_factory=dict)

    def network(self, layout: Layout) -> PlainNetwork:
        """Legs of a layout whose topology is checked; PieceError for the first that cannot be."""
        heads = {port.name: port.section for port in layout.ports}
        specs: tuple[Leg, ...] = (*layout.runners, *layout.trunks)
        legs, rows = [], []
        for spec in specs:
            leg, own = self.leg(layout, spec, heads.get(getattr(spec, "port", "")))
            legs.append(leg)
            rows.append(own)
        network = Network(
            layout,
            tuple(legs),
            tuple(node_of_start(leg) for leg in specs),
            tuple(leg.to.joint if isinstance(leg.to, Meeting) else leg.to for leg in specs),
        )
        return PlainNetwork(network, tuple(rows))

    def leg(
        self, layout: Layout, leg: Leg, head: Section | None
    ) -> tuple[BuiltLeg, tuple[Array, ...]]:
        """A leg and its rows, piece by piece; its pieces are left out of the ``BuiltLeg``."""
        if len(self.known) > MOST:
            self.known.clear()
        start = wall = wall_station(layout, leg)
        walls: tuple[Any, ...] = (wall.eps, wall.surface, wall.f_fixed, wall.T_w)
        section = leg.section
        bends = sum(isinstance(piece, Bend | Mitre) for piece in leg.pieces)
        pairs = bend_factors(leg) if bends > 1 else {}
        at_outlet = leg.to == "outlet"
        rows = []
        for index, spec in enumerate(leg.pieces):
            pair, mouth = pairs.get(index, ALONE), head if index == 0 else None
            turns = at_outlet and isinstance(spec, Bend | Mitre)
            after = tuple(map(id, leg.pieces[index + 1 :])) if turns else ()
            key = (id(spec), id(section), id(mouth), pair, after, walls)
            found = self.known.get(key)
            if found is None:
                station = station_at(leg, index, wall, section, head, pair)
                found = (*worked_out(spec, station, leg, index), (spec, section, mouth, leg.pieces))
                self.known[key] = found
            rows.append(found[0])
            section = found[1]
            if isinstance(spec, SectionStep) and spec.surface is not None:
                wall = walled(wall, spec.surface)
                walls = (wall.eps, wall.surface, wall.f_fixed, wall.T_w)
        return BuiltLeg(leg_name(leg), leg, (), leg.section, section, start), tuple(rows)


def worked_out(spec: Any, station: Station, leg: Leg, index: int) -> tuple[Array, Section]:
    """Rows of a piece and the section that it leaves.

    Parameters
    ----------
    spec : piece spec   [-]
    station : Station   [-]
    leg, index : Leg, int   Where it stands, for messages [-]
    Returns
    -------
    rows, section : (n, k) array, Section   [SI]
    Errors      PieceError for a piece that cannot be built there.
    """
    try:
        return steps_of(spec.elements(station)), spec.section_out(station.section)
    except ValueError as error:
        raise PieceError(str(error), index, leg_name(leg)) from error


def plain_path(plain: PlainNetwork, port: str) -> Array | None:
    """Rows from a port to the outlet, its neighbours blanked.

    Parameters
    ----------
    plain : PlainNetwork   [SI]
    port : str   [-]
    Returns
    -------
    rows : (n, k) array or None   None when the flow can split on its way [SI]
    Source      as ``pulse1d.network.path.single_path``
    """
    network = plain.network
    chain = network.chain(port)
    if chain is None:
        return None
    first, last = network.legs[chain[0]], network.legs[chain[-1]]
    section = network.port(port).section or first.section_start
    mouth = replace(first.station, section=section)
    parts = [steps_of(elements_of(network.layout.entry, mouth))]
    for place, index in enumerate(chain):
        if place:
            joint, ends = network.joints[network.starts[index]]
            inlet = next(e for e in ends if e.leg == chain[place - 1] and e.at_end)
            outlet = next(e for e in ends if e.leg == index and not e.at_end)
            parts.append(steps_of((passage(joint, inlet, outlet),)))
        parts += plain.rows[index]
    out = Station(section=last.section_end, eps=last.station.eps)
    parts.append(steps_of(elements_of(network.layout.outlet, out)))
    return np.concatenate(parts)


def steps_of(elements: tuple[Element, ...]) -> Array:
    """The steps of elements, in order.

    Parameters
    ----------
    elements : tuple of Element   [SI]
    Returns
    -------
    rows : (n, k) array   [SI]
    """
    steps = [step for element in elements for step in element.steps]
    return np.array(steps, dtype=float).reshape(-1, len(COLUMN))
