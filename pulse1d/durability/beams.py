"""How a leg gives way: compliance of its centre line in space, by unit loads (Castigliano)."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pulse1d.durability.tubes import POISSON
from pulse1d.durability.unit_loads import Array, chords, spread, unit_load_moments


def quarter_bend(R: float, EI: float, GJ: float = math.inf) -> Array:
    """Compliance at the free end of a quarter bend, closed form, bending and twist.

    Built in at the origin along z, it turns towards x and ends at (R, 0, R). In its plane
    x: 3 pi/4 - 2, z: pi/4, x with z: -1/2, times R^3/EI; out of it R^3 (pi/4/EI + (3 pi/4 - 2)/GJ).

    Parameters
    ----------
    R : float   Bend radius of the axis [m]
    EI, GJ : float   Bending and twisting stiffness [N m2]
    Returns
    -------
    compliance : (3, 3) array   Displacement x, y, z by force x, y, z [m/N]
    Source      Castigliano; Timoshenko, Strength of Materials, curved bars (from memory)
    """
    a, b = 0.75 * math.pi - 2.0, 0.25 * math.pi
    plane = R**3 / EI
    out = R**3 * (b / EI + a / GJ)
    return np.array(
        [[a * plane, 0.0, -0.5 * plane], [0.0, out, 0.0], [-0.5 * plane, 0.0, b * plane]]
    )


def compliance_6(
    points: ArrayLike,
    EI: ArrayLike,
    GJ: ArrayLike | None = None,
    EA: ArrayLike = math.inf,
) -> Array:
    """Displacement and rotation of the free end by force and moment there.

    C = integral of B^T ((I - t t^T)/EI + t t^T/GJ) B ds + t t^T/EA, B force to moment

    Parameters
    ----------
    points : (n, 3) array   Centre line, first the built-in end [m]
    EI, GJ : float or (n - 1,) array   By chord [N m2]; GJ default EI/1.3, a round tube
    EA : float or (n - 1,) array   [N]; default no stretching
    Returns
    -------
    C : (6, 6) array   [m/N, 1/N, rad/(N m)]
    Errors      ValueError for points that do not make a line, stiffness not above 0.
    Limits      slender (no shear); chords of 5 deg: 0.2 % on a quarter bend
    Source      unit-load method, strength of materials
    """
    places, vectors, lengths = chords(points)
    bending = spread(EI, len(lengths), "EI")
    twist = bending / (1.0 + POISSON) if GJ is None else spread(GJ, len(lengths), "GJ")
    stretch = spread(EA, len(lengths), "EA")
    total = np.zeros((6, 6))
    for i, (t, length) in enumerate(zip(vectors, lengths, strict=True)):
        along = np.outer(t, t)
        soft = (np.eye(3) - along) / bending[i] + along / twist[i]
        # Two Gauss points are exact: the integrand is quadratic along a chord.
        for share in (0.5 - 0.5 / math.sqrt(3.0), 0.5 + 0.5 / math.sqrt(3.0)):
            B = unit_load_moments(places[-1] - (places[i] + share * length * t))
            total += 0.5 * length * B.T @ soft @ B
        total[:3, :3] += length / stretch[i] * along
    return 0.5 * (total + total.T)


def compliance(
    points: ArrayLike,
    EI: ArrayLike,
    GJ: ArrayLike | None = None,
    EA: ArrayLike = math.inf,
    held: bool = False,
) -> NDArray[np.float64]:
    """Displacement of the free end by a force there.

    Parameters
    ----------
    points, EI, GJ, EA : as in ``compliance_6``
    held : bool   The end may move but not turn, as a leg in a stiff collector [-]
    Returns
    -------
    C : (3, 3) array   [m/N]
    Errors      ValueError as in ``compliance_6``.
    Source      unit-load method; held ends by the moment that undoes the rotation
    """
    C = compliance_6(points, EI, GJ, EA)
    if not held:
        return C[:3, :3]
    return C[:3, :3] - C[:3, 3:] @ np.linalg.solve(C[3:, 3:], C[3:, :3])
