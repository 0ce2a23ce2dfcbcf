"""How many remounts a difference needs to show: sample size by the noncentral t distribution.

A repeat is the part taken off and put on again. Readings taken without touching the part repeat
only the smallest of the errors.
"""

from __future__ import annotations

from math import inf, sqrt

from scipy import stats

ALPHA = 0.05
"""Chance, over both sides, of calling equal parts different [-]."""
MOST = 500
"""Most remounts looked for: at half an hour a pair nobody does more than a tenth of it."""


def power(effect: float, s: float, n: int, *, paired: bool = True, floor: float = 0.0) -> float:
    """Chance that a real difference is shown by a two-sided t test.

    t has nu degrees of freedom and noncentrality effect/u with u^2 = s^2 k/n + floor^2, where
    k = 1 and nu = n - 1 (paired) or k = 2 and nu = 2 n - 2 (unpaired); with a floor nu grows by
    Welch and Satterthwaite.

    Parameters
    ----------
    effect : float   True difference [any unit]
    s : float   Standard deviation of the difference of one pair, or of one remount when unpaired
        [unit of effect]
    n : int   Pairs, or remounts of each part, 2 or more [-]
    paired : bool   Remounts taken in pairs [-]
    floor : float   Standard uncertainty of the difference that repeats do not reduce
        [unit of effect]
    Returns
    -------
    power : float   0 .. 1 [-]
    Errors      ValueError when n is below 2.
    Source      noncentral t, any textbook of statistics; JCGM 100:2008 G.4 for nu with a floor
    """
    if n < 2:
        raise ValueError("the scatter of remounts needs 2 of them or more")
    random = s * s * (1 if paired else 2) / n
    total = random + floor * floor
    if total == 0.0:
        return 1.0 if effect else ALPHA
    free = (n - 1) * (1 if paired else 2) * (total / random) ** 2 if random else inf
    shift = abs(effect) / sqrt(total)
    if free > 1e6:
        edge = float(stats.norm.ppf(1.0 - ALPHA / 2.0))
        return float(stats.norm.sf(edge - shift) + stats.norm.cdf(-edge - shift))
    edge = float(stats.t.ppf(1.0 - ALPHA / 2.0, free))
    return float(stats.nct.sf(edge, free, shift) + stats.nct.sf(edge, free, -shift))


def repeats_needed(
    effect: float, s: float, chance: float = 0.8, *, paired: bool = True, floor: float = 0.0
) -> int | None:
    """Fewest pairs, or remounts of each part, that show a difference with a given chance.

    Parameters
    ----------
    effect, s, paired, floor : float, bool   as for ``power`` [unit of effect]
    chance : float   Power asked for, 0 .. 1 [-]
    Returns
    -------
    n : int or None   None when ``MOST`` would not do it, as when the floor is too high [-]
    Limits      2 .. MOST
    Source      as ``power``
    """
    if power(effect, s, MOST, paired=paired, floor=floor) < chance:
        return None
    low, high = 1, MOST
    while high - low > 1:
        middle = (low + high) // 2
        if power(effect, s, middle, paired=paired, floor=floor) >= chance:
            high = middle
        else:
            low = middle
    return high
