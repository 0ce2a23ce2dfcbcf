"""Every rule and curve that tells a life, turned round: strain range in, life out."""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy.optimize import brentq, minimize_scalar

from pulse1d.durability.curve_316 import life_316
from pulse1d.durability.life_bounds import LIFE_LEAST, LIFE_MOST
from pulse1d.durability.metal import Material
from pulse1d.durability.slopes import ductility, four_point, modified_slopes, universal_slopes

LIKE_316 = ("304", "316", "321")
"""Austenitic steels that the curves of 316H stand for, by what their name contains (judgement)."""

METHODS: dict[str, Callable[[float, float, float], float]] = {
    "universal slopes": universal_slopes,
    "modified slopes": modified_slopes,
    "four-point": four_point,
}


def life_of(method: str, strain_range: float, su_E: float, D: float) -> float:
    """The life at which a method's curve has the strain range.

    Parameters
    ----------
    method : str   A key of ``METHODS`` [-]
    strain_range : float   [-], 0 or more
    su_E, D : as in ``universal_slopes``
    Returns
    -------
    N : float   0.25 .. 1e9 [cycles]; nan where the method does not apply
    Source      root in log N
    """
    curve = METHODS[method]
    if math.isnan(curve(1.0, su_E, D)):
        return math.nan
    if strain_range <= curve(LIFE_MOST, su_E, D):
        return LIFE_MOST
    if strain_range >= curve(LIFE_LEAST, su_E, D):
        return LIFE_LEAST
    low, high = math.log(LIFE_LEAST), math.log(LIFE_MOST)
    x = brentq(lambda x: curve(math.exp(x), su_E, D) - strain_range, low, high, xtol=1e-13)
    return math.exp(float(x))


def austenitic(material: Material) -> bool:
    """Whether a metal is austenitic, by its family or name.

    Parameters
    ----------
    material : Material   [-]
    Returns
    -------
    austenitic : bool   [-]
    Source      definition
    """
    return "austenitic" in f"{material.family} {material.name}"


def like_316(material: Material) -> bool:
    """Whether the measured curves of 316H stand for a metal.

    Parameters
    ----------
    material : Material   [-]
    Returns
    -------
    like : bool   [-]
    Source      (judgement)
    """
    return austenitic(material) and any(key in material.name for key in LIKE_316)


def methods_at(strain_range: float, material: Material, T: float) -> dict[str, float]:
    """Life of a smooth bar by every method that applies, at the worst temperature on the way.

    A start-up passes all temperatures to T, so a rule's life is its shortest from 20 degC to T;
    a rule that fails anywhere on the way is left out.

    Parameters
    ----------
    strain_range : float   [-]
    material : Material   Strength and modulus over temperature, ductility at 20 degC [-]
    T : float   Hottest of the cycle [K]
    Returns
    -------
    lives : dict   By method [cycles]
    Errors      ValueError when the reduction of area is outside 0 .. 1.
    Source      ``pulse1d.durability.slopes``, ``pulse1d.durability.curve_316``; the shortest on
                the way (judgement)
    """
    D = ductility(material.RA)
    knots = (T, *(t for t in (*material.ultimate.T, *material.E.T) if t < T))
    ratios = [float(material.ultimate(t)) / float(material.E(t)) for t in knots]
    told = {name: _shortest(name, strain_range, min(ratios), max(ratios), D) for name in METHODS}
    lives = {name: life for name, life in told.items() if not math.isnan(life)}
    if like_316(material):
        lives["316 curve"] = life_316(strain_range, T)
    return lives


def _shortest(method: str, strain_range: float, low: float, high: float, D: float) -> float:
    """Shortest life over su/E between two values: at an end, or at one dip between them."""
    ends = [life_of(method, strain_range, x, D) for x in (low, high)]
    if any(map(math.isnan, ends)):
        return math.nan
    if method == "universal slopes" or high <= low:  # universal slopes rise with su/E
        return min(ends)
    dip = minimize_scalar(
        lambda x: math.log(life_of(method, strain_range, math.exp(x), D)),
        bounds=(math.log(low), math.log(high)),
        method="bounded",
        options={"xatol": 1e-4},
    )
    return min(*ends, math.exp(float(dip.fun)))
