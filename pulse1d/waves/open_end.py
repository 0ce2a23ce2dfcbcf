"""The air that swings with the gas at an open end: a length to add to the pipe."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from pulse1d.waves.pipes import Along, Array, Pipe

UNFLANGED = 0.6133
"""End correction over radius of a thin-walled pipe, at low frequency (Levine & Schwinger 1948)."""
FLANGED = 0.8217
"""The same in an infinite flange (Nomura et al. 1960; King)."""


def end_correction(diameter: float, flanged: bool = False) -> float:
    """Length that an open end adds to its pipe.

    Parameters
    ----------
    diameter : float   Of the mouth [m]
    flanged : bool   The mouth lies in a wall [-]
    Returns
    -------
    delta : float   [m]
    Errors      ValueError for a diameter that is not above 0.
    Limits      No mean flow, wavelength long against the diameter: within 2 % up to k a = 0.3. With
        outflow at low Strouhal number it falls towards 0.255 a.
    Source      Levine & Schwinger 1948 (0.6133 a), Nomura et al. 1960 (0.8217 a), from memory
    """
    if not diameter > 0.0:
        raise ValueError(f"a diameter of {diameter:g} m is not above 0")
    return 0.5 * diameter * (FLANGED if flanged else UNFLANGED)


def lengthened(pipe: Pipe, extra: float, side: str = "stop") -> Pipe:
    """A pipe drawn out at one end, with cells of nearly the same length.

    Shape, wall and start state go on as they are at that end.

    Parameters
    ----------
    pipe : Pipe   [SI]
    extra : float   Added length, 0 or more [m]
    side : str   "start" or "stop" [-]
    Returns
    -------
    pipe : Pipe   [SI]
    Errors      ValueError for another side, or a negative length; TypeError for values given one a
        cell, which no longer fit.
    """
    if side not in ("start", "stop"):
        raise ValueError(f"side is {side!r}; give 'start' or 'stop'")
    if not extra >= 0.0:
        raise ValueError(f"an added length of {extra:g} m is negative")
    shift = extra if side == "start" else 0.0
    length = pipe.length

    def drawn(value: Along | None) -> Along | None:
        if value is None or isinstance(value, int | float):
            return value
        if not callable(value):
            raise TypeError("give what varies along a pipe to be lengthened as a function of x")
        inner = value

        def outer(x: Array) -> Array:
            return np.asarray(inner(np.clip(x - shift, 0.0, length)))

        return outer

    values: dict[str, Any] = {}
    for name in ("diameter", "area", "p", "T", "u", "Y"):
        values[name] = drawn(getattr(pipe, name))
    rows: Any = None
    if pipe.rows is not None:
        rows = {}
        for row, value in pipe.rows.items():
            rows[row] = drawn(value)
    cells = max(round(pipe.cells * (length + extra) / length), 4)
    return replace(pipe, length=length + extra, cells=cells, rows=rows, **values)
