"""Start-ups to a crack, as a band: several rules side by side, never one number."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pulse1d.durability.curve_316 import above_316
from pulse1d.durability.life_bounds import LIFE_LEAST
from pulse1d.durability.metal import Material
from pulse1d.durability.methods import METHODS, austenitic, methods_at
from pulse1d.durability.weld_factor import weld_factor

ZERO_C = 273.15
CREEP_FROM = {True: 700.15, False: 644.15}
"""Where creep shortens life, austenitic or not: 427 and 371 degC, where the nuclear code for hot
parts begins (ASME III-NH, from memory) [K]."""
SCATTER_HOT, SCATTER_COLD = 0.1, 1.0 / 3.0
"""Lower bound over the shortest method: hot the 10 % rule (Manson & Halford, from memory), which
stands for creep, oxidation and scatter together; below creep scatter alone (judgement) [-]."""


@dataclass(frozen=True)
class LifeBand:
    """Life in start-ups; nan and a reason where none is told."""

    low: float
    """Shortest method at the worst weld factor, times the scatter [cycles]."""
    mid: float
    """Measured curve where there is one, else the geometric mean of the rules [cycles]."""
    high: float
    """Longest method at the best weld factor [cycles]."""
    methods: dict[str, float] = field(default_factory=dict)
    """Life by each method at the middle weld factor [cycles]."""
    refused: str = ""
    notes: tuple[str, ...] = ()


def lives(strain_range: float, material: Material, T: float, weld: str = "none") -> LifeBand:
    """Life band of a place under a strain range at every start-up.

    Parameters
    ----------
    strain_range : float   Nominal, without weld factor [-], 0 or more
    material : Material   [-]
    T : float   Hottest of the cycle [K]
    weld : str   A key of ``weld_factor.WELDS`` [-]
    Returns
    -------
    band : LifeBand   [cycles]; refused above the material's limit
    Errors      ValueError for an unknown weld, a negative strain range.
    Limits      full starts from cold to T; no dwell beyond the 10 % rule, no corrosion
    Source      as in ``pulse1d.durability.methods``; weld factors in ``weld_factor``
    """
    factor = weld_factor(weld)
    if not strain_range >= 0.0:
        raise ValueError(f"a strain range of {strain_range:g} is negative")
    if material.T_limit < T:
        return LifeBand(math.nan, math.nan, math.nan, refused=over_limit(material, T))
    best, middle, worst = (methods_at(f * strain_range, material, T) for f in factor)
    hot = CREEP_FROM[austenitic(material)] < T
    low = max(LIFE_LEAST, min(worst.values()) * (SCATTER_HOT if hot else SCATTER_COLD))
    notes = ["10 % rule: creep, oxidation and scatter"] if hot else ["scatter only, below creep"]
    rules = [life for name, life in middle.items() if name in METHODS]
    mid = math.exp(sum(map(math.log, rules)) / len(rules))
    if "316 curve" in middle:
        mid = min(mid, middle["316 curve"]) if above_316(T) else middle["316 curve"]
        if above_316(T):
            notes.append("316 curve ends at 705 degC: an upper bound here")
    return LifeBand(low, mid, max(best.values()), middle, notes=tuple(notes))


def over_limit(material: Material, T: float) -> str:
    """Why no life is told above a material's limit.

    Parameters
    ----------
    material : Material   [-]
    T : float   Hottest of the cycle [K]
    Returns
    -------
    text : str   [-]
    Source      definition
    """
    return (
        f"{T - ZERO_C:.0f} degC is above the limit of {material.name}, "
        f"{material.T_limit - ZERO_C:.0f} degC: no life is told"
    )
