"""Chords of a centre line and what a unit load at its end does to them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def chords(points: ArrayLike) -> tuple[Array, Array, Array]:
    """A centre line as straight chords.

    Parameters
    ----------
    points : (n, 3) array   [m]; points that repeat are an error
    Returns
    -------
    places, vectors, lengths : (n, 3), (n - 1, 3), (n - 1,) array   [m], unit vectors [-], [m]
    Errors      ValueError when the points do not make a line.
    Source      geometry
    """
    places = np.asarray(points, dtype=float)
    if places.ndim != 2 or places.shape[0] < 2 or places.shape[1] != 3:
        raise ValueError(f"points of shape {places.shape} are no centre line; give (n, 3), n >= 2")
    steps = np.diff(places, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    if not np.all(lengths > 0.0):
        raise ValueError("two points of a centre line are one; leave out the second")
    return places, steps / lengths[:, None], lengths


def spread(value: ArrayLike, n: int, name: str) -> Array:
    """One stiffness for each chord.

    Parameters
    ----------
    value : float or (n,) array   [N m2] or [N]
    n : int   Chords [-]
    name : str   For errors [-]
    Returns
    -------
    values : (n,) array   [as the value]
    Errors      ValueError when it is not above 0, or of another count.
    """
    given = np.asarray(value, dtype=float)
    if given.ndim > 1 or (given.ndim == 1 and given.shape[0] != n):
        raise ValueError(f"{name} of shape {given.shape} does not fit {n} chords")
    if not np.all(given > 0.0):
        raise ValueError(f"{name} must be above 0")
    return np.broadcast_to(given, (n,))


def unit_load_moments(arm: Array) -> Array:
    """Moment at a station by force and moment at the end: (arm x F) + M.

    Parameters
    ----------
    arm : (3,) array   From the station to the end [m]
    Returns
    -------
    B : (3, 6) array   [m, -]
    Source      statics
    """
    x, y, z = arm
    return np.array(
        [
            [0.0, -z, y, 1.0, 0.0, 0.0],
            [z, 0.0, -x, 0.0, 1.0, 0.0],
            [-y, x, 0.0, 0.0, 0.0, 1.0],
        ]
    )


def bending_strain(
    points: ArrayLike, load: ArrayLike, EI: ArrayLike, outside: ArrayLike, EA: ArrayLike = np.inf
) -> Array:
    """Strain at the surface of a leg under a load at its free end.

    eps = |M across| r/EI + |F along|/EA

    Parameters
    ----------
    points : (n, 3) array   Centre line, first the built-in end [m]
    load : (3,) or (6,) array   Force, or force and moment, at the free end [N, N m]
    EI, EA : float or (n - 1,) array   By chord, of the tube itself [N m2], [N]
    outside : float or (n - 1,) array   Diameter [m]
    Returns
    -------
    strain : (n - 1, 2) array   At both ends of each chord [-]
    Errors      ValueError as in ``chords`` and ``spread``.
    Source      beam theory
    """
    places, vectors, lengths = chords(points)
    given = np.zeros(6)
    force = np.asarray(load, dtype=float)
    given[: len(force)] = force
    EI_, EA_ = spread(EI, len(lengths), "EI"), spread(EA, len(lengths), "EA")
    radius = 0.5 * spread(outside, len(lengths), "outside")
    strain = np.zeros((len(lengths), 2))
    for end in (0, 1):
        for i, t in enumerate(vectors):
            M = unit_load_moments(places[-1] - places[i + end]) @ given
            across = np.linalg.norm(M - (M @ t) * t)
            strain[i, end] = across * radius[i] / EI_[i] + abs(given[:3] @ t) / EA_[i]
    return strain
