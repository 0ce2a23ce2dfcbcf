"""What a reader must know of a screened design beside its numbers."""

from __future__ import annotations

from collections.abc import Mapping

from pulse1d.case.design import Design
from pulse1d.durability.transient import Transient
from pulse1d.run.life_metals import Metals

C = 273.15
PLAIN = {
    "E": "modulus", "alpha_mean": "expansion", "k": "conductivity", "cp": "heat capacity",
    "yield_": "yield", "ultimate": "strength",
}  # fmt: skip


def notes_on(
    design: Design, metals: Metals, heat: Transient, strains: Mapping[str, object]
) -> tuple[str, ...]:
    """Limits that are passed, tables that end, legs whose place is not stated.

    Parameters
    ----------
    design, metals, heat : as elsewhere in this package [SI]
    strains : mapping   Legs whose strain was worked out [-]
    Returns
    -------
    notes : tuple of str   [-]
    """
    notes = []
    walls = [leg.name for leg in design.network.legs]
    hottest, where = max((float(heat.at(name).max()), name) for name in walls)
    limit = metals.wall.T_limit
    if hottest > limit:
        notes.append(
            f"the wall of {where} reaches {hottest - C:.0f} degC, above the limit of "
            f"{metals.wall.name}, {limit - C:.0f} degC: it scales or grows, and no life is told "
            "where it does"
        )
    if short := metals.wall.outside(hottest):
        notes.append(
            f"{metals.wall.name} at {hottest - C:.0f} degC, the wall of {where}, is beyond the "
            "tables of "
            f"{', '.join(PLAIN[name] for name in short)}: their last value is used"
        )
    left = [name for name in walls if name not in strains]
    if left:
        notes.append(
            "held at one end only, or without a stated place in space, so strained by temperature "
            f"alone: {', '.join(left)}"
        )
    if metals.bolt is not None:
        bolts = max(float(heat.at(name).max()) for name in heat.names if name.endswith(" bolt"))
        if bolts > metals.bolt.T_limit:
            notes.append(
                f"bolts reach {bolts - C:.0f} degC, above the limit of {metals.bolt.name}, "
                f"{metals.bolt.T_limit - C:.0f} degC: they relax"
            )
    return tuple(notes)
