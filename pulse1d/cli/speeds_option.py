"""Reading of ``--speeds``."""

from __future__ import annotations

import math

from pulse1d.engine.speed_range import HIGHEST, LOWEST, steps_between
from pulse1d.errors import InputError, Problem

MOST = 200
"""Most speeds of one run: some five minutes of a four-cylinder engine."""
REMEDY = 'write a range "1500:6500:250", a list "2000,3000,4500" or one number, in rev/min'


def speeds_option(text: str, option: str = "--speeds") -> list[float]:
    """Speeds of a range, a list or one number.

    Parameters
    ----------
    text : str   Such as "1500:6500:250" [1/min]
    option : str   For the message [-]
    Returns
    -------
    speeds : list of float   Rising, each once [rev/s]
    Errors      InputError for text that is none of these, speeds that no engine has, too many.
    """
    parts = text.split(":") if ":" in text else text.split(",")
    numbers = [_number(part, text, option) for part in parts]
    for number in numbers:
        if number <= 0.0:
            raise _refused(option, f"{text!r}: a speed or step of {number:g} is not above 0")
    if ":" in text:
        if len(numbers) != 3:
            raise _refused(option, f"{text!r} is no range: a range has first, last and step")
        first, last, step = numbers
        if last < first:
            raise _refused(option, f"{text!r}: the last speed is below the first")
        count = steps_between(first, last, step)
        if count > MOST:
            raise _too_many(option, count)
        numbers = [first + step * k for k in range(count)]
    for number in numbers:
        if not LOWEST <= number <= HIGHEST:
            raise _refused(option, f"{number:g} rev/min is outside {LOWEST:g} to {HIGHEST:g}")
    speeds = sorted(set(numbers))
    if len(speeds) > MOST:
        raise _too_many(option, len(speeds))
    return [speed / 60.0 for speed in speeds]


def speed_at(text: str | None, speeds: list[float]) -> float:
    """The speed that the details are told of.

    Parameters
    ----------
    text : str or None   What the user typed; None: the middle one [1/min]
    speeds : list of float   Rising [rev/s]
    Returns
    -------
    speed : float   [rev/s]
    Errors      InputError for a speed that is not among them.
    """
    if text is None:
        return speeds[len(speeds) // 2]
    wanted = 60.0 * speeds_option(text, "--at")[0]
    near = min(speeds, key=lambda speed: abs(60.0 * speed - wanted))
    if abs(60.0 * near - wanted) > 1e-6 * wanted:
        message = f"--at: {wanted:g} rev/min is not among the speeds"
        raise InputError([Problem(message, f"the nearest is {60.0 * near:g}")])
    return near


def _number(part: str, text: str, option: str) -> float:
    try:
        number = float(part)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise _refused(option, f"{part.strip()!r} in {text!r} is not a number")
    return number


def _refused(option: str, message: str) -> InputError:
    return InputError([Problem(f"{option}: {message}", REMEDY)])


def _too_many(option: str, count: int) -> InputError:
    return InputError([Problem(f"{option}: {count} speeds are more than {MOST}", "widen the step")])
