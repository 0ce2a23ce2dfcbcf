"""Heat from gas to the wall of a pipe in steady flow: the Nusselt number."""

# mypy: disable-error-code="no-any-return"
# numba is untyped: what one compiled function returns to another is Any.

from __future__ import annotations

from math import inf, log, sqrt

from numba import njit

NU_LAMINAR = 3.66
"""Developed laminar flow, constant wall temperature [-]. Source: Graetz, from memory."""
SQUARE = 2.976 / NU_LAMINAR
"""The same in a square channel, over that in a round pipe [-]. Source: Shah & London, Laminar Flow
Forced Convection in Ducts, 1978, from memory; worked out anew in the tests."""
RE_LAMINAR, RE_TURBULENT = 2300.0, 4000.0
"""Ends of the transition [-]. Source: Gnielinski, Int. J. Heat Mass Tran. 63, 2013, from memory."""
N_HEATING = 0.45
"""Exponent of (T_b/T_w) for a gas being heated [-]. Source: Gnielinski 1976, from memory."""


@njit(cache=True, error_model="numpy")
def entrance_factor(x_1_over_D: float, x_2_over_D: float) -> float:
    """Mean Nusselt number between two stations over the developed one, from the entry on.

    E = 1 + (x_2^(1/3) - x_1^(1/3))/(x_2 - x_1): the mean that makes 1 + (D/L)^(2/3) from 0 to L

    Parameters
    ----------
    x_1_over_D : float   Distance of the first station from the entry / bore, >= 0 [-]
    x_2_over_D : float   Distance of the second station / bore, >= the first, > 0; inf allowed [-]
    Returns
    -------
    E : float   Factor on the developed Nusselt number [-]; local value when the two are equal
    Source      Gnielinski 1976 (after Hausen), from memory; the split by stations is exact algebra
    """
    a = x_1_over_D ** (1.0 / 3.0)
    b = x_2_over_D ** (1.0 / 3.0)
    return 1.0 + 1.0 / (a * a + a * b + b * b)


@njit(cache=True, error_model="numpy")
def nusselt_turbulent(Re: float, Pr: float) -> float:
    """Nusselt number of developed turbulent flow in a smooth pipe.

    Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 (f/8)^(1/2) (Pr^(2/3) - 1)),  f = (0.79 ln Re - 1.64)^-2

    Parameters
    ----------
    Re : float   Reynolds number, 3000 .. 5e6 [-]
    Pr : float   Prandtl number, 0.5 .. 2000 [-]
    Returns
    -------
    Nu : float   Nusselt number [-]
    Limits      +-10 % (source); smooth wall
    Source      Gnielinski, Int. Chem. Eng. 16, 1976, with Petukhov's f (Darcy), from memory
    """
    f_8 = 0.125 / (0.79 * log(Re) - 1.64) ** 2
    return f_8 * (Re - 1000.0) * Pr / (1.0 + 12.7 * sqrt(f_8) * (Pr ** (2.0 / 3.0) - 1.0))


@njit(cache=True, error_model="numpy")
def nusselt_gnielinski(
    Re: float,
    Pr: float,
    x_1_over_D: float = inf,
    x_2_over_D: float = inf,
    Tb_over_Tw: float = 1.0,
) -> float:
    """Mean Nusselt number of a gas between two stations of a pipe: h D / k_th, at bulk properties.

    Nu = E ((1 - w) 3.66 + w Nu_t (T_b/T_w)^n),  w a cubic step over Re 2300 .. 4000,
    n = 0.45 for a gas being heated (T_b < T_w), 0 for one being cooled

    Parameters
    ----------
    Re : float   Reynolds number, 0 .. 5e6 [-]
    Pr : float   Prandtl number, 0.5 .. 2000 [-]
    x_1_over_D : float   Distance of the first station from the entry / bore [-]
    x_2_over_D : float   Distance of the second station / bore; both inf is developed flow [-]
    Tb_over_Tw : float   Gas over wall temperature, absolute, 0.5 and up [-]
    Returns
    -------
    Nu : float   Nusselt number [-]
    Limits      steady flow in a smooth straight pipe; +-10 % when turbulent (source). Pulsating
                exhaust flow has been measured at 1.9-2.9 times this. In laminar flow the entrance
                is longer than E says: 45 % low at Re 2000, 10 bores from the entry.
    Source      ``nusselt_turbulent``, ``entrance_factor``; the cubic step is a judgement where
                Gnielinski 2013 interpolates linearly
    """
    share = min(max((Re - RE_LAMINAR) / (RE_TURBULENT - RE_LAMINAR), 0.0), 1.0)
    w = share * share * (3.0 - 2.0 * share)
    Nu = (1.0 - w) * NU_LAMINAR
    if w > 0.0:
        Nu += w * nusselt_turbulent(Re, Pr) * min(Tb_over_Tw, 1.0) ** N_HEATING
    return Nu * entrance_factor(x_1_over_D, x_2_over_D)
