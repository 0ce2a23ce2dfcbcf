"""A design's metal as nodes: legs, weld zones, flanges, bolts and sleeves, through one start."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from pulse1d.durability.bolt_sizes import thread
from pulse1d.durability.heat_nodes import Link, Node
from pulse1d.durability.spec import Durability
from pulse1d.durability.transient import Schedule, Transient, march
from pulse1d.run.life_gas import GasState
from pulse1d.run.life_legs import LegShape
from pulse1d.run.life_metals import Metals

ZONE = 10e-3
"""Length of wall behind the flange that counts as the weld's (judgement) [m]."""
SEAT = 2000.0
"""Contact of a nut or sleeve on dry steel (judgement) [W/m2/K]."""


def heat_up(
    asked: Durability, shapes: list[LegShape], gas: Mapping[str, GasState], metals: Metals
) -> Transient:
    """Temperatures of every node over one start.

    A leg is one lumped node; a runner has a weld zone and a flange in front of it. The flange bar
    is the metal of its width around the port; it touches the head. Bolts hang between nut and head.

    Parameters
    ----------
    asked : Durability   [SI]
    shapes : list of LegShape   [SI]
    gas : mapping   By leg [SI]
    metals : Metals   [SI]
    Returns
    -------
    transient : Transient   Nodes "runner 1", "runner 1 weld zone", "runner 1 flange", "... bolt",
        "... sleeve" [SI]
    Limits      one temperature along a leg; no conduction between legs; radiation between parts
                is left out
    Source      heat balances of ``pulse1d.durability.heat_rates``
    """
    nodes: list[Node] = []
    links: list[Link] = []
    for shape in shapes:
        wall = wall_node(asked, shape, gas[shape.name], metals)
        nodes.append(wall)
        if shape.start.startswith("port "):
            front_nodes(asked, shape, wall, metals, nodes, links)
    cycle = asked.cycle
    return march(nodes, links, Schedule(cycle.warm_up, 0.0, cycle.cool_down, cycle.start))


def wall_node(asked: Durability, shape: LegShape, gas: GasState, metals: Metals) -> Node:
    """A leg's wall.

    Parameters
    ----------
    asked, shape, gas, metals : as in ``heat_up``
    Returns
    -------
    node : Node   [SI]
    """
    inside = math.pi * shape.bore
    return Node(
        shape.name, shape.metal / inside, metals.wall, gas.T, gas.h, asked.outside.heat_transfer,
        asked.outside.emissivity, asked.outside.temperature, area=inside * shape.length,
        wider=shape.outside / shape.bore,
    )  # fmt: skip


def front_nodes(
    asked: Durability,
    shape: LegShape,
    wall: Node,
    metals: Metals,
    nodes: list[Node],
    links: list[Link],
) -> None:
    """Add a runner's weld zone, flange, bolt and sleeve, and how heat gets from one to the next.

    Parameters
    ----------
    asked, shape, metals : as in ``heat_up``
    wall : Node   The runner's [SI]
    nodes, links : list   Added to [SI]
    """
    P, flange, head = shape.perimeter, asked.flange, asked.head
    zone = replace(wall, name=f"{shape.name} weld zone", area=wall.area * ZONE / shape.length)
    face = flange.width * P + math.pi * flange.width**2
    wetted = P * flange.thickness
    rim = (P + 2.0 * math.pi * flange.width) * flange.thickness
    bar = replace(
        wall, name=f"{shape.name} flange", material=metals.flange,
        thickness=face * flange.thickness / wetted, area=wetted,
        contact_h=head.contact * face / wetted, contact_T=head.temperature,
        wider=(face + rim) / wetted,
    )  # fmt: skip
    nodes += [zone, bar]
    k, middle = float(metals.wall.k(700.0)), 0.5 * (ZONE + min(4.0 * ZONE, shape.length))
    links.append(Link(zone.name, wall.name, k * shape.metal / middle / zone.area))
    links.append(Link(zone.name, bar.name, k * shape.metal / (0.5 * ZONE) / zone.area))
    if asked.fasteners is not None and metals.bolt is not None:
        _bolt(asked, shape, bar, metals, nodes, links)


def _bolt(
    asked: Durability,
    shape: LegShape,
    bar: Node,
    metals: Metals,
    nodes: list[Node],
    links: list[Link],
) -> None:
    fasteners, metal = asked.fasteners, metals.bolt
    assert fasteners is not None
    assert metal is not None
    size, sleeve = thread(fasteners.size), fasteners.sleeve
    grip = fasteners.grip or asked.flange.thickness
    length = grip + (sleeve.length if sleeve else 0.0)
    side = math.pi * size.d * (length + 2.0 * size.d)
    half = float(metal.k(500.0)) * size.shank / (0.5 * length)
    bolt = Node(
        f"{shape.name} bolt", size.shank * (length + 2.0 * size.d) / side, metal, 300.0, 0.0,
        asked.outside.heat_transfer, asked.outside.emissivity, asked.outside.temperature,
        contact_h=half / side, contact_T=asked.head.temperature, area=side, wider=0.5,
    )  # fmt: skip
    nodes.append(bolt)
    seat = SEAT * 0.25 * math.pi * (size.bearing**2 - size.hole**2)
    to_nut = 1.0 / (1.0 / seat + 1.0 / half)
    if sleeve is None or metals.sleeve is None:
        links.append(Link(bolt.name, bar.name, to_nut / side))
        return
    ring = 0.25 * math.pi * (sleeve.outside**2 - sleeve.inside**2)
    around = math.pi * sleeve.outside * sleeve.length
    tube = Node(
        f"{shape.name} sleeve", ring * sleeve.length / around, metals.sleeve, 300.0, 0.0,
        asked.outside.heat_transfer, asked.outside.emissivity, asked.outside.temperature,
        area=around,
    )  # fmt: skip
    nodes.append(tube)
    through = float(metals.sleeve.k(500.0)) * ring / (0.5 * sleeve.length)
    foot = 1.0 / (1.0 / (SEAT * ring) + 1.0 / through)
    links.append(Link(tube.name, bar.name, foot / around))
    links.append(Link(tube.name, bolt.name, 1.0 / (1.0 / through + 1.0 / to_nut) / around))
