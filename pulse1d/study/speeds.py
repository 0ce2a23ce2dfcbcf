"""Engine speeds as a study writes them."""

from __future__ import annotations

import math
from typing import Any

from pulse1d.engine.speed_range import HIGHEST, LOWEST, steps_between

MOST = 60
"""Most speeds a point: each is a march of seconds (judgement)."""
REMEDY = "write a range 2000:6000:1000, a list [2000, 3000, 4500] or one number, in rev/min"


def speeds_of(value: Any) -> tuple[float, ...]:
    """Speeds of a range, a list or one number.

    Parameters
    ----------
    value : Any   Such as "2000:6000:1000" or [2000, 3000] [1/min]
    Returns
    -------
    speeds : tuple of float   Rising, each once [1/min]
    Errors      ValueError with a remedy for anything else, speeds that no engine has, too many.
    """
    numbers = _range(value) if isinstance(value, str) and ":" in value else _list(value)
    for number in numbers:
        if not LOWEST <= number <= HIGHEST:
            raise ValueError(f"{number:g} rev/min is outside {LOWEST:g} to {HIGHEST:g}; {REMEDY}")
    speeds = tuple(sorted(set(numbers)))
    if not 0 < len(speeds) <= MOST:
        raise ValueError(f"{len(speeds)} speeds, not 1 to {MOST}; widen the step")
    return speeds


def _range(text: str) -> list[float]:
    parts = [_number(part) for part in text.split(":")]
    if len(parts) != 3 or parts[2] <= 0.0 or parts[1] < parts[0]:
        raise ValueError(f"{text!r} is no range of first, last and step; {REMEDY}")
    first, last, step = parts
    count = steps_between(first, last, step)
    if count > MOST:
        raise ValueError(f"{count} speeds are more than {MOST}; widen the step")
    return [first + step * k for k in range(count)]


def _list(value: Any) -> list[float]:
    parts = value.split(",") if isinstance(value, str) else value
    return [_number(part) for part in (parts if isinstance(parts, list | tuple) else [parts])]


def _number(part: Any) -> float:
    try:
        number = math.nan if isinstance(part, bool) else float(part)
    except (TypeError, ValueError):
        number = math.nan
    if not math.isfinite(number):
        raise ValueError(f"{str(part)[:40]!r} is not a speed; {REMEDY}")
    return number
