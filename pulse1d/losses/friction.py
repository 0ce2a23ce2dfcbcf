"""Wall friction: developed flow from laminar to rough, and the excess of the developing entry.

A runner is short. Behind a radiused entry the boundary layer is thin, the wall shear high and the
core still speeding up, so the first tens of diameters cost more than developed friction says.
"""

from __future__ import annotations

import math

from numba import njit

RE_MIN = 1.0
"""Floor of Re: keeps f finite in gas at rest, where the force f u^2 vanishes anyway [-]."""

X_END = 1.4039 * (1.0 + 0.1577 - 0.1793 - 0.0168 + 0.0064)
"""Development length in X: the boundary layers meet on the axis (xi = 1) [-]."""

BLASIUS = 0.3164
"""Darcy factor of the smooth developed part, f = BLASIUS / Re^0.25 [-]."""

RE_LAMINAR, RE_TURBULENT = 2000.0, 4000.0
"""The turbulent entry excess fades out smoothly between these Re (judgement) [-]."""

RATIO_MAX = 10.0
"""Cap of the excess ratio, reached within a few thousandths of a bore of the entry (judgement)."""

DX_MIN = 1.0e-5
"""Shortest interval of X whose excess is differenced; shorter ones are widened to it [-]."""


@njit(cache=True, error_model="numpy")
def f_churchill(Re: float, eps_over_D: float) -> float:
    """Darcy friction factor of developed flow, laminar to fully rough in one smooth law.

    f_D = 8 [(8/Re)^12 + (A + B)^(-3/2)]^(1/12),
    A = [2.457 ln(1/((7/Re)^0.9 + 0.27 eps/D))]^16,  B = (37530/Re)^16

    Parameters
    ----------
    Re : float   Reynolds number on the hydraulic diameter; floored at RE_MIN [-]
    eps_over_D : float   Sand roughness over hydraulic diameter, valid 0 .. 0.05 [-]
    Returns
    -------
    f_D : float   Darcy friction factor [-]
    Limits      within 5 % of Colebrook for Re > 4000; transition 2000-4000 is indicative only.
    Source      churchill1977
    """
    Re = max(Re, RE_MIN)
    A = (2.457 * math.log(1.0 / ((7.0 / Re) ** 0.9 + 0.27 * eps_over_D))) ** 16
    B = (37530.0 / Re) ** 16
    f_D: float = 8.0 * ((8.0 / Re) ** 12 + (A + B) ** -1.5) ** (1.0 / 12.0)
    return f_D


@njit(cache=True, error_model="numpy")
def layer_thickness(X: float) -> float:
    """Boundary-layer thickness over pipe radius, xi = delta/a, at distance X from the entry.

    X = 1.4039 xi^1.25 (1 + 0.1577 xi - 0.1793 xi^2 - 0.0168 xi^3 + 0.0064 xi^4), solved for xi.

    Parameters
    ----------
    X : float   (x/D) / Re^0.25 [-]
    Returns
    -------
    xi : float   0 at the entry to 1 where the layers meet; 1 beyond [-]
    Source      zhiqing1982
    """
    if X >= X_END:
        return 1.0
    if X <= 0.0:
        return 0.0
    xi: float = (X / 1.4039) ** 0.8
    for _ in range(3):  # Newton from 3 % off: 1e-14 in three steps
        quarter = math.sqrt(math.sqrt(xi))
        p = 1.0 + xi * (0.1577 + xi * (-0.1793 + xi * (-0.0168 + xi * 0.0064)))
        slope = 0.1577 + xi * (-0.3586 + xi * (-0.0504 + xi * 0.0256))
        value = 1.4039 * xi * quarter * p - X
        xi -= value / (1.4039 * quarter * (1.25 * p + xi * slope))
    return min(xi, 1.0)


@njit(cache=True, error_model="numpy")
def development(X: float) -> float:
    """Pressure drop of developing flow above that of developed flow, in mean dynamic heads.

    E(X) = (u_max/u_m)^2 - 1 - 0.3164 X,  u_m/u_max = 1 - 0.25 xi + 0.0667 xi^2; constant beyond
    the end of development.

    Parameters
    ----------
    X : float   (x/D) / Re^0.25 behind a radiused entry [-]
    Returns
    -------
    E : float   0 at the entry, about 0.07 once developed [-]
    Limits      layer turbulent from the lip; a smooth entry with a quiet room keeps it laminar
                for the first diameters, where this is an upper bound.
    Source      zhiqing1982
    """
    X = min(max(X, 0.0), X_END)
    xi = layer_thickness(X)
    mean = 1.0 - 0.25 * xi + 0.0667 * xi * xi
    E: float = 1.0 / (mean * mean) - 1.0 - BLASIUS * X
    return E


@njit(cache=True, error_model="numpy")
def f_excess_ratio(X_1: float, X_2: float) -> float:
    """Excess of the mean friction factor between two stations over the developed one.

    ratio = [E(X_2) - E(X_1)] / [0.3164 (X_2 - X_1)]; the mean factor is f_developed (1 + ratio).

    Parameters
    ----------
    X_1, X_2 : float   (x/D) / Re^0.25 of the two stations; their order does not matter [-]
    Returns
    -------
    ratio : float   From RATIO_MAX at the lip to 0 in developed flow, never below -1 [-]
    Limits      intervals shorter than DX_MIN are widened to it about their middle.
    Source      zhiqing1982
    """
    low, high = min(X_1, X_2), max(X_1, X_2)
    if low >= X_END:
        return 0.0
    if high - low < DX_MIN:
        low = max(0.5 * (low + high) - 0.5 * DX_MIN, 0.0)
        high = low + DX_MIN
    ratio: float = (development(high) - development(low)) / (BLASIUS * (high - low))
    return min(max(ratio, -1.0), RATIO_MAX)


@njit(cache=True, error_model="numpy")
def turbulent_share(Re: float) -> float:
    """How much of the turbulent entry excess applies: 0 laminar, 1 turbulent, smooth between.

    s = t^2 (3 - 2 t),  t = (Re - 2000)/2000 within 0 .. 1

    Parameters
    ----------
    Re : float   Reynolds number [-]
    Returns
    -------
    share : float   0 .. 1 [-]
    Limits      the laminar entry excess itself (about 1.2 heads over 0.06 Re diameters) is left
                out: at such Re a runner's whole loss is far below a bench's resolution.
    Source      judgement
    """
    t = min(max((Re - RE_LAMINAR) / (RE_TURBULENT - RE_LAMINAR), 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


@njit(cache=True, error_model="numpy")
def f_developing(Re: float, eps_over_D: float, x_1_over_D: float, x_2_over_D: float) -> float:
    """Mean Darcy factor between two distances behind a radiused entry.

    f_D = f_churchill(Re, eps/D) [1 + share(Re) ratio(X_1, X_2)],  X = (x/D) / Re^0.25

    Parameters
    ----------
    Re : float   Reynolds number on the hydraulic diameter [-]
    eps_over_D : float   Sand roughness over hydraulic diameter [-]
    x_1_over_D, x_2_over_D : float   Distances from the entry in bores [-]
    Returns
    -------
    f_D : float   Mean Darcy friction factor of the length [-]
    Limits      on a rough wall the smooth-wall ratio is applied to the rough factor (judgement).
    Source      churchill1977, zhiqing1982
    """
    Re = max(Re, RE_MIN)
    quarter = math.sqrt(math.sqrt(Re))
    ratio = f_excess_ratio(x_1_over_D / quarter, x_2_over_D / quarter)
    f_D: float = f_churchill(Re, eps_over_D) * (1.0 + turbulent_share(Re) * ratio)
    return f_D
