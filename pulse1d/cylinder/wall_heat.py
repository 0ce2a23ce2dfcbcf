"""Heat transfer coefficient from cylinder gas to its walls: Woschni's and Annand's; compiled."""

from __future__ import annotations

from numba import njit

GAS_EXCHANGE, COMPRESSION, COMBUSTION = 6.18, 2.28, 3.24e-3
"""Woschni's C1 with valves open and shut [-], and C2 behind the start of burning [m/s/K]."""
ANNAND_A, ANNAND_B = 0.49, 0.7
"""Annand's Nu = A Re^B [-]."""


@njit(cache=True, error_model="numpy")
def h_woschni(p, T, bore, speed, C1, swirl):
    """Woschni's coefficient.

    h = 3.26 B^-0.2 (p/kPa)^0.8 T^-0.55 w^0.8,  w = C1 S_p + swirl

    Parameters
    ----------
    p, T, bore : float   Gas, bore [Pa, K, m]
    speed : float   Mean piston speed [m/s]
    C1 : float   GAS_EXCHANGE or COMPRESSION [-]
    swirl : float   C2 (V_d T_r/(p_r V_r)) (p - p_motored), 0 without burning [m/s]
    Returns
    -------
    h : float   [W/m2/K]
    Limits      spread of measured engines +-50 % (judgement)
    Source      Woschni 1967; heywood1988 eq. 12.19
    """
    w = C1 * speed + max(swirl, 0.0)
    return 3.26 * bore**-0.2 * (1e-3 * p) ** 0.8 * T**-0.55 * w**0.8


@njit(cache=True, error_model="numpy")
def h_annand(rho, mu, k_th, bore, speed):
    """Annand's coefficient, its convective part.

    h = 0.49 (k/B) Re^0.7,  Re = rho S_p B / mu

    Parameters
    ----------
    rho, mu, k_th : float   Gas [kg/m3, Pa s, W/m/K]
    bore, speed : float   Bore, mean piston speed [m, m/s]
    Returns
    -------
    h : float   [W/m2/K]
    Limits      0.35 to 0.8 in place of 0.49 by charge motion (source)
    Source      Annand 1963; heywood1988 eq. 12.17
    """
    return ANNAND_A * k_th / bore * (rho * speed * bore / mu) ** ANNAND_B
