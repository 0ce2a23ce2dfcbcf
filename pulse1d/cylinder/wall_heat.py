"""Heat transfer coefficient from cylinder gas to its walls, by Woschni; compiled."""

from __future__ import annotations

from numba import njit

GAS_EXCHANGE, COMPRESSION, COMBUSTION = 6.18, 2.28, 3.24e-3
"""Woschni's C1 with valves open and shut [-], and C2 behind the start of burning [m/s/K]."""


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
