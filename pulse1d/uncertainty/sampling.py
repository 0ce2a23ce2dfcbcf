"""Samples of named causes: stratified, seeded, and the same for a cause wherever it occurs."""

from __future__ import annotations

import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pulse1d.errors import InputError, Problem
from pulse1d.uncertainty.normal import quantile

MOST = 50_000_000
"""Samples times causes at the most: 400 MB, and about three times that while shares are made."""


def normal_samples(causes: Sequence[str], samples: int, seed: int) -> NDArray[np.float64]:
    """Standard normal samples, one column a cause, by Latin hypercube.

    A column depends on its cause's name, the number of samples and the seed alone. Two designs
    that share a cause therefore see the same draw of it, and a design's band does not change
    with the company it is compared in.

    Parameters
    ----------
    causes : sequence of str   Keys [-]
    samples : int   Number of samples [-]
    seed : int   Seed [-]
    Returns
    -------
    z : (samples, causes) array   [-]
    Errors      InputError where samples times causes are more than MOST.
    Limits      MOST
    Source      McKay, Beckman & Conover 1979 (Latin hypercube), from memory
    """
    if samples * len(causes) > MOST:
        message = f"{samples} samples of {len(causes)} causes of doubt take too much memory"
        raise InputError([Problem(message, f"take {MOST // len(causes)} samples or fewer")])
    z = np.empty((samples, len(causes)))
    for k, cause in enumerate(causes):
        rng = np.random.default_rng([seed, zlib.crc32(cause.encode())])
        strata = rng.permutation(samples) + rng.random(samples)
        z[:, k] = quantile(strata / samples)
    return z
