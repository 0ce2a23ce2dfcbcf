"""What the legs of a design bear because they hold each other, instant by instant."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.durability.hung import hung_load
from pulse1d.durability.spec import Durability
from pulse1d.durability.strain import expansion
from pulse1d.durability.transient import Transient
from pulse1d.run.life_frame import beams, end_strains, settle
from pulse1d.run.life_legs import LegShape
from pulse1d.run.life_metals import Metals
from pulse1d.run.life_slip import play

Array = NDArray[np.float64]
INSTANTS = 24
"""Of the start, at which the frame is worked out."""


def leg_strains(
    design: Design,
    asked: Durability,
    shapes: list[LegShape],
    heat: Transient,
    metals: Metals,
    slide: float = 1.0,
) -> dict[str, tuple[float, float, float]]:
    """Greatest strain of each leg from its neighbours: at its start, at its end, anywhere.

    A one-piece flange carries the ports outwards as it grows. Behind cuts or on flanges of their
    own the ports stay with the head, and slide by what holes, bolts and cuts leave. What hangs
    behind the outlet adds its own strain in full, for it shakes both ways.

    Parameters
    ----------
    design, asked, shapes, heat, metals : as elsewhere in this package [SI]
    slide : float   Factor on how far flanges of their own may slide [-]
    Returns
    -------
    strains : dict   By leg; legs that are not placed in space are left out [-]
    Limits      linear: strain stays where heat puts it, yielding or not
    Source      ``pulse1d.run.life_frame``
    """  # fmt: skip
    wall = metals.wall
    places = {j.name: np.array(j.position) for j in design.case.joints if j.position is not None}
    frame = beams(shapes, places, {s.name: float(wall.E(heat.at(s.name).max())) for s in shapes})
    fronts = {s.start: s for s in shapes if s.start.startswith("port ") and s.points is not None}
    if not frame or not fronts:
        return {}
    at = {name: s.points[0] for name, s in fronts.items() if s.points is not None}
    middle = np.mean(list(at.values()), axis=0)
    most: dict[str, tuple[float, float, float]] = {}
    chosen = np.unique(np.linspace(0, len(heat.t) - 1, INSTANTS).astype(int))
    free_play = slide * play(asked)
    for i in chosen[1:]:
        growth = {s.name: expansion(wall, float(heat.at(s.name)[i])) for s in shapes}
        moved = {
            name: (r - middle) * (
                expansion(metals.flange, float(heat.at(f"{fronts[name].name} flange")[i]))
                if asked.flange.kind == "one piece"
                else expansion(metals.head, asked.head.temperature)
            )
            for name, r in at.items()
        }  # fmt: skip
        if asked.flange.kind != "one piece":
            moved = _slid(moved, settle(frame, growth, moved, free=True)[0], free_play)
        _, loads = settle(frame, growth, moved)
        for beam in frame:
            name = beam.shape.name
            now = end_strains(beam, loads[name])
            a, b, c = (max(x, y) for x, y in zip(now, most.get(name, (0.0,) * 3), strict=True))
            most[name] = a, b, c
    if hung := _hung(asked, shapes, places):
        still, none = dict.fromkeys(at, np.zeros(3)), dict.fromkeys((s.name for s in shapes), 0.0)
        _, loads = settle(frame, none, still, hung)
        for beam in frame:
            name = beam.shape.name
            a, b, c = (
                x + y for x, y in zip(most[name], end_strains(beam, loads[name]), strict=True)
            )
            most[name] = a, b, c
    return most


def _slid(held: dict[str, Array], free: Mapping[str, Array], gap: float) -> dict[str, Array]:
    """Ports moved towards where they would settle without friction, as far as the gap lets them."""
    slid = {}
    for name, r in held.items():
        way = free[name][:3] - r
        slid[name] = r + way * min(1.0, gap / max(float(np.linalg.norm(way)), 1e-12))
    return slid


def _hung(
    asked: Durability, shapes: list[LegShape], places: Mapping[str, Array]
) -> dict[str, Array]:
    """Load of what hangs behind the outlet, on the joint that the last leg starts at."""
    hung = asked.hung
    if hung is None:
        return {}
    last = {s.start for s in shapes if s.end == "outlet"} & set(places)
    return {name: hung_load(hung.mass, hung.lever, hung.shake) for name in last}
