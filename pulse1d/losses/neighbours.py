"""Bends that follow each other: the second meets a profile that the first has bent already."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from pulse1d.losses.bend_law import K_bend
from pulse1d.losses.table import columns

Turn = tuple[float, float, float]
"""Angle [rad], centre-line radius [m], rotation from the previous bend's plane [rad]. A mitre has
radius 0."""

NEAR, FAR = 4.0, 20.0
"""Spacings in bores: full interaction below, none above [-]."""

SAME_SENSE = 0.75
"""Factor of a close pair turning the same way, or twisted by 90 deg [-]."""

OPPOSED = 0.95
"""Factor of a close pair that makes an S [-]."""

HALF_WIDTH = 0.15
"""Half width of a close pair's factor: 0.6 .. 0.9 same way, 0.8 .. 1.1 in an S [-]."""

TABLE = "smacna_z-elbows"
K_TWO_ELBOWS = 2.4
"""Of two such elbows far apart [-]."""

F_TYPICAL = 0.02
"""Darcy factor at which a bend cut into parts is weighed against the whole [-]."""


def closeness(spacing: float) -> float:
    """Weight of the interaction: 1 up to 4 bores apart, falling evenly to 0 at 20.

    Parameters
    ----------
    spacing : float   Straight length between the bends in bores [-]
    Returns
    -------
    w : float   0 .. 1 [-]
    Source      miller1978 ch. 9, idelchik1986 diagrams 6-18 to 6-21, from memory
    """
    return min(max((FAR - spacing) / (FAR - NEAR), 0.0), 1.0)


def C_pair(spacing: float, rotation: float) -> float:
    """Factor on the summed K of two smooth bends that follow each other.

    C = 1 + w (C_close - 1),  C_close = 0.75 + 0.20 max(0, -cos rotation)

    Parameters
    ----------
    spacing : float   Straight length between the bends in bores [-]
    rotation : float   Of the second bend's plane from the first's; pi is an S [rad]
    Returns
    -------
    C : float   K of the pair over K of both alone [-]
    Limits      smooth bends, r/D >= 1. Two sharp elbows in an S are another matter: up to 1.75.
    Source      miller1978 ch. 9, idelchik1986 diagrams 6-18 to 6-21, from memory
    """
    close = SAME_SENSE + (OPPOSED - SAME_SENSE) * max(0.0, -math.cos(rotation))
    return 1.0 + closeness(spacing) * (close - 1.0)


def C_pair_mitres(spacing: float, rotation: float, angle: float = math.pi / 2) -> float:
    """Factor on the summed K of two mitres that follow each other.

    C = 1 + max(0, -cos rotation) min(1, angle/90 deg) (C_Z(spacing) - 1),  C_Z = K_pair/2.4;
    from 10 to 20 bores C_Z falls evenly to 1. There are no data for a U or a twist: they keep 1.

    Parameters
    ----------
    spacing : float   Distance between the mitres in bores [-], held below 0.4
    rotation : float   Of the second mitre's plane from the first's; pi is an S [rad]
    angle : float   The smaller of the two turns; below 90 deg the departure is scaled (judgement)
        [rad]
    Returns
    -------
    C : float   0.26 where the flow cuts the corner, to 1.75 at 2 bores [-]
    Limits      square duct, no vanes.
    Source      smacna (data/smacna_z-elbows.csv)
    """
    table = columns(TABLE)
    places = [*table["spacing"], FAR]
    factors = [*(table["K"] / K_TWO_ELBOWS), 1.0]
    Z = float(np.interp(spacing, places, factors))
    return 1.0 + max(0.0, -math.cos(rotation)) * min(1.0, 2.0 * angle / math.pi) * (Z - 1.0)


