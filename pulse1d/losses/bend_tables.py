"""Round bends after other authors, to hold the one in use against: Idelchik and Miller."""

from __future__ import annotations

import math

import numpy as np

from pulse1d.losses.table import columns


def section_factor(r_over_D: float, aspect: float) -> float:
    """Factor on a bend's K for a section that is not round, on the idea of C1 and C2.

    C1(aspect) for r/D <= 1, C2(aspect) for r/D >= 2, linear between: the diagram's jump at 1.5 is
    spread out so that a search sees no step (judgement).

    Parameters
    ----------
    r_over_D : float   Centre-line radius over the side in the bend's plane [-]
    aspect : float   Side across the plane over side in it [-], table 0.25 .. 8, held beyond
    Returns
    -------
    C : float   1 for equal sides [-]
    Source      idelchik1986 diagram 6-1 (data/idelchik1986_diagram6-1_C.csv)
    """
    table = columns("idelchik1986_diagram6-1_C")
    # In ln(aspect), because doubling and halving a side are equal steps.
    place = math.log(aspect)
    C1 = float(np.interp(place, np.log(table["aspect"]), table["C1"]))
    C2 = float(np.interp(place, np.log(table["aspect"]), table["C2"]))
    share = min(max(r_over_D - 1.0, 0.0), 1.0)
    return C1 + (C2 - C1) * share


def K_bend_idelchik(
    angle: float, r_over_D: float, f_D: float | None = None, aspect: float = 1.0
) -> float:
    """Loss of a smooth bend after Idelchik.

    K = A1(angle) B1(r/D) C(r/D, aspect) + f_D angle r/D, the last term only when f_D is given

    Parameters
    ----------
    angle : float   Turning angle [rad], 0 .. pi
    r_over_D : float   Centre-line radius over bore [-], 0.5 .. 10, held beyond
    f_D : float   Darcy factor for the friction along the arc; None leaves it out [-]
    aspect : float   Side across the plane over side in it [-]
    Returns
    -------
    K : float   Total-pressure loss over velocity head [-]
    Limits      Re > 2e5; below, multiply the first term by f(Re)/f(2e5).
    Source      idelchik1986 diagram 6-1 (data/idelchik1986_diagram6-1_*.csv)
    """
    a, b = columns("idelchik1986_diagram6-1_A1"), columns("idelchik1986_diagram6-1_B1")
    A1 = float(np.interp(math.degrees(angle), a["angle"], a["A1"]))
    B1 = float(np.interp(r_over_D, b["r_over_D"], b["B1"]))
    C = 1.0 if aspect == 1.0 else section_factor(r_over_D, aspect)
    return A1 * B1 * C + (0.0 if f_D is None else f_D * angle * r_over_D)


def K_bend_miller(
    angle: float,
    r_over_D: float,
    Re: float,
    eps_over_D: float = 0.0,
    L_over_D: float | None = None,
) -> float:
    """Loss of a bend after Miller, friction along the arc included.

    K = K_b(angle, r/D) C_Re(Re, r/D) C_f(Re, eps/D) C_o(L/D)

    Parameters
    ----------
    angle : float   Turning angle [rad], 10 .. 180 deg
    r_over_D : float   Centre-line radius over bore [-], 0.5 .. 10
    Re : float   Reynolds number [-], 1e4 .. 1e8
    eps_over_D : float   Sand roughness over bore [-]
    L_over_D : float   Straight length behind the bend in bores; None: long [-]
    Returns
    -------
    K : float   Total-pressure loss over velocity head [-]
    Source      miller1990, through the fluids library
    """
    from fluids.fittings import bend_rounded_Miller

    return float(
        bend_rounded_Miller(
            Di=1.0,
            angle=math.degrees(angle),
            Re=Re,
            rc=r_over_D,
            roughness=eps_over_D,
            L_unimpeded=L_over_D,
        )
    )


def outlet_factor(angle: float, r_over_D: float, L_over_D: float) -> float:
    """Factor on a bend's K for the straight length behind it.

    C_o(K_b, L/D): above 1 where the bend ends in a plenum, 0.7 to 0.9 where one to eight bores of
    straight follow before the next piece, 1 for a long length.

    Parameters
    ----------
    angle : float   Turning angle [rad]
    r_over_D : float   Centre-line radius over bore; 0.5 stands for a mitre too [-]
    L_over_D : float   Straight length behind the bend in bores [-]
    Returns
    -------
    C_o : float   Factor on K [-]
    Limits      the graph jumps between K_b = 0.20 and 0.25 below one bore of length: there the
                factor is 1.1 or 2.7, and should not be relied on.
    Source      miller1990 (outlet-length graph), through the fluids library
    """
    from fluids import fittings as library
    from fluids.numerics import py_bisplev, py_splev  # the same splines, without loading scipy's

    radius = min(max(r_over_D, 0.5), 10.0)
    K_b = py_bisplev(radius, max(math.degrees(angle), 10.0), library.tck_bend_rounded_Miller)
    length = min(max(L_over_D, 0.0), 30.0)
    curves = zip(
        library.bend_rounded_Miller_C_o_limits,
        library.bend_rounded_Miller_C_o_limit_0_01,
        library.tck_bend_rounded_Miller_C_os,
        strict=True,
    )
    factors = [
        1.0 if length >= end else start if length <= 0.01 else py_splev(length, spline)
        for end, start, spline in curves
    ]
    return float(np.interp(K_b, library.bend_rounded_Miller_C_o_Kbs, factors))
