"""Friction of non-circular sections: a multiplier on the turbulent friction factor."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

import numpy as np

TABLE = "idelchik1986_diagram2-6.csv"


@lru_cache(maxsize=1)
def _table() -> tuple[tuple[float, ...], tuple[float, ...]]:
    text = files("pulse1d.geometry").joinpath("data", TABLE).read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line and not line.startswith("#")][1:]
    pairs = [tuple(map(float, row.split(","))) for row in rows]
    return tuple(pair[0] for pair in pairs), tuple(pair[1] for pair in pairs)


def friction_multiplier(aspect: float, flatness: float) -> float:
    """Turbulent friction factor of a section over that of a round pipe of equal D_h.

    factor = 1 + flatness (factor_rectangle(aspect) - 1)

    ``flatness`` says how much of the rectangle's correction applies: 1 for a sharp rectangle, 0
    for a circle. That weighting is a judgement: it meets both limits, and for the ellipse (1/2)
    it follows the laminar flat limit, where the ellipse rises 0.47 times as much above the round
    pipe as parallel plates do (f Re = 2 pi^2 against 24, round 16; exact). It moves the factor
    by 5 % at most.

    Parameters
    ----------
    aspect : float   Short side / long side of the section [-], valid 0 .. 1
    flatness : float   Share of the rectangle's correction [-], valid 0 .. 1
    Returns
    -------
    factor : float   Multiplier on f_D at Re on D_h [-]
    Errors      ValueError outside the valid ranges.
    Limits      turbulent flow.
    Source      idelchik1986 diagram 2-6, from memory (data/idelchik1986_diagram2-6.csv)
    """
    if not (0.0 <= aspect <= 1.0 and 0.0 <= flatness <= 1.0):
        raise ValueError(f"aspect {aspect:g} and flatness {flatness:g} must lie within 0 .. 1")
    ratios, factors = _table()
    return 1.0 + flatness * (float(np.interp(aspect, ratios, factors)) - 1.0)
