"""Heat from cylinder gas to its walls by Annand's law; compiled."""

from __future__ import annotations

from numba import njit

from pulse1d.gas import state

STEFAN = 5.670374e-8
"""Stefan-Boltzmann constant [W/m2/K4]."""
RADIATING = {"spark": 0.075, "compression": 0.576}
"""Annand's c over Stefan's constant, of flame and soot by what lights them (Annand 1963, from
memory) [-]."""


@njit(cache=True, error_model="numpy")
def q_annand(T, T_wall, k_th, bore, Re, a, c):
    """Annand's heat flux, from a pipe's correlation and radiation.

    q = a (k_th/B) Re^0.7 (T - T_w) + c (T^4 - T_w^4)

    Parameters
    ----------
    T, T_wall : float   Gas, wall [K]
    k_th, bore : float   Conductivity of the gas, bore [W/m/K, m]
    Re : float   rho S_p B/mu, with the mean piston speed [-]
    a : float   0.35 in a quiet chamber to 0.8 with strong motion [-]
    c : float   RADIATING times STEFAN while it burns and expands, else 0 [W/m2/K4]
    Returns
    -------
    q : float   Into the wall [W/m2]
    Limits      spread of measured engines +-50 % (judgement)
    Source      Annand 1963, from memory
    """
    return a * k_th / bore * Re**0.7 * (T - T_wall) + c * (T**4 - T_wall**4)


@njit(cache=True, error_model="numpy")
def transport(T, Y, fresh, burned):
    """Conductivity and viscosity of a blend, linear in its mass fraction.

    Parameters
    ----------
    T, Y : float   Temperature, burned fraction [K, -]
    fresh, burned : (50,) arrays   Tables of the two gases [SI]
    Returns
    -------
    k_th, mu : float   [W/m/K, Pa s]
    Limits      the two gases lie within an eighth of each other; how they mix matters little
    """
    k_th, mu = state.k_th(T, fresh), state.mu(T, fresh)
    return k_th + Y * (state.k_th(T, burned) - k_th), mu + Y * (state.mu(T, burned) - mu)
