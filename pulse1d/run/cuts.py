"""Where the rows of a leg are cut into pipes: nozzles, turbines, bricks, real steps of area."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pulse1d.losses.element import COLUMN, Law

Array = NDArray[np.float64]

STEP = 0.02
"""Relative change of area from which a jet row stands between two pipes of its own; a smaller one
is a loss spread over a cell, its area change part of the pipe's shape (judgement)."""
LAW, L, A_1, A_2, OUTER = (COLUMN[name] for name in ("law", "L", "A_1", "A_2", "outer"))


def plain_row(area: float, D_h: float, length: float) -> Array:
    """A plain duct.

    Parameters
    ----------
    area, D_h, length : float   [m2, m, m]
    Returns
    -------
    rows : (1, k) array   [SI]
    """
    row = np.zeros((1, len(COLUMN)))
    row[0, [A_1, A_2, L]] = area, area, length
    row[0, [COLUMN["D_1"], COLUMN["D_2"]]] = D_h
    row[0, COLUMN["f_factor"]] = 1.0
    return row


def passages(rows: Array) -> list[tuple[int, int, bool]]:
    """Rows that stand between two pipes: nozzles, turbines, real steps of area.

    Parameters
    ----------
    rows : (n, k) array   Of a leg [SI]
    Returns
    -------
    groups : list of (first, last, must)   Of rows without a length between them; whether they
        cannot be spread over a cell [-]
    """
    groups: list[tuple[int, int, bool]] = []
    for k, row in enumerate(rows):
        jet = row[LAW] == Law.JET and abs(row[A_2] / row[A_1] - 1.0) > STEP
        if not (jet or row[LAW] in (Law.NOZZLE, Law.TURBINE)):
            continue
        must = not jet or bool(np.any(rows[max(k - 1, 0) : k + 2, OUTER] > 0.0))
        if groups and (must or groups[-1][2]) and not np.any(rows[groups[-1][1] : k, L] > 0.0):
            groups[-1] = groups[-1][0], k, True
        else:
            groups.append((k, k, must))
    return groups


def split(rows: Array, cell: float) -> tuple[list[Array], list[Array], bool]:
    """Rows cut where a nozzle or a real step of area stands between two lengths of duct.

    A nozzle, a turbine or a brick that stands at the leg's end, or close behind another, gets
    what is missing of a cell's length of duct beside it.

    Parameters
    ----------
    rows : (n, k) array   Of a leg, at least one with a length [SI]
    cell : float   Lengths shorter than this are not parted from their neighbour [m]
    Returns
    -------
    pieces, between, padded : lists of arrays, bool   Rows of each pipe; rows of each passage;
        whether a length was put in [SI]
    """
    for first, last, must in passages(rows):
        before, after = rows[:first], rows[last + 1 :]
        sides = (before, after)
        short = [side[:, L].sum() < cell for side in sides]
        if any(short) and not must:
            continue
        pad = [s and not np.any(side[:, OUTER] > 0.0) for s, side in zip(short, sides, strict=True)]
        if pad[0]:
            before = np.concatenate([before, beside(rows[first], 1, before, cell)])
        if pad[1]:
            after = np.concatenate([beside(rows[last], 2, after, cell), after])
        pieces, between, more = split(after, cell)
        return [before, *pieces], [rows[first : last + 1], *between], any(pad) or more
    return [rows], [], False


def beside(row: Array, side: int, there: Array, cell: float) -> Array:
    """What is missing of a cell's length of duct beside a row.

    Parameters
    ----------
    row : (k,) array   [SI]
    side : int   1 in front of it, 2 behind it [-]
    there : (n, k) array   What stands there [SI]
    cell : float   [m]
    Returns
    -------
    rows : (1, k) array   [SI]
    """
    length = cell - float(there[:, L].sum())
    return plain_row(row[COLUMN[f"A_{side}"]], row[COLUMN[f"D_{side}"]], length)
