"""A leg of few nodes, weld zone and flange among them, against the same wall cut fine; a fin."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from pulse1d.durability.heat_nodes import Link, Node
from pulse1d.durability.materials import material
from pulse1d.durability.metal import Material
from pulse1d.durability.spec import Durability
from pulse1d.durability.transient import Schedule, Transient, march
from pulse1d.run.life_gas import GasState
from pulse1d.run.life_heat import ZONE, front_nodes, wall_node
from pulse1d.run.life_legs import LegShape
from pulse1d.run.life_metals import Metals
from pulse1d.spec import FROM_TEXT

BORE, LONG, CELLS = 0.040, 0.3, 120
ASKED = Durability.model_validate(
    {"gas": {"temperature": "900 degC", "heat transfer": "150 W/m^2/K"}}, context=FROM_TEXT
)


def few(metal: Material, thickness: float) -> tuple[list[Node], list[Link]]:
    shape = LegShape(
        "leg", "port 1", "outlet", None, BORE, thickness, LONG, np.zeros(0), math.pi * BORE
    )
    metals = Metals(metal, metal, material("aluminium head"), None, None)
    nodes = [wall_node(ASKED, shape, GasState(1173.15, 150.0), metals)]
    links: list[Link] = []
    front_nodes(ASKED, shape, nodes[0], metals, nodes, links)
    return nodes, links


def many(wall: Node, flange: Node, thickness: float) -> Transient:
    """The wall in 120 rings of 2.5 mm from the flange on."""
    long = LONG / CELLS
    section = float(wall.material.k(700.0)) * math.pi * thickness * (BORE + thickness)
    rings = [replace(wall, name=str(i), area=wall.area / CELLS) for i in range(CELLS)]
    links = [Link(str(i), str(i + 1), section / long / rings[0].area) for i in range(CELLS - 1)]
    links.append(Link("0", flange.name, 2.0 * section / long / rings[0].area))
    return march([flange, *rings], links, Schedule(300.0))


@pytest.mark.parametrize(
    ("name", "thickness"), [("304", 1.65e-3), ("simo ductile iron", 5e-3), ("grey iron", 5e-3)]
)
def test_few_nodes_keep_the_temperatures_of_many(name: str, thickness: float) -> None:
    """Within 25 K: 0.04 % of strain, where the mismatch of tube and flange is 0.8 %."""
    nodes, links = few(material(name), thickness)
    wall, zone, flange = nodes
    lumped = march(nodes, links, Schedule(300.0))
    fine = many(wall, flange, thickness)
    in_zone = round(ZONE * CELLS / LONG)
    for t in (30.0, 80.0, 300.0):
        i = int(np.argmin(np.abs(fine.t - t)))  # both keep the same instants
        assert lumped.at(flange.name)[i] == pytest.approx(fine.at(flange.name)[i], abs=25.0)
        assert lumped.at(zone.name)[i] == pytest.approx(fine.T[1 : 1 + in_zone, i].mean(), abs=25.0)
        assert lumped.at(wall.name)[i] == pytest.approx(fine.at("60")[i], abs=25.0)


def test_a_wall_cut_fine_is_a_fin() -> None:
    """Heat from a hot wall into a cold flange is sqrt(h P k A) theta, Incropera ch. 3, long fin."""
    nodes, _ = few(material("304"), 1.65e-3)
    flat = replace(
        material("304"), k=replace(material("304").k, T=(700.0,), value=(22.0,), source=("",))
    )
    wall = replace(nodes[0], material=flat, emissivity=0.0)
    held = replace(nodes[2], contact_h=1e9, contact_T=400.0, h_gas=0.0, h_out=0.0, emissivity=0.0)
    fine = many(wall, held, 1.65e-3)
    inside, outside = 150.0 * math.pi * BORE, 15.0 * math.pi * (BORE + 3.3e-3)
    far = (inside * 1173.15 + outside * ASKED.outside.temperature) / (inside + outside)
    section = math.pi * 1.65e-3 * (BORE + 1.65e-3)
    exact = math.sqrt((inside + outside) * 22.0 * section) * (far - 400.0)
    got = 2.0 * 22.0 * section / (LONG / CELLS) * (fine.at("0")[-1] - 400.0)
    # rings of a fifth of the decay length: (1/5)^2/8 of the gradient, and 0.05 % not yet warm
    assert got == pytest.approx(exact, rel=7e-3)