def interaction(
    bends: Sequence[Turn], spacings: Sequence[float], bore: float | None = None
) -> tuple[float, ...]:
    """Factor on each bend's K for its neighbours along a path.

    A bend's factor is the mean of its pairs' factors, so a lone pair costs C (K_1 + K_2). Bends of
    one radius that touch in one plane are one bend cut into parts: together they have the K of the
    whole turn, and count as one bend towards the others.

    Parameters
    ----------
    bends : (n,) sequence   Angle, centre-line radius and rotation of each [rad, m, rad]
    spacings : (n-1,) sequence   Straight length between consecutive bends in bores [-]
    bore : float   Bore [m], to weigh a bend cut into parts; None: every bend counts alone
    Returns
    -------
    factors : (n,) tuple   Multiplies each bend's K [-]
    Errors      ValueError when the spacings do not fit the bends.
    Source      miller1978 ch. 9, idelchik1986 diagrams 6-18 to 6-21, from memory; smacna for mitres
    """
    groups = _groups(bends, spacings, bore)
    pairs = [_pair(spacings[g[0] - 1], bends[g[0] - 1], bends[g[0]]) for g in groups[1:]]
    factors: list[float] = []
    for place, group in enumerate(groups):
        beside = pairs[max(place - 1, 0) : place + 1]
        factor = sum(beside) / len(beside) if beside else 1.0
        factors += [factor * _parts_factor([bends[i] for i in group], bore)] * len(group)
    return tuple(factors)


def interaction_bands(
    bends: Sequence[Turn], spacings: Sequence[float], bore: float | None = None
) -> tuple[float, ...]:
    """Half width of the logarithm of each bend's factor from ``interaction``.

    0.15 times the closeness of the nearest neighbour, over the factor

    Parameters
    ----------
    bends, spacings, bore : as for ``interaction``
    Returns
    -------
    half_widths : (n,) tuple   5-95 % half widths of ln C [-]
    Errors      ValueError when the spacings do not fit the bends.
    Source      miller1978 ch. 9, idelchik1986 diagrams 6-18 to 6-21, from memory
    """
    factors = interaction(bends, spacings, bore)
    groups = _groups(bends, spacings, bore)
    widths: list[float] = []
    for place, group in enumerate(groups):
        gaps = [spacings[g[0] - 1] for g in groups[max(place, 1) : place + 2]]
        nearest = max((closeness(gap) for gap in gaps), default=0.0)
        widths += [HALF_WIDTH * nearest / factors[i] for i in group]
    return tuple(widths)


def _pair(spacing: float, one: Turn, two: Turn) -> float:
    """Factor of a pair: of mitres when both are, else that of smooth bends."""
    if one[1] == two[1] == 0.0:
        return C_pair_mitres(spacing, two[2], min(one[0], two[0]))
    return C_pair(spacing, two[2])


def _groups(
    bends: Sequence[Turn], spacings: Sequence[float], bore: float | None
) -> list[list[int]]:
    """Indices of bends, those that are parts of one bend together."""
    if len(spacings) != max(len(bends) - 1, 0):
        raise ValueError(
            f"{len(bends)} bends have {max(len(bends) - 1, 0)} spacings between them, "
            f"not {len(spacings)}; give one for each consecutive pair"
        )
    groups: list[list[int]] = [[0]] if bends else []
    for index in range(1, len(bends)):
        _, radius, rotation = bends[index]
        touching = spacings[index - 1] < 1e-6 and abs(rotation) < 1e-6
        equal = math.isclose(radius, bends[index - 1][1], rel_tol=1e-6)
        turned = sum(bends[i][0] for i in groups[-1]) + bends[index][0]
        whole = bore is not None and touching and equal and radius > 0.0
        if whole and turned <= math.pi * (1.0 + 1e-9):
            groups[-1].append(index)
        else:
            groups.append([index])
    return groups


def _parts_factor(parts: Sequence[Turn], bore: float | None) -> float:
    """K of a whole bend over the sum of its parts'."""
    if len(parts) == 1 or bore is None:
        return 1.0
    radius = parts[0][1] / bore
    whole = K_bend(sum(angle for angle, _, _ in parts), radius, F_TYPICAL)
    return whole / sum(K_bend(angle, radius, F_TYPICAL) for angle, _, _ in parts)
