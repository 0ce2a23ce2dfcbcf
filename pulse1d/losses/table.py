"""Reads the published tables that ship beside the loss pieces."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from pulse1d.losses.monotone import Monotone


@lru_cache(maxsize=32)
def columns(name: str) -> dict[str, NDArray[np.float64]]:
    """Columns of ``losses/data/<name>.csv`` by heading.

    Parameters
    ----------
    name : str   File name without its ending [-]
    Returns
    -------
    columns : dict   Heading to (n,) array [as the file's header says]
    Source      stated in the comment that opens each file
    """
    text = files("pulse1d.losses").joinpath("data", f"{name}.csv").read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if line and not line.startswith("#")]
    values = np.array(rows[1:], dtype=float)
    return {heading: values[:, index] for index, heading in enumerate(rows[0])}


@lru_cache(maxsize=32)
def curve(name: str, x: str, y: str) -> Monotone:
    """Monotone cubic through one column against another; no overshoot between the points.

    Parameters
    ----------
    name : str   File name without its ending [-]
    x, y : str   Headings [-]
    Returns
    -------
    curve : callable   y of x; outside the table the caller decides [-]
    Source      Fritsch & Butland 1984
    """
    table = columns(name)
    return Monotone(table[x], table[y])


def within(name: str, x: str, value: float) -> float:
    """A value held at the ends of a table's range; the caller reports that it was.

    Parameters
    ----------
    name : str   File name without its ending [-]
    x : str   Heading [-]
    value : float   Where the table is asked [-]
    Returns
    -------
    value : float   Within the table [-]
    Source      none
    """
    table = columns(name)[x]
    return float(min(max(value, table[0]), table[-1]))
