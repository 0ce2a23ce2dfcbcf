"""Which place cracks first, and what would help it most."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pulse1d.durability.life import ZERO_C, LifeBand, lives
from pulse1d.durability.place import Place, free_swing, strain_of


@dataclass(frozen=True)
class Assessed:
    """A place with its strain, its life and its cause."""

    place: Place
    mismatch: float
    """Free [-]."""
    strain_range: float
    """Nominal [-]."""
    band: LifeBand
    gains: dict[str, float]
    """How many times longer the middle life were with a cause made milder, by cause [-]."""
    reason: str


CURED = {
    "temperature difference": "100 K less difference",
    "restraint": "half the restraint",
    "heat of the metal": "metal 50 K cooler",
    "unlike materials": "one material",
    "weld": "a dressed weld",
    "legs": "legs twice as soft",
}
"""What each cause is changed to, as much as a redesign can do (judgement)."""
LESS = 100.0
"""Less difference [K]."""
WORTH = 0.25
"""Share of the strain from which its lesser part is told too (judgement) [-]."""


def _cures(place: Place) -> dict[str, Place]:
    """The place with one cause each made milder."""
    gap = place.T - place.T_other
    nearer = place.T_other + max(0.0, abs(gap) - LESS) * (1.0 if gap > 0.0 else -1.0)
    cures = {
        "temperature difference": replace(place, T=nearer),
        "restraint": replace(place, eta=0.5 * place.eta),
        "heat of the metal": replace(place, T_hottest=place.T_hottest - 50.0),
    }
    if place.other.name != place.material.name:
        cures["unlike materials"] = replace(place, other=place.material)
    if place.weld not in ("none", "dressed"):
        cures["weld"] = replace(place, weld="dressed")
    if place.extra != 0.0:
        cures["legs"] = replace(place, extra=0.5 * place.extra)
    return cures


def assess(place: Place) -> Assessed:
    """Strain, life band and the cause that costs most life.

    Each cause is changed alone, as in ``CURED``.

    Parameters
    ----------
    place : Place   [SI]
    Returns
    -------
    assessed : Assessed   [SI]
    Errors      ValueError as in ``pulse1d.durability.life.lives``.
    Source      one-at-a-time changes
    """
    free = free_swing(place)
    strain = strain_of(place)
    band = lives(strain, place.material, place.T_hottest, place.weld)
    if band.refused:
        return Assessed(place, free, strain, band, {}, band.refused)
    gains = {}
    for cause, cured in _cures(place).items():
        better = lives(strain_of(cured), cured.material, cured.T_hottest, cured.weld)
        gains[cause] = better.mid / band.mid
    return Assessed(place, free, strain, band, gains, _reason(place, gains))


def _reason(place: Place, gains: dict[str, float]) -> str:
    what = _strained_by(place)
    cause = max(gains, key=lambda name: gains[name])
    if not gains[cause] > 1.0:
        return f"{what}; none of the changes helps"
    return f"{what}; most gained by {CURED[cause]}: life x {gains[cause]:.2g}"


def _strained_by(place: Place) -> str:
    """What strains a place: heat beside it, the legs that it belongs to, or both."""
    strain, legs = strain_of(place), abs(place.extra)
    weld = "" if place.weld == "none" else f", weld {place.weld}"
    beside = (
        f"{place.T - ZERO_C:.0f} against {place.T_other - ZERO_C:.0f} degC, "
        f"held {100 * place.eta:.0f} %"
    )
    by = "legs that hold each other as they grow" + (", and by weight" if place.hung else "")
    if legs > 0.5 * strain:
        if strain - legs > WORTH * strain:
            parts = f"{100 * legs:.2f} %, and {100 * (strain - legs):.2f} % from {beside}"
            return f"bent by {by}: {parts}{weld}"
        return f"bent by {by}, at {place.T_hottest - ZERO_C:.0f} degC{weld}"
    more = f", and bent {100 * legs:.2f} % by {by}" if legs > WORTH * strain else ""
    return f"{beside}{weld}{more}"


def ranking(assessed: Iterable[Assessed]) -> list[Assessed]:
    """Worst first: refused places by how far they are too hot, then by lower bound and middle.

    Parameters
    ----------
    assessed : iterable of Assessed   [SI]
    Returns
    -------
    ranked : list of Assessed   [SI]
    Source      (judgement)
    """

    def worst(a: Assessed) -> tuple[bool, float, float]:
        if a.band.refused:
            return (False, a.place.material.T_limit - a.place.T_hottest, 0.0)
        return (True, a.band.low, a.band.mid)

    return sorted(assessed, key=worst)
