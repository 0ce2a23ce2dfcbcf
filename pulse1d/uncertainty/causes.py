"""Effects on rows as numbers: what the compiled samplers read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from pulse1d.losses.element import COLUMN, Effect


def cause_keys(*groups: Iterable[Effect]) -> tuple[str, ...]:
    """Keys of all causes, each once, in order of appearance.

    Parameters
    ----------
    groups : iterables of Effect   [-]
    Returns
    -------
    causes : tuple of str   [-]
    """
    return tuple(dict.fromkeys(effect.cause for group in groups for effect in group))


def effect_table(effects: Sequence[Effect], causes: Sequence[str]) -> NDArray[np.float64]:
    """Effects as rows of cause, row, column, mode (0 ln, 1 add) and size.

    Parameters
    ----------
    effects : sequence of Effect   [-]
    causes : sequence of str   Keys in the order of the samples' columns [-]
    Returns
    -------
    table : (m, 5) array   [-]
    Errors      KeyError for a cause that is not among the keys.
    """
    place = {cause: k for k, cause in enumerate(causes)}
    rows = [
        (place[e.cause], e.step, COLUMN[e.column], 0.0 if e.mode == "ln" else 1.0, e.size)
        for e in effects
    ]
    return np.array(rows, dtype=float).reshape(-1, 5)
