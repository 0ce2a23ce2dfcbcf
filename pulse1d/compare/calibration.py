"""The calibration that a fit leaves, as cases read it."""

from __future__ import annotations

import numpy as np

from pulse1d.case.schema import Calibration, Correction, Correlation
from pulse1d.compare.fit import Fit
from pulse1d.run.response import Response

MOVED, LEARNED = 0.02, 0.005
"""Least shift and least fall of spread of a cause that is written down."""
TIED = 0.02
"""Least correlation that is written down."""


def calibration_of(found: Fit, source: str) -> Calibration:
    """The calibration that a fit leaves, as cases read it.

    Parameters
    ----------
    found : Fit   [-]
    source : str   What it was estimated from [-]
    Returns
    -------
    calibration : Calibration   Causes that moved or were learned about [-]
    """
    kept = [
        k
        for k in np.argsort(found.spread)
        if abs(found.z[k]) > MOVED or 1.0 - found.spread[k] > LEARNED
    ]
    causes, spread = found.response.causes, found.spread
    corrections = tuple(
        Correction(
            cause=causes[k], sigmas=round(float(found.z[k]), 4), spread=round(float(spread[k]), 4)
        )
        for k in kept
    )
    correlations = [
        Correlation(between=(causes[i], causes[j]), r=round(r, 3))
        for a, i in enumerate(kept)
        for j in kept[a + 1 :]
        if abs(r := float(found.P[i, j] / (spread[i] * spread[j]))) > TIED
    ]
    return Calibration(source=source, corrections=corrections, correlations=tuple(correlations))


def meanings(response: Response, calibration: Calibration) -> list[str]:
    """What each correction does to the numbers that its cause moves, in words.

    Parameters
    ----------
    response : Response   Of the case that was fitted [-]
    calibration : Calibration   [-]
    Returns
    -------
    texts : list of str   Such as "K x 1.08", "K + 0.021 to + 0.034"; empty for dimensions [-]
    """
    return [meaning(response, c.cause, c.sigmas or 0.0) for c in calibration.corrections]


def meaning(response: Response, cause: str, sigmas: float) -> str:
    """What a shift of one cause does, in words.

    Parameters
    ----------
    response : Response   [-]
    cause : str   [-]
    sigmas : float   [-]
    Returns
    -------
    text : str   Empty for a dimension, whose many numbers move each by its own [-]
    """
    effects = response.effects.get(cause, ())
    if not effects or len({effect.mode for effect in effects}) > 1:
        return ""
    what = {"eps": "roughness", "f_factor": "friction"}.get(effects[0].column, "K")
    if not effects[0].column.startswith(("K", "eps", "f_factor", "jet")):
        return ""
    if effects[0].column.startswith("jet"):
        what = "jet area"
    changes = sorted({round(effect.size * sigmas, 6) for effect in effects})
    if effects[0].mode == "ln":
        ends = [f"x {np.exp(change):.3f}" for change in (changes[0], changes[-1])]
    else:
        ends = [f"{change:+.3f}" for change in (changes[0], changes[-1])]
    return f"{what} {ends[0]}" + (f" to {ends[1]}" if ends[0] != ends[1] else "")
