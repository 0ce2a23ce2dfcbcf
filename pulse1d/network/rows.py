"""Flat rows for the solvers, with the element each belongs to and the doubts on its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pulse1d.geometry.sections import Section
from pulse1d.losses.element import COLUMN, Z_90, Effect, Element, Law, Station, Step
from pulse1d.losses.junction import SOURCE, K_single
from pulse1d.network.layout import Joint, Tolerances
from pulse1d.network.legs import BuiltLeg, build_leg, varied
from pulse1d.network.network import LegEnd, Network

PROBE = 1e-3
"""Relative change of a dimension from which its effect on every row is read."""

LAWS = ("bend K", "bend interaction", "mitre K", "taper K", "junction K")
"""Laws whose error is partly the law's own and partly the single part's."""
DUMP = {"branch": 0.30, "merge": 0.10}
"""Half width of K for the widening behind the joint, over (1 - s)^2: at a lateral the published
tables lie that far below Borda's loss; in a merge the walls guide the stream (judgement)."""
COMMON = 0.5
"""Share of a law's variance that all its uses have in common (judgement)."""
FITTED = ("joint alignment", "weld bead shape")
"""Causes that each joint of a part draws for itself."""

CAST = Tolerances(bore=0.5e-3, length=1.0e-3, bend_radius=1.5e-3)
TUBE = Tolerances(bore=0.15e-3, length=1.0e-3, bend_radius=1.0e-3)
"""Default 5-95 % half widths: a cored sand casting, a bent tube (common practice, no source)."""


@dataclass(frozen=True)
class Rows:
    """Consecutive steps in port-to-outlet order.

    ``effects`` index ``steps`` by row. ``owner`` maps a row to its element.
    """

    steps: NDArray[np.float64]
    owner: NDArray[np.int64]
    elements: tuple[Element, ...]
    effects: tuple[Effect, ...]


def join(parts: Iterable[Rows]) -> Rows:
    """One stretch of rows from several, in order.

    Parameters
    ----------
    parts : iterable of Rows   [SI]
    Returns
    -------
    rows : Rows   [SI]
    """
    steps, owner = [], []
    elements: list[Element] = []
    effects: list[Effect] = []
    row = element = 0
    for part in parts:
        steps.append(part.steps)
        owner.append(part.owner + element)
        elements.extend(part.elements)
        effects.extend(replace(effect, step=effect.step + row) for effect in part.effects)
        row += len(part.steps)
        element += len(part.elements)
    return Rows(
        np.concatenate(steps) if steps else np.empty((0, len(COLUMN))),
        np.concatenate(owner) if owner else np.empty(0, dtype=np.int64),
        tuple(elements),
        tuple(effects),
    )


def element_rows(elements: Sequence[Element]) -> Rows:
    """Rows of elements and their own doubts.

    Parameters
    ----------
    elements : sequence of Element   In order [-]
    Returns
    -------
    rows : Rows   [SI]
    """
    return join(
        Rows(
            np.array(element.steps, dtype=float).reshape(-1, len(COLUMN)),
            np.zeros(len(element.steps), dtype=np.int64),
            (element,),
            element.effects,
        )
        for element in elements
        if element.steps
    )


class Keys(NamedTuple):
    """Whose doubts they are: a design's own, or shared by a family of variants of one base."""

    design: str
    family: str


def own_doubts(rows: Rows, keys: Keys) -> Rows:
    """Rows whose doubts are told apart: what a law gets wrong everywhere, and here only.

    Parameters
    ----------
    rows : Rows   [SI]
    keys : Keys   [-]
    Returns
    -------
    rows : Rows   [SI]
    """
    effects: list[Effect] = []
    for effect in rows.effects:
        where = f"{effect.cause} of {rows.elements[rows.owner[effect.step]].name}"
        if effect.cause in LAWS:
            effects.append(replace(effect, size=effect.size * math.sqrt(COMMON)))
            size = effect.size * math.sqrt(1.0 - COMMON)
            effects.append(replace(effect, cause=f"{keys.family}: {where}", size=size))
        elif effect.cause in FITTED:
            effects.append(replace(effect, cause=f"{keys.design}: {where}"))
        else:
            effects.append(effect)
    return replace(rows, effects=tuple(effects))


def leg_rows(network: Network, index: int, keys: Keys) -> Rows:
    """Rows of a leg, with the doubts of its elements and of its dimensions.

    Parameters
    ----------
    network : Network   The part [-]
    index : int   Leg [-]
    keys : Keys   Dimensions of one design are independent of another's [-]
    Returns
    -------
    rows : Rows   [SI]
    """
    leg = network.legs[index]
    rows = own_doubts(element_rows(leg.elements), keys)
    effects = list(rows.effects)
    tolerances = leg_tolerances(network, leg)
    bore = leg.section_start.D_eq
    radii = [p.spec.radius for p in leg.pieces if p.spec.kind == "bend"]
    radius = float(np.mean(radii)) if radii else math.inf
    for what, half, probe in (
        ("bore", (tolerances.bore or 0.0) / bore, {"bore": 1.0 + PROBE}),
        ("length", (tolerances.length or 0.0) / 1e-3, {"length": 1e-3}),
        ("bend radius", (tolerances.bend_radius or 0.0) / radius, {"radius": 1.0 + PROBE}),
    ):
        if half > 0.0:
            size = half / Z_90 / (1.0 if what == "length" else PROBE)
            other = element_rows(rebuilt(network, leg, probe).elements)
            effects += difference(f"{keys.design}: {what} of {leg.name}", rows, other, size)
    return replace(rows, effects=tuple(effects))


