"""One step of a bracketed root search, for ends that have no closed form; compiled."""

from __future__ import annotations

from numba import njit

ROUNDS = 60


@njit(cache=True, error_model="numpy")
def between(a, f_a, b, f_b, turn):
    """Next point inside a bracket: the secant, every third time the middle.

    Parameters
    ----------
    a, b : float   Bracket [any]
    f_a, f_b : float   Values of opposite sign there [any]
    turn : int   Number of the round [-]
    Returns
    -------
    x : float   Strictly inside unless the bracket is closed [any]
    Source      Dowell & Jarratt 1971 (Illinois; the caller halves the stale value), from memory
    """
    if turn % 4 == 3 or f_a == f_b:
        return 0.5 * (a + b)
    x = (a * f_b - b * f_a) / (f_b - f_a)
    low, high = (a, b) if a < b else (b, a)
    return x if low < x < high else 0.5 * (a + b)
