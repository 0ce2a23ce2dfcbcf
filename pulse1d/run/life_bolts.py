"""The bolts of a design's flanges through a start."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pulse1d.durability.bolt_sizes import bolt_compliance, plate_compliance, thread
from pulse1d.durability.fasteners import JointState, Stack, growth_difference, joint
from pulse1d.durability.metal import Material
from pulse1d.durability.spec import Durability
from pulse1d.durability.transient import Transient
from pulse1d.run.life_legs import LegShape
from pulse1d.run.life_metals import Metals

ROOM = 293.15


@dataclass(frozen=True)
class PortBolts:
    """One of a port's bolts, all alike."""

    port: str
    T_bolt: float
    """Hottest [K]."""
    state: JointState
    least: float
    """Least force of the start, once settled and stretched [N]."""


def port_bolts(
    asked: Durability, shapes: list[LegShape], heat: Transient, metals: Metals
) -> list[PortBolts]:
    """Preload of a bolt of each port: settled, hottest, cold again, and the least on the way.

    Parameters
    ----------
    asked, shapes, heat, metals : as elsewhere in this package [SI]
    Returns
    -------
    bolts : list of PortBolts   Empty without fasteners [SI]
    Source      ``pulse1d.durability.fasteners``
    """
    bolts, metal = asked.fasteners, metals.bolt
    if bolts is None or metal is None:
        return []
    grip = bolts.grip or asked.flange.thickness
    size, found = thread(bolts.size), []
    for shape in (s for s in shapes if s.start.startswith("port ")):
        T = {
            part: heat.at(f"{shape.name} {part}")
            for part in ("flange", "bolt", *(("sleeve",) if bolts.sleeve else ()))
        }
        growth = []
        for i in range(len(heat.t)):
            parts = [(grip, *_rise(metals.flange, T["flange"][i]))]
            if bolts.sleeve is not None and metals.sleeve is not None:
                parts.append((bolts.sleeve.length, *_rise(metals.sleeve, T["sleeve"][i])))
            growth.append(growth_difference(parts, *_rise(metal, T["bolt"][i])))
        most, least = int(np.argmax(growth)), int(np.argmin(growth))
        hot = {part: float(values[most]) for part, values in T.items()}
        stack = Stack(
            _give(asked, metals, grip, dict.fromkeys(T, ROOM)),
            _give(asked, metals, grip, hot),
            growth[most],
            float(metal.yield_(hot["bolt"])) * size.stressed,
            float(metal.yield_(ROOM)) * size.stressed,
        )
        hottest = float(T["bolt"].max())
        state = joint(bolts.preload, bolts.embedding, stack, (hottest, metal.T_limit))
        left = state.cold_again * stack.compliance + growth[least]
        found.append(PortBolts(shape.start, hottest, state, max(left, 0.0) / stack.compliance_hot))
    return found


def _rise(metal: Material, T: float) -> tuple[float, float]:
    return float(metal.alpha_mean(T)), float(T) - ROOM


def _give(asked: Durability, metals: Metals, grip: float, T: dict[str, float]) -> float:
    """Compliance of bolt, sleeve and flange at their temperatures [m/N]."""
    bolts = asked.fasteners
    assert bolts is not None
    assert metals.bolt is not None
    size, sleeve = thread(bolts.size), bolts.sleeve
    E_head, length = float(metals.head.E(asked.head.temperature)), grip
    bearing, tube = size.bearing, 0.0
    if sleeve is not None and metals.sleeve is not None:
        bearing, length = max(sleeve.outside, 1.01 * size.hole), grip + sleeve.length
        ring = 0.25 * math.pi * (sleeve.outside**2 - sleeve.inside**2)
        tube = sleeve.length / (float(metals.sleeve.E(T["sleeve"])) * ring)
    flange = plate_compliance(
        size, grip, bearing, asked.flange.width, float(metals.flange.E(T["flange"]))
    )
    return bolt_compliance(size, length, float(metals.bolt.E(T["bolt"])), E_head) + tube + flange
