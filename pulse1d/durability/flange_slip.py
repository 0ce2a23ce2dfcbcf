"""A flange bar that grows on its head: how far its end studs must slip, and what that asks."""

from __future__ import annotations

import math

from pulse1d.durability.metal import Material
from pulse1d.durability.strain import mismatch


def end_slip(
    length: float, material: Material, T: float, head: Material, T_head: float, slots: int = 0
) -> float:
    """Slip of the outermost stud against the head, the piece held at its middle.

    s = (eps(T) - eps_head(T_head)) L/(2 (slots + 1))

    Parameters
    ----------
    length : float   Between the outermost studs [m]
    material, head : Material   Of the bar and of the head [-]
    T, T_head : float   [K]
    slots : int   Cuts that part the bar into equal pieces, each free to grow [-]
    Returns
    -------
    slip : float   Outwards, each side [m]; negative where the head grows more
    Errors      ValueError when the length or the count is negative.
    Limits      the middle of each piece stays where it is: studs grip alike (judgement)
    Source      definition of expansion
    """
    if length < 0.0 or slots < 0:
        raise ValueError("the length of a flange and its number of slots must be 0 or more")
    return 0.5 * length / (slots + 1) * mismatch(material, T, head, T_head)


def slot_left(slot: float, slip: float) -> float:
    """What is left of a cut when the pieces on both its sides have grown into it.

    Parameters
    ----------
    slot : float   Width of the cut, cold [m]
    slip : float   End slip of one piece [m]
    Returns
    -------
    left : float   [m]; below 0 the pieces meet and the bar pushes as one
    Source      geometry: both sides grow by the slip
    """
    return slot - 2.0 * slip


def slip_with_slots(
    length: float,
    material: Material,
    T: float,
    head: Material,
    T_head: float,
    slots: int,
    slot: float = math.inf,
) -> float:
    """Slip of the outermost stud where the cuts may close.

    Cuts that close hand on what they could not take: the end stud then slips by the growth of
    the whole bar less what all cuts took up, half to each side.

    Parameters
    ----------
    length, material, T, head, T_head, slots : as in ``end_slip``
    slot : float   Width of each cut, cold [m]; default a split flange that never meets
    Returns
    -------
    slip : float   [m]
    Errors      ValueError as in ``end_slip``.
    Source      geometry
    """
    whole = end_slip(length, material, T, head, T_head)
    parted = end_slip(length, material, T, head, T_head, slots)
    if slots == 0 or slot_left(slot, parted) >= 0.0:
        return parted
    return whole - 0.5 * slots * slot
