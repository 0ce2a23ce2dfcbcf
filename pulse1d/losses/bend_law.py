"""The law of a round bend in use: Rennels, without the wall friction along the arc."""

from __future__ import annotations

import math


def bend_terms(angle: float, r_over_D: float) -> tuple[float, float]:
    """The two parts of a bend's K, without the wall friction along its arc.

    K0 = 0.10 s,  Kf = 2.4 s + 6.6 (sqrt(s) + s) (r/D)^(-4 angle/pi),  s = sin(angle/2)

    Parameters
    ----------
    angle : float   Turning angle [rad], 0 .. pi
    r_over_D : float   Centre-line radius over bore [-], at least 0.5
    Returns
    -------
    K0, Kf : float   K = K0 + Kf f_D on the velocity head, f_D the wall's Darcy factor [-]
    Limits      not additive: two halves of a bend sum to more than the whole.
    Source      rennels2012
    """
    s = math.sin(0.5 * angle)
    K0 = 0.10 * s
    Kf = 2.4 * s + 6.6 * (math.sqrt(s) + s) * r_over_D ** (-4.0 * angle / math.pi)
    return K0, Kf


def K_bend(angle: float, r_over_D: float, f_D: float, arc_friction: bool = False) -> float:
    """Loss coefficient of a round bend.

    K = (0.10 + 2.4 f) s + 6.6 f (sqrt(s) + s) (r/D)^(-4 angle/pi)  [+ f angle r/D],
    s = sin(angle/2)

    Parameters
    ----------
    angle : float   Turning angle [rad], 0 .. pi
    r_over_D : float   Centre-line radius over bore [-], at least 0.5
    f_D : float   Darcy factor of the wall, roughness included [-]
    arc_friction : bool   Add the straight-pipe friction along the arc, as handbooks print it [-]
    Returns
    -------
    K : float   Total-pressure loss over velocity head [-]
    Limits      good sources differ by 15 % at 90 deg and 35 % in tight bends up to 45 deg.
    Source      rennels2012
    """
    K0, Kf = bend_terms(angle, r_over_D)
    return K0 + Kf * f_D + (f_D * angle * r_over_D if arc_friction else 0.0)


def bend_band(angle: float, r_over_D: float) -> float:
    """Half width of ln K: 0.15 at 90 deg and up, 0.35 at 45 deg and r/D 1.5, more when tighter.

    0.15 + 0.20 a t + max(0, 1 - r/D)^2,  a = (90 deg - angle)/45 deg within 0 .. 1.5,
    t = (3 - r/D)/1.5 within 0 .. 4/3

    Parameters
    ----------
    angle : float   Turning angle [rad]
    r_over_D : float   Centre-line radius over bore [-]
    Returns
    -------
    half_width : float   5-95 % half width of ln K [-]
    Limits      in tight bends below 45 deg this law is the highest of six.
    Source      spread of rennels2012, miller1990, miller1978, idelchik1986 and Ito (judgement)
    """
    a = min(max((math.pi / 2 - angle) / (math.pi / 4), 0.0), 1.5)
    t = min(max((3.0 - r_over_D) / 1.5, 0.0), 4.0 / 3.0)
    return 0.15 + 0.20 * a * t + max(0.0, 1.0 - r_over_D) ** 2
