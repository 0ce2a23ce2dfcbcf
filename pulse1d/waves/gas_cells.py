"""Cells of two gases with variable properties: from conserved values to pressure, compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.table import R as R_AT

TOLERANCE = 1e-13
MAX_NEWTON = 30


@njit(cache=True, error_model="numpy")
def blend(Y, fresh, burned, table):
    """Gas table of a mixture by mass fraction; R, cp, h are linear in it.

    Parameters
    ----------
    Y : float   Mass fraction of burned gas [-]
    fresh, burned : (50,) arrays   Tables of the two gases [SI]
    table : (50,) array   Filled [SI]
    """
    for k in range(table.shape[0]):
        table[k] = fresh[k] + Y * (burned[k] - fresh[k])


@njit(cache=True, error_model="numpy")
def energy(T, Y, fresh, burned):
    """Internal energy of a blend.

    Parameters
    ----------
    T, Y : float   Temperature, burned fraction [K, -]
    fresh, burned : (50,) arrays   Tables [SI]
    Returns
    -------
    e : float   [J/kg]
    """
    e = state.e(T, fresh)
    return e if Y == 0.0 else e + Y * (state.e(T, burned) - e)


@njit(cache=True, error_model="numpy")
def gas_numbers(T, Y, fresh, burned):
    """R, cv and e of a blend.

    Parameters
    ----------
    T, Y : float   Temperature, burned fraction [K, -]
    fresh, burned : (50,) arrays   Tables [SI]
    Returns
    -------
    R, cv, e : float   [J/kg/K, J/kg/K, J/kg]
    """
    R, cv, e = fresh[R_AT], state.cv(T, fresh), state.e(T, fresh)
    if Y != 0.0:
        R += Y * (burned[R_AT] - R)
        cv += Y * (state.cv(T, burned) - cv)
        e += Y * (state.e(T, burned) - e)
    return R, cv, e


@njit(cache=True, error_model="numpy")
def temperature(e, Y, T, fresh, burned):
    """Temperature of an internal energy, by Newton from a near guess.

    Parameters
    ----------
    e, Y : float   Internal energy, burned fraction [J/kg, -]
    T : float   Guess [K]
    fresh, burned : (50,) arrays   Tables [SI]
    Returns
    -------
    T : float   [K]
    """
    for _ in range(MAX_NEWTON):
        _, cv, found = gas_numbers(T, Y, fresh, burned)
        step = (e - found) / cv
        T += step
        if abs(step) <= TOLERANCE * T:
            break
    return T


@njit(cache=True, error_model="numpy")
def faces_gain(flux, G, e0, A, dt, first, last):
    """Energy added because the two cells of a face read its flux with gases of their own.

    Parameters
    ----------
    flux, G, e0, A, dt : as in ``pulse1d.waves.cells.update``, before the step is taken over
    first, last : int   Cells first .. last - 1 of one leg [-]
    Returns
    -------
    gain : float   [J]
    """
    gain = 0.0
    for i in range(first, last - 1):
        alpha_p, alpha_rho = flux[2, i], flux[0, i]
        gain += A[i] * ((G[i + 1] - G[i]) * alpha_p + (e0[i + 1] - e0[i]) * alpha_rho)
    return dt * gain


@njit(cache=True, error_model="numpy")
def accept_gas(
    rho, mom, E, rho_Y, new, new_Y, u, p, T, Y, G, e0, gam, V, inv_dx, fresh, burned, equilibrium,
    first, last,
):  # fmt: skip
    """Take the new values over and find the state of two-gas cells.

    Parameters
    ----------
    rho, mom, E, new, G, e0, inv_dx, first, last : as in ``pulse1d.waves.cells.update``
    rho_Y, new_Y, Y : (n,) arrays   Burned gas per volume before and after; its fraction [SI]
    u, p, T, gam : (n,) arrays   Filled [SI]
    V : (n,) array   Volumes [m3]
    fresh, burned : (50,) arrays   Tables [SI]
    equilibrium : bool   Pressure by the linearised gas, energy put right after it; the defect is
        returned. Else pressure by the energy itself [-]
    Returns
    -------
    rate, defect : float   Largest (|u| + a)/dx; energy added to all cells [1/s, J]
    """
    rate, defect = 0.0, 0.0
    for i in range(first, last):
        r, m, e = new[0, i], new[1, i], new[2, i]
        v = m / r
        y = min(max(new_Y[i] / r, 0.0), 1.0)
        inner = e - 0.5 * m * v
        if equilibrium:
            q = (inner - r * e0[i]) / G[i]
            R = fresh[R_AT] + y * (burned[R_AT] - fresh[R_AT])
            t = q / (r * R)
            R, cv, own = gas_numbers(t, y, fresh, burned)
            defect += (r * own - inner) * V[i]
            e = r * own + 0.5 * m * v
        else:
            t = temperature(inner / r, y, T[i], fresh, burned)
            R, cv, own = gas_numbers(t, y, fresh, burned)
            q = r * R * t
        rho[i], mom[i], E[i], rho_Y[i] = r, m, e, new_Y[i]
        u[i], p[i], T[i], Y[i] = v, q, t, y
        gam[i] = 1.0 + R / cv
        G[i] = cv / R
        e0[i] = own - q * G[i] / r
        rate = max(rate, inv_dx[i] * (abs(v) + math.sqrt(gam[i] * q / r)))
    return rate, defect
