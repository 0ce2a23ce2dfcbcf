"""Lives as text: bands deserve no more than a digit."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pulse1d.durability.rank import Assessed
from pulse1d.run.life import LifeResult


def life(value: float) -> str:
    """A life to one digit or a power.

    Parameters
    ----------
    value : float   [cycles]
    Returns
    -------
    text : str   "-" where none is told [-]
    """
    if math.isnan(value):
        return "-"
    if value < 1.0:
        return "< 1"
    if value >= 1e7:
        return "> 1e7"
    power = math.floor(math.log10(value))
    digit = round(value / 10.0**power)
    power, digit = (power + 1, 1) if digit == 10 else (power, digit)
    return f"{digit * 10**power:.0f}" if power < 4 else f"{digit}e{power}"


def weakest(assessed: Assessed) -> float:
    """What designs are ranked by: the lower bound; a refused one comes first.

    Parameters
    ----------
    assessed : Assessed   A design's worst place [-]
    Returns
    -------
    value : float   [cycles]
    """
    return -1.0 if assessed.band.refused else assessed.band.low


def first_to_crack(results: Iterable[LifeResult]) -> list[LifeResult]:
    """Designs by their worst place, the first to crack on top.

    Parameters
    ----------
    results : iterable of LifeResult   Those without a place are left out [SI]
    Returns
    -------
    results : list of LifeResult   [SI]
    """
    return sorted((r for r in results if r.places), key=lambda r: weakest(r.places[0]))


def band_text(assessed: Assessed) -> str:
    """A band as text.

    Parameters
    ----------
    assessed : Assessed   [-]
    Returns
    -------
    text : str   [-]
    """
    if assessed.band.refused:
        return "too hot"
    return f"{life(assessed.band.low)} to {life(assessed.band.high)}"
