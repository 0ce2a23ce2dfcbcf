"""Where a design's metal is strained by one start, and by how much."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from pulse1d.durability.edge import edge_share, fade
from pulse1d.durability.heat_rates import STEFAN
from pulse1d.durability.metal import Material
from pulse1d.durability.place import Place
from pulse1d.durability.seam import ring_stiffness, tube_end_stiffness
from pulse1d.durability.spec import Durability
from pulse1d.durability.strain import restraint
from pulse1d.durability.swing import mismatch_swing
from pulse1d.durability.transient import Transient, peak_difference
from pulse1d.run.life_gas import GasState
from pulse1d.run.life_legs import LegShape
from pulse1d.run.life_metals import Metals

Array = NDArray[np.float64]
BEYOND = 1.01
"""Strain on the way over that at the ends from which it counts as a place of its own [-]."""
ALIKE = 0.5
"""Restraint between walls of like stiffness that meet in a joint: two equal springs [-]."""


def strained_places(
    asked: Durability,
    shapes: list[LegShape],
    gas: Mapping[str, GasState],
    heat: Transient,
    metals: Metals,
    legs: Mapping[str, tuple[float, float, float]],
) -> list[Place]:
    """The places that are assessed: runners at flanges, legs at joints and on their way.

    Parameters
    ----------
    asked, shapes, gas, heat, metals : as elsewhere in this package [SI]
    legs : mapping   As ``leg_strains`` [-]
    Returns
    -------
    places : list of Place   [SI]
    Source      ``pulse1d.durability.edge`` and ``seam`` at the flange; equal springs at
                joints (judgement)
    """  # fmt: skip
    weld = asked.weld.kind if asked.weld is not None else "none"
    hung = asked.hung is not None
    ends: dict[str, list[LegShape]] = {}
    for shape in shapes:
        for name in {shape.start, shape.end} - {"outlet"}:
            ends.setdefault(name, []).append(shape)
    found = []
    for shape in shapes:
        bent = legs.get(shape.name, (0.0, 0.0, 0.0))
        T_most = float(heat.at(shape.name).max())
        if shape.start.startswith("port "):
            T, T_flange, back = _worst(
                heat, shape.name, f"{shape.name} flange", metals.flange, metals
            )
            zone = float(heat.at(f"{shape.name} weld zone").max())
            share = _edge(asked, shape, gas[shape.name].h, metals, T, T_flange)
            found.append(
                Place(f"{shape.name} at its flange", metals.wall, T, metals.flange, T_flange,
                      share, zone, weld, bent[0], hung, back)
            )  # fmt: skip
        if bent[2] > BEYOND * max(bent[:2]):
            found.append(
                Place(f"{shape.name} on its way", metals.wall, T_most, metals.wall, T_most,
                      0.0, T_most, "none", bent[2], hung)
            )  # fmt: skip
        for end, strain in ((shape.start, bent[0]), (shape.end, bent[1])):
            others = [s for s in ends.get(end, ()) if s is not shape]
            if not others:
                continue
            other = max(others, key=lambda s: abs(peak_difference(heat, shape.name, s.name)[0]))
            T, T_other, back = _worst(heat, shape.name, other.name, metals.wall, metals)
            found.append(
                Place(f"{shape.name} at {end}", metals.wall, T,
                      metals.wall, T_other, ALIKE, T_most, weld, strain, hung, back)
            )  # fmt: skip
    return found


def _worst(
    heat: Transient, wall: str, other: str, metal: Material, metals: Metals
) -> tuple[float, float, float]:
    """Both temperatures at the greatest mismatch, and the mismatch at its other end."""
    a, b = heat.at(wall), heat.at(other)
    swing = mismatch_swing(metals.wall, a, metal, b)
    if abs(swing.most) >= abs(swing.least):
        return float(a[swing.at_most]), float(b[swing.at_most]), swing.least
    return float(a[swing.at_least]), float(b[swing.at_least]), swing.most


def _edge(
    asked: Durability, shape: LegShape, h: float, metals: Metals, T: float, T_flange: float
) -> float:
    outside = asked.outside
    both = h + outside.heat_transfer + 4.0 * outside.emissivity * STEFAN * T**3
    length = fade(shape.thickness, float(metals.wall.k(T)), both)
    share = edge_share(0.5 * (shape.bore + shape.thickness), shape.thickness, length)
    ring = ring_stiffness(
        float(metals.flange.E(T_flange)), asked.flange.thickness, asked.flange.width, shape.outside
    )
    end = tube_end_stiffness(float(metals.wall.E(T)), shape.outside, shape.thickness)
    return min(share * restraint(ring, end), 1.0)
