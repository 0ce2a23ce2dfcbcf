"""The designs that no other beats, the knee among them, and what is traded for what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.study.aims import Aim
from pulse1d.study.outcome import Outcome

Array = NDArray[np.float64]


def front_of(wanted: Array, missed: Array) -> tuple[int, ...]:
    """Rows that no other row beats: none is as low in every aim and lower in one.

    Parameters
    ----------
    wanted : (n, m) array   To be low [any]
    missed : (n,) array   Share by which a limit is missed; above 0 the row does not count [-]
    Returns
    -------
    rows : tuple of int   From the best in the first aim on; of equal rows the first [-]
    Source      definition
    """
    rows = [int(k) for k in np.lexsort(wanted.T[::-1]) if missed[k] <= 0.0]
    kept: list[int] = []
    for row in rows:  # a row can only be beaten by one that comes before it in this order
        if not kept or not np.any(np.all(wanted[kept] <= wanted[row], axis=1)):
            kept.append(row)
    return tuple(kept)


def knee_of(wanted: Array) -> int:
    """The row of a front that bulges most: past it much is paid for little.

    Aims run from 0, best of the front, to 1, worst; the knee has the least sum of them. With two
    aims it is the point furthest from the line between the ends.

    Parameters
    ----------
    wanted : (n, m) array   Of a front, to be low [any]
    Returns
    -------
    row : int   [-]
    Source      Das, Structural Optimization 18 (1999) 107, from memory
    """
    low, high = np.min(wanted, axis=0), np.max(wanted, axis=0)
    span = np.where(high > low, high - low, 1.0)
    return int(np.argmin(np.sum((wanted - low) / span, axis=1)))


@dataclass(frozen=True)
class Trade:
    """What the end of a front buys over its knee, and for what."""

    aim: Aim
    """The aim that is served best at this end."""
    row: int
    """Place of the end in the outcomes."""
    changes: tuple[float, ...]
    """End less knee, for each aim of ``named`` [SI]."""


@dataclass(frozen=True)
class Named:
    """A front with its knee and its ends."""

    aims: tuple[Aim, ...]
    """Those of most and least."""
    knee: int
    """Place in the outcomes."""
    trades: tuple[Trade, ...]
    """One an aim; none where one design is best in all of them."""


def named(outcomes: Sequence[Outcome], aims: Sequence[Aim], front: Sequence[int]) -> Named | None:
    """The knee and the ends of a front.

    Parameters
    ----------
    outcomes : sequence of Outcome   [SI]
    aims : sequence of Aim   [SI]
    front : sequence of int   Places in the outcomes [-]
    Returns
    -------
    named : Named or None   None for an empty front [SI]
    """
    if not front:
        return None
    open_aims = tuple(aim for aim in aims if aim.open)
    value = np.array([[outcomes[k].answers[a.answer] for a in open_aims] for k in front])
    wanted = value * [-1.0 if aim.aim == "most" else 1.0 for aim in open_aims]
    knee = knee_of(wanted)
    trades = [
        Trade(aim, front[end], tuple(float(x) for x in value[end] - value[knee]))
        for aim, end in zip(open_aims, np.argmin(wanted, axis=0), strict=True)
    ]
    return Named(open_aims, front[knee], tuple(trades) if len(front) > 1 else ())


def trade_words(trade: Trade, aims: Sequence[Aim]) -> str:
    """A trade in words.

    Parameters
    ----------
    trade : Trade   [SI]
    aims : sequence of Aim   Of its front, most and least [SI]
    Returns
    -------
    text : str   [-]
    """
    pairs = list(zip(aims, trade.changes, strict=True))
    gain = next(change for aim, change in pairs if aim == trade.aim)
    if gain == 0.0:
        return f"{trade.aim.words}: the knee itself has it"
    paid = [_said(aim, x) for aim, x in pairs if aim != trade.aim and aim.cost(x) > 0.0]
    too = [_said(aim, x) for aim, x in pairs if aim != trade.aim and aim.cost(x) < 0.0]
    text = f"{trade.aim.words}: {_said(trade.aim, gain)} over the knee, paid with "
    return text + (" and ".join(paid) or "nothing") + (f", with {' and '.join(too)}" if too else "")


def _said(aim: Aim, change: float) -> str:
    unit = f" {aim.unit}" if aim.unit else ""
    return f"{change / aim.scale:+.3g}{unit} {aim.answer}"
