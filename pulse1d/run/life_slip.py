"""A design's flange on its head: how far it slides, and what that asks of its bolts."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pulse1d.durability.bolt_sizes import thread
from pulse1d.durability.flange_slip import slip_with_slots
from pulse1d.durability.spec import Durability
from pulse1d.durability.stud_sway import stud_follow, stud_sway_strain
from pulse1d.durability.transient import Transient
from pulse1d.run.life_legs import LegShape
from pulse1d.run.life_metals import Metals

SWAY = 1e-3
"""Bending strain that a bolt may sway by without yielding (judgement) [-]."""


@dataclass(frozen=True)
class Slip:
    """The end stud of a flange."""

    span: float
    """Between the outermost studs [m]."""
    slip: float
    """Of the flange at the end stud [m]."""
    clearance: float
    """Of its hole, each side [m]."""
    rest: float
    """That the stud has to follow [m]."""
    strain: float
    """Bending of the stud that follows [-]."""


def free_length(asked: Durability) -> float:
    """Length of a bolt between nut and head.

    Parameters
    ----------
    asked : Durability   With fasteners [SI]
    Returns
    -------
    length : float   [m]
    """
    bolts = asked.fasteners
    if bolts is None:
        return asked.flange.thickness
    return (bolts.grip or asked.flange.thickness) + (bolts.sleeve.length if bolts.sleeve else 0.0)


def play(asked: Durability) -> float:
    """How far a flange of its own may slide: hole, sway of its bolts, half a cut.

    Parameters
    ----------
    asked : Durability   [SI]
    Returns
    -------
    play : float   [m]
    Source      geometry; sway by ``SWAY`` (judgement)
    """
    if asked.fasteners is None:
        return 0.0
    size = thread(asked.fasteners.size)
    sway = SWAY * free_length(asked) ** 2 / (3.0 * size.d)
    cut = math.inf if asked.flange.slot is None else 0.5 * asked.flange.slot
    return min(0.5 * (size.hole - size.d) + sway, cut)


def end_stud(
    asked: Durability, shapes: list[LegShape], heat: Transient, metals: Metals
) -> Slip | None:
    """What the outermost stud of the flange goes through.

    Parameters
    ----------
    asked, shapes, heat, metals : as elsewhere in this package [SI]
    Returns
    -------
    slip : Slip or None   None without fasteners, or where ports have no place [SI]
    Limits      hottest flange, head at its temperature; studs stand half the flange's width beside
                the ports (judgement)
    Source      ``pulse1d.durability.flange_slip``
    """
    fronts = [s for s in shapes if s.start.startswith("port ") and s.points is not None]
    if asked.fasteners is None or not fronts:
        return None
    at = np.array([s.points[0] for s in fronts if s.points is not None])
    span = float(np.max(np.linalg.norm(at - at[0], axis=1)))
    span += fronts[0].perimeter / math.pi + asked.flange.width
    hot = max(float(heat.at(f"{s.name} flange").max()) for s in fronts)
    cuts = 0 if asked.flange.kind == "one piece" else len(fronts) - 1
    slip = slip_with_slots(
        span, metals.flange, hot, metals.head, asked.head.temperature, cuts,
        asked.flange.slot if asked.flange.slot is not None else math.inf,
    )  # fmt: skip
    size = thread(asked.fasteners.size)
    rest = stud_follow(slip, size.hole, size.d)
    strain = stud_sway_strain(rest, size.d, free_length(asked))
    return Slip(span, slip, 0.5 * (size.hole - size.d), rest, strain)
