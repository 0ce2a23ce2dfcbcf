"""Screen a design's durability: heat, strain, life bands, bolts. A ranking, never a certificate."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from pulse1d.case.design import Design
from pulse1d.durability.fastener_spec import Sleeve
from pulse1d.durability.rank import Assessed, assess, ranking
from pulse1d.durability.sensitivity import Sensitivity, sensitivities
from pulse1d.durability.spec import Durability
from pulse1d.durability.transient import Transient
from pulse1d.run.life_bolts import PortBolts, port_bolts
from pulse1d.run.life_gas import GasState, gas_states
from pulse1d.run.life_heat import heat_up
from pulse1d.run.life_legs import leg_shapes
from pulse1d.run.life_metals import Metals, metals_of, needed
from pulse1d.run.life_notes import notes_on
from pulse1d.run.life_places import strained_places
from pulse1d.run.life_slip import Slip, end_stud
from pulse1d.run.life_strains import leg_strains

BIGGER = 1.25
"""Factor on a size for its sensitivity."""
LONGER = 20e-3
"""Added to sleeves [m]."""
WIDER = 2.0
"""Factor on what flanges of their own may slide."""


@dataclass(frozen=True)
class LifeResult:
    """A screened design."""

    design: Design
    asked: Durability
    metals: Metals
    gas: dict[str, GasState]
    gas_origin: str
    heat: Transient
    places: tuple[Assessed, ...]
    """Worst first."""
    bolts: tuple[PortBolts, ...]
    slip: Slip | None
    notes: tuple[str, ...]
    sensitivity: tuple[Sensitivity, ...] = ()
    """Of the worst place's middle life."""
    longer: tuple[PortBolts, ...] = ()
    """The bolts on sleeves that are ``LONGER`` longer."""


def screen(
    design: Design,
    *,
    sizes: bool = True,
    watch: Callable[[int, float], None] | None = None,
) -> LifeResult:
    """Temperatures of a start, strains, life bands and bolt forces of a design.

    Parameters
    ----------
    design : Design   With `durability`, a wall thickness and metal [-]
    sizes : bool   Work out sensitivities too [-]
    watch : function   Told the cycle and its change where the engine is marched [-]
    Returns
    -------
    result : LifeResult   [SI]
    Errors      InputError naming what the case lacks.
    Source      ``pulse1d.durability``
    """
    asked = needed(design)
    gas, origin = gas_states(design, asked.gas, watch)
    result = _screened(design, asked, gas, origin, {})
    if not sizes:
        return result
    sleeve = asked.fasteners.sleeve.length if asked.fasteners and asked.fasteners.sleeve else 0.0
    longer = _screened(design, asked, gas, origin, {"sleeve": sleeve + LONGER}).bolts
    result = replace(result, longer=longer)
    if not result.places or result.places[0].band.refused:
        return result
    worst = result.places[0].place.name
    base = {"bend radius": 1.0, "wall thickness": 1.0, "flange slide": 1.0}
    changed = {"wall thickness": BIGGER}
    if any(float(shape.radii.max(initial=0.0)) > 0.0 for shape in leg_shapes(design)):
        changed["bend radius"] = BIGGER
    if asked.flange.kind != "one piece":
        changed["flange slide"] = WIDER

    def life(now: Mapping[str, float]) -> float:
        again = _screened(design, asked, gas, origin, now)
        return next(a.band.mid for a in again.places if a.place.name == worst)

    return replace(result, sensitivity=tuple(sensitivities(life, base, changed)))


def _screened(
    design: Design, asked: Durability, gas: dict[str, GasState], origin: str,
    sizes: Mapping[str, float],
) -> LifeResult:  # fmt: skip
    metals = metals_of(design)
    if metals.sleeve is None and "sleeve" in sizes:
        metals = replace(metals, sleeve=metals.bolt)
    thicker = sizes.get("wall thickness", 1.0)
    shapes = [
        replace(shape, thickness=thicker * shape.thickness)
        for shape in leg_shapes(design, sizes.get("bend radius", 1.0))
    ]
    asked = with_sleeve(asked, sizes.get("sleeve", 0.0))
    heat = heat_up(asked, shapes, gas, metals)
    strains = leg_strains(design, asked, shapes, heat, metals, sizes.get("flange slide", 1.0))
    places = strained_places(asked, shapes, gas, heat, metals, strains)
    return LifeResult(
        design, asked, metals, gas, origin, heat,
        tuple(ranking(assess(place) for place in places)),
        tuple(port_bolts(asked, shapes, heat, metals)),
        end_stud(asked, shapes, heat, metals),
        notes_on(design, metals, heat, strains),
    )  # fmt: skip


def with_sleeve(asked: Durability, length: float) -> Durability:
    """The block with sleeves of another length; one without sleeves gets them.

    Parameters
    ----------
    asked : Durability   [SI]
    length : float   0 leaves it as it is [m]
    Returns
    -------
    asked : Durability   [SI]
    """
    bolts = asked.fasteners
    if bolts is None or length <= 0.0:
        return asked
    d = 1e-3 * float(bolts.size[1:])
    new = Sleeve(length=length, outside=1.75 * d, inside=1.125 * d, material=bolts.material)
    if bolts.sleeve is not None:
        new = bolts.sleeve.model_copy(update={"length": length})
    return asked.model_copy(update={"fasteners": bolts.model_copy(update={"sleeve": new})})
