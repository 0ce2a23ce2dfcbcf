"""Answers over the speeds of a cycle study: means, the best, the width of a window."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

WINDOW = 0.95
"""Share of the best torque that bounds its window (judgement) [-]."""
PER_SPEED = ("torque", "volumetric efficiency", "residual", "back pressure")
OVER = (
    "mean torque", "most torque", "speed of most torque", "torque window",
    "mean volumetric efficiency", "mean residual", "mean back pressure",
)  # fmt: skip
"""Answers over all speeds of the study, or over an objective's range of speeds."""
Curves = Mapping[str, Mapping[float, float]]
"""Values by answer and speed [SI by rev/min]."""


def at_speed(name: str, speed: float) -> str:
    """The name of an answer at one speed.

    Parameters
    ----------
    name : str   One of ``PER_SPEED`` [-]
    speed : float   [rev/min]
    Returns
    -------
    name : str   Such as "torque at 3000" [-]
    """
    return f"{name} at {speed:.6g}"


def within(name: str, first: float | None, last: float | None) -> str:
    """The name of an answer over a range of speeds.

    Parameters
    ----------
    name : str   One of ``OVER`` [-]
    first, last : float or None   The range; None: open to this side [rev/min]
    Returns
    -------
    name : str   Such as "mean torque, 2500 to 4500" [-]
    """
    if first is None and last is None:
        return name
    if first is None:
        return f"{name}, to {last:.6g}"
    if last is None:
        return f"{name}, from {first:.6g}"
    return f"{name}, {first:.6g} to {last:.6g}"


def over_speeds(
    curves: Curves,
    speeds: Sequence[float],
    first: float | None = None,
    last: float | None = None,
) -> dict[str, float]:
    """Answers over a range of speeds; none where a speed of the range is missing.

    Parameters
    ----------
    curves : mapping   Values at the speeds that converged [SI by rev/min]
    speeds : sequence of float   Of the study, rising [rev/min]
    first, last : float or None   The range; None: open to this side [rev/min]
    Returns
    -------
    answers : dict   By name of ``OVER`` [SI]
    Source      definition; means are over the speeds that were run, each counting once
    """
    low, high = first or 0.0, last if last is not None else float("inf")
    chosen = [n for n in speeds if low * (1.0 - 1e-9) <= n <= high * (1.0 + 1e-9)]
    if not chosen or any(n not in curves[name] for name in PER_SPEED for n in chosen):
        return {}
    found = {
        f"mean {name}": sum(curves[name][n] for n in chosen) / len(chosen) for name in PER_SPEED
    }
    torque = [(n, curves["torque"][n]) for n in chosen]
    best_at, best = max(torque, key=lambda pair: pair[1])
    found["most torque"], found["speed of most torque"] = best, best_at / 60.0
    if best > 0.0:
        found["torque window"] = window(torque, best_at) / 60.0
    return {name: found[name] for name in OVER if name in found}


def window(torque: Sequence[tuple[float, float]], best_at: float) -> float:
    """Width of the speeds around the best within 5 % of it, straight lines between speeds.

    Parameters
    ----------
    torque : sequence of (speed, torque)   Speeds rising, the best above 0 [rev/min, N m]
    best_at : float   Speed of the best [rev/min]
    Returns
    -------
    width : float   It ends at the first and last speed at the latest [rev/min]
    Source      definition
    """
    limit = WINDOW * dict(torque)[best_at]
    after = [pair for pair in torque if pair[0] >= best_at]
    before = [pair for pair in reversed(torque) if pair[0] <= best_at]
    return _edge(after, limit) - _edge(before, limit)


def _edge(curve: Sequence[tuple[float, float]], limit: float) -> float:
    for (n, here), (following, there) in pairwise(curve):
        if there < limit:
            return n + (following - n) * (here - limit) / (here - there)
    return curve[-1][0]
