"""What a weld does to the strain that a smooth bar would bear."""

from __future__ import annotations

from typing import NamedTuple


class StrainFactor(NamedTuple):
    """Fatigue strength reduction factor on strain: best, middle, worst [-]."""

    best: float
    middle: float
    worst: float


WELDS = {
    "none": StrainFactor(1.0, 1.0, 1.0),
    "dressed": StrainFactor(1.0, 1.1, 1.2),
    "as welded": StrainFactor(1.5, 1.5, 1.5),
    "fillet": StrainFactor(2.0, 2.25, 2.5),
    "uninspected root": StrainFactor(2.5, 3.2, 4.0),
}
"""Full penetration dressed 1.0 to 1.2, as welded 1.5, fillet 2 to 2.5, uninspected root up to 4:
WRC Bulletin 432 and Jaske, J. Pressure Vessel Technol. 122, 2000 (from memory); middles and the
2.5 of a root nobody saw (judgement)."""


def weld_factor(kind: str) -> StrainFactor:
    """Factors of a kind of weld.

    Parameters
    ----------
    kind : str   A key of ``WELDS`` [-]
    Returns
    -------
    factor : StrainFactor   [-]
    Errors      ValueError for an unknown kind.
    Source      WRC Bulletin 432, Jaske 2000 (from memory)
    """
    if kind not in WELDS:
        raise ValueError(f'unknown weld "{kind}"; known: {", ".join(WELDS)}')
    return WELDS[kind]