def rebuilt(network: Network, leg: BuiltLeg, probe: dict[str, float]) -> BuiltLeg:
    """The leg with one of its dimensions changed.

    Parameters
    ----------
    network : Network   The part [-]
    leg : BuiltLeg   One of its legs [-]
    probe : dict   Argument of ``varied`` [-]
    Returns
    -------
    leg : BuiltLeg   [SI]
    """
    port = getattr(leg.spec, "port", None)
    head = network.port(port).section if port is not None else None
    return build_leg(network.layout, varied(leg.spec, **probe), head, None)


def difference(cause: str, base: Rows, other: Rows, size: float) -> list[Effect]:
    """Effects of a cause from two builds: logarithmic where both numbers are positive.

    Parameters
    ----------
    cause : str   Key [-]
    base, other : Rows   Nominal and probed [SI]
    size : float   One sigma of the cause over the probe [-]
    Returns
    -------
    effects : list of Effect   [-]
    """
    effects = []
    for i, j in np.argwhere(base.steps != other.steps):
        a, b = float(base.steps[i, j]), float(other.steps[i, j])
        column = Step._fields[j]
        if a > 0.0 and b > 0.0:
            effects.append(Effect(cause, int(i), column, "ln", math.log(b / a) * size))
        else:
            effects.append(Effect(cause, int(i), column, "add", (b - a) * size))
    return effects


def leg_tolerances(network: Network, leg: BuiltLeg) -> Tolerances:
    """Tolerances of a leg: the layout's where it states them, else its process's.

    Parameters
    ----------
    network : Network   The part [-]
    leg : BuiltLeg   One of its legs [-]
    Returns
    -------
    tolerances : Tolerances   [m]
    Source      common practice, no source
    """
    default = CAST if "cast" in leg.station.surface else TUBE
    stated = network.layout.tolerances.model_dump(exclude_none=True)
    return default.model_copy(update=stated)


def passage(joint: Joint, inlet: LegEnd, outlet: LegEnd) -> Element:
    """A joint in a single path: one leg flowing in, one out, the others dead.

    Parameters
    ----------
    joint : Joint   [-]
    inlet, outlet : LegEnd   In port-to-outlet order [-]
    Returns
    -------
    element : Element   K on the smaller section's velocity head, the same both ways; the part of
        it that a widening costs is the compressible momentum balance [-]
    Source      ``pulse1d.losses.junction.K_single``
    """
    theta = math.acos(float(np.clip(-inlet.direction @ outlet.direction, -1.0, 1.0)))
    return _passage(joint, theta, inlet.section, outlet.section)


@lru_cache(maxsize=4096)
def _passage(joint: Joint, theta: float, first: Section, second: Section) -> Element:
    narrow, wide = sorted((first, second), key=lambda section: section.area)
    s = narrow.area / wide.area
    K = float(K_single(theta, s))
    half = 0.03 + 0.15 * K + DUMP[joint.kind] * (1.0 - s) ** 2
    widening = (1.0 - s) ** 2
    into = narrow is first
    loss = _plain(
        narrow,
        narrow,
        K0=K - widening if into else K,
        K0_rev=K if into else K - widening,
        stir=1.0,
    )
    change = _plain(first, second, jet=narrow.area, jet_rev=narrow.area)
    change = change._replace(law=Law.JET)
    steps = (loss, change) if into else (change, loss)
    row = steps.index(loss)
    effects = tuple(
        Effect("junction K", row, column, "add", half / Z_90) for column in ("K0", "K0_rev")
    )
    return Element(
        name=f"joint {joint.name}",
        kind="joint",
        steps=steps,
        k_ref="upstream" if into else "downstream",
        source=SOURCE,
        effects=effects,
        notes=(),
    )


def _plain(start: Section, end: Section, **numbers: float) -> Step:
    return Step(law=Law.DUCT, A_1=start.area, A_2=end.area, D_1=start.D_h, D_2=end.D_h, **numbers)


def end_rows(network: Network, port: str | None, leg: int | None) -> Rows:
    """Rows of an opening: the bench entry at a port, or the free outlet of a leg.

    Parameters
    ----------
    network : Network   The part [-]
    port : str or None   Port whose entry is wanted [-]
    leg : int or None   Leg whose outlet is wanted [-]
    Returns
    -------
    rows : Rows   Entry loss for flow inwards; outflow loses its velocity head, in the solver [SI]
    """
    if port is not None:
        runner = network.legs[network.runner_index(port)]
        section = network.port(port).section or runner.section_start
        station = replace(runner.station, section=section)
        elements = network.layout.entry.elements(station)
        return element_rows(tuple(replace(e, name=f"entry {port}") for e in elements))
    assert leg is not None
    built = network.legs[leg]
    station = Station(section=built.section_end, eps=built.station.eps)
    return element_rows(network.layout.outlet.elements(station))
