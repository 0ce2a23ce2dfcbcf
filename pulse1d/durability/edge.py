"""The hot end of a tube in a cooler flange: what share of the difference its edge bears."""

from __future__ import annotations

import math

SHELL = (3.0 * (1.0 - 0.3**2)) ** 0.25
"""Of a thin shell's edge, nu = 0.3 [-]."""


def fade(thickness: float, k: float, h: float) -> float:
    """Length over which a wall behind a cooler end comes to its own temperature: a fin's.

    l = sqrt(k t/h)

    Parameters
    ----------
    thickness, k : float   Of the wall [m, W/m/K]
    h : float   Of both sides together, radiation's slope included [W/m2/K]
    Returns
    -------
    length : float   [m]
    Errors      ValueError when one is not above 0.
    Source      Incropera & DeWitt, fins, from memory
    """
    if not min(thickness, k, h) > 0.0:
        raise ValueError("a fin needs a thickness, a conductivity and a heat transfer above 0")
    return math.sqrt(k * thickness / h)


def edge_share(radius: float, thickness: float, length: float) -> float:
    """Strain at the root of a round wall, over its free mismatch to the part that holds it.

    Far away the wall would grow by e R more than at its root, on the way as w_f = e R (1 -
    exp(-x/l)). Held at its root without turning, w'''' + 4 b^4 w = 4 b^4 w_f bends it there by
    eta = t R/2 (2 b^2 (1 - c) + 2 b c/l - c/l^2), c = 4 (b l)^4/(1 + 4 (b l)^4). Slow fades give
    b t R/l; a step gives 1.65.

    Parameters
    ----------
    radius, thickness : float   Of the wall's middle, and the wall [m]
    length : float   Over which its temperature comes up [m]
    Returns
    -------
    eta : float   [-]
    Errors      ValueError when one is not above 0.
    Limits      elastic, long, held rigidly
    Source      Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, ch. 15, from memory;
                solved here for an exponential profile
    """
    if not min(radius, thickness, length) > 0.0:
        raise ValueError("an edge needs a radius, a thickness and a length above 0")
    b = SHELL / math.sqrt(radius * thickness)
    c = 4.0 * (b * length) ** 4 / (1.0 + 4.0 * (b * length) ** 4)
    bent = 2.0 * b**2 * (1.0 - c) + 2.0 * b * c / length - c / length**2
    return 0.5 * thickness * radius * bent
