"""What compiled loops over cells share: the floating-point rules and reductions that vectorise."""

from __future__ import annotations

import numpy as np
from numba import njit

FAST = {"contract", "nsz", "arcp"}
"""Fused multiply-add, no signed zero, division by a shared reciprocal: a third faster, round-off
apart the same numbers. Nothing here relies on NaN or infinity, so neither is assumed away."""


@njit(cache=True, error_model="numpy")
def largest(values):
    """Largest of values that are not negative, by their bits, which vectorises and keeps a NaN.

    Parameters
    ----------
    values : (n,) array   The first is overwritten [any]
    Returns
    -------
    value : float   NaN where one of them is [any]
    Source      IEEE 754: the order of positive numbers is that of their bits
    """
    bits, top = values.view(np.int64), 0
    for i in range(bits.shape[0]):
        top = max(top, bits[i] & 0x7FFFFFFFFFFFFFFF)
    bits[0] = top
    return values[0]


@njit(cache=True, error_model="numpy", fastmath=FAST | {"reassoc"})
def total(values, weights):
    """Sum of weighted values, in any order.

    Parameters
    ----------
    values, weights : (n,) arrays   [any]
    Returns
    -------
    sum : float   [any]
    """
    found = 0.0
    for i in range(values.shape[0]):
        found += values[i] * weights[i]
    return found
