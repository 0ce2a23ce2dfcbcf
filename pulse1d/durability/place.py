"""A place that heat strains, at its worst moment."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.durability.metal import Material
from pulse1d.durability.strain import mechanical, mismatch


@dataclass(frozen=True)
class Place:
    """Where two parts meet, at the moment of their worst difference."""

    name: str
    material: Material
    T: float
    """At that moment [K]."""
    other: Material
    T_other: float
    """[K]"""
    eta: float
    """Restraint [-]."""
    T_hottest: float
    """Of the place in the whole cycle [K]."""
    weld: str = "none"
    extra: float = 0.0
    """Strain range from legs that hold each other, and from weight where it is counted [-]."""
    hung: bool = False
    """Whether weight is in `extra`."""
    opposite: float = 0.0
    """Free mismatch at the other end of the cycle, 0 when cold is the other end [-]."""


def free_swing(place: Place) -> float:
    """Free mismatch from one end of the cycle to the other.

    Parameters
    ----------
    place : Place   [SI]
    Returns
    -------
    strain : float   [-]
    Source      ``pulse1d.durability.strain``
    """
    return mismatch(place.material, place.T, place.other, place.T_other) - place.opposite


def strain_of(place: Place) -> float:
    """Strain range of a place.

    Parameters
    ----------
    place : Place   [SI]
    Returns
    -------
    strain_range : float   [-]
    Errors      ValueError when the restraint is outside 0 .. 1.
    Source      ``pulse1d.durability.strain``
    """
    return mechanical(free_swing(place), place.eta, place.extra)
