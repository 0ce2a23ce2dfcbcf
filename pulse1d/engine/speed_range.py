"""Speeds that an engine may have, and ranges of them."""

from __future__ import annotations

import math

LOWEST, HIGHEST = 100.0, 30_000.0
"""Slower than any engine idles, faster than any four-stroke engine turns (judgement) [1/min]."""


def steps_between(first: float, last: float, step: float) -> int:
    """How many values a range has, its last one included where the step meets it.

    Parameters
    ----------
    first, last, step : float   Rising, the step above 0 [any]
    Returns
    -------
    count : int   Rounding of the step taken into account [-]
    """
    return math.floor((last - first) / step * (1.0 + 1e-9)) + 1
