"""The legs as a frame of beams between ports and joints: who holds whom when they grow."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.durability.beams import compliance_6
from pulse1d.durability.tubes import bend_flexibility, bend_peak, tube_stiffness
from pulse1d.durability.unit_loads import bending_strain
from pulse1d.run.life_legs import LegShape

Array = NDArray[np.float64]
SOFT = 1e-9
"""Of the stiffest term, on every joint and free flange: takes out what nothing holds [-]."""


@dataclass(frozen=True, eq=False)
class Beam:
    """A leg in the frame."""

    shape: LegShape
    E: float
    K: Array
    """Load at its end by its end's displacement, its start held, (6, 6) [N/m]."""
    off_start: Array
    """From the port or joint that it starts at to its start, (3,) [m]."""
    off_end: Array


def _arm(r: Array) -> Array:
    """What moves a point at r by what moves the origin: u + theta x r."""
    T = np.eye(6)
    x, y, z = r
    T[:3, 3:] = np.array([[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]])
    return T


def beams(
    shapes: list[LegShape], places: Mapping[str, Array], E: Mapping[str, float]
) -> list[Beam]:
    """The legs that are placed in space and held at both ends.

    Parameters
    ----------
    shapes : list of LegShape   [SI]
    places : mapping   Joint to its position [m]
    E : mapping   Leg to Young's modulus, hot [Pa]
    Returns
    -------
    beams : list of Beam   [SI]
    Source      unit loads; thin bends by von Karman's factor
    """
    found = []
    for shape in shapes:
        if shape.points is None or shape.end not in places:
            continue
        EI, GJ, EA = tube_stiffness(shape.outside, shape.thickness, E[shape.name])
        soft = np.array([
            bend_flexibility(R, shape.outside, shape.thickness) if R > 0.0 else 1.0
            for R in shape.radii
        ])  # fmt: skip
        C = compliance_6(shape.points, EI / soft, np.full(len(soft), GJ), np.full(len(soft), EA))
        stiff: Array = np.asarray(np.linalg.inv(C), dtype=np.float64)
        start = places.get(shape.start, shape.points[0])
        found.append(
            Beam(shape, E[shape.name], stiff, shape.points[0] - start,
                 shape.points[-1] - places[shape.end])
        )  # fmt: skip
    return found


def settle(
    frame: list[Beam],
    growth: Mapping[str, float],
    ports: Mapping[str, Array],
    load: Mapping[str, Array] | None = None,
    free: bool = False,
) -> tuple[dict[str, Array], dict[str, Array]]:
    """Where joints and free flanges settle, and the load at each leg's end.

    Parameters
    ----------
    frame : list of Beam   [SI]
    growth : mapping   Leg to its free expansion; the metal around a joint grows as its legs [-]
    ports : mapping   Port's name, as legs start at it, to its displacement [m]
    load : mapping   Joint to force and moment from outside, (6,) [N, N m]
    free : bool   Flanges may slide on the head without friction [-]
    Returns
    -------
    moved, loads : dict, dict   Port or joint to displacement and rotation (6,) [m, rad]; leg to
        force and moment (6,) [N, N m]
    Source      statics of linear beams; least energy
    """
    names = list(dict.fromkeys(n for b in frame for n in (b.shape.start, b.shape.end)))
    at = {name: 6 * i for i, name in enumerate(names)}
    A, P = np.zeros((6 * len(names), 6 * len(names))), np.zeros(6 * len(names))
    grown, B = [], []
    for beam in frame:
        points, eps = beam.shape.points, growth[beam.shape.name]
        assert points is not None
        b = np.zeros((6, A.shape[0]))
        reach = points[-1] - points[0]
        first, last = at[beam.shape.start], at[beam.shape.end]
        b[:, last : last + 6] += _arm(beam.off_end)
        b[:, first : first + 6] -= _arm(reach + beam.off_start)
        # the hubs at both ends grow too: what stands off a joint's centre goes out with it
        g = np.zeros(6)
        g[:3] = eps * (reach - beam.off_end + beam.off_start)
        A += b.T @ beam.K @ b
        P += b.T @ beam.K @ g
        grown.append(g)
        B.append(b)
    for name, outside in (load or {}).items():
        P[at[name] : at[name] + 6] += outside
    moved = np.zeros(A.shape[0])
    held = np.zeros(A.shape[0], dtype=bool)
    for name, displacement in ports.items():
        if name in at:
            i = at[name]
            moved[i : i + 3] = displacement
            held[i : i + 6] = [not free, not free, True, True, True, True]
    loose = ~held
    A[loose, loose] += SOFT * float(np.max(np.diag(A)))
    moved[loose] = np.linalg.solve(
        A[np.ix_(loose, loose)], P[loose] - A[np.ix_(loose, held)] @ moved[held]
    )
    loads = {
        beam.shape.name: beam.K @ (b @ moved - g)
        for beam, b, g in zip(frame, B, grown, strict=True)
    }
    return {name: moved[i : i + 6] for name, i in at.items()}, loads


def end_strains(beam: Beam, load: Array) -> tuple[float, float, float]:
    """Strain at the surface of a leg: at its start, at its end, and the greatest.

    Parameters
    ----------
    beam : Beam   [SI]
    load : (6,) array   At its end [N, N m]
    Returns
    -------
    start, end, most : float   [-]
    Limits      of the round tube; a bend's flanks as if it were free to turn oval at its ends
    Source      ``pulse1d.durability.unit_loads``, ``pulse1d.durability.tubes``
    """
    EI, _, EA = tube_stiffness(beam.shape.outside, beam.shape.thickness, beam.E)
    strain = bending_strain(beam.shape.points, load, EI, beam.shape.outside, EA)  # type: ignore[arg-type]
    for chord, R in enumerate(beam.shape.radii):
        if R > 0.0:
            strain[chord] *= bend_peak(R, beam.shape.outside, beam.shape.thickness)
    return float(strain[0, 0]), float(strain[-1, 1]), float(math.sqrt(float(np.max(strain**2))))
