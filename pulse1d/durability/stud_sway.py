"""A stud that must follow its flange sideways."""

from __future__ import annotations


def stud_sway_strain(slip: float, diameter: float, grip: float) -> float:
    """Bending strain of a stud whose ends stay parallel while one moves sideways.

    eps = 3 d s/L^2: a beam held at both ends, M = 6 E I s/L^2

    Parameters
    ----------
    slip : float   That the hole's clearance leaves for the stud to follow [m]
    diameter : float   Of the shank [m]
    grip : float   Free length [m]
    Returns
    -------
    strain : float   At its surface [-]
    Errors      ValueError when the grip is not above 0.
    Source      beam theory
    """
    if not grip > 0.0:
        raise ValueError("a stud needs a grip above 0 to bend over")
    return 3.0 * diameter * abs(slip) / grip**2


def stud_follow(slip: float, hole: float, diameter: float) -> float:
    """What of a slip is left once the hole's clearance is used up.

    Parameters
    ----------
    slip : float   [m]
    hole : float   Size of the hole along the bar [m]
    diameter : float   Of the stud, in the middle of the hole when cold [m]
    Returns
    -------
    rest : float   [m], 0 or more
    Errors      ValueError when the stud does not fit the hole.
    Source      geometry
    """
    if hole < diameter:
        raise ValueError(f"a stud of {1e3 * diameter:g} mm does not fit a {1e3 * hole:g} mm hole")
    return max(0.0, abs(slip) - 0.5 * (hole - diameter))
