"""Cells of two gases with variable properties: from conserved values to pressure, compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.table import CP_A, H_0, H_A, T_HIGH, T_LOW, T_UNIT
from pulse1d.gas.table import R as R_AT
from pulse1d.waves.loops import FAST, largest, total

TOLERANCE = 1e-13
MAX_NEWTON = 30
NEWTON = 4
"""Newton rounds for a cell's temperature from that of the step before: a step changes it by less
than a half, and the error squares each time."""


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


@njit(cache=True, error_model="numpy", fastmath=FAST)
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
    G, e0, A = G[first:last], e0[first:last], A[first:last]
    flux_0, flux_2 = flux[0, first:last], flux[2, first:last]
    gain = 0.0
    for i in range(last - first - 1):
        gain += A[i] * ((G[i + 1] - G[i]) * flux_2[i] + (e0[i + 1] - e0[i]) * flux_0[i])
    return dt * gain


@njit(cache=True, error_model="numpy")
def coefficients(table):
    """R and the polynomials of cp and h of a gas as plain numbers, for loops that vectorise.

    Parameters
    ----------
    table : (50,) array   [SI]
    Returns
    -------
    numbers : tuple of 20 floats   R; a_0..a_4, b_2..b_5 of cp; the same of h; its constant [SI]
    """
    c, h = CP_A, H_A
    return (
        table[R_AT], table[c], table[c + 1], table[c + 2], table[c + 3], table[c + 4],
        table[c + 5], table[c + 6], table[c + 7], table[c + 8], table[h], table[h + 1],
        table[h + 2], table[h + 3], table[h + 4], table[h + 5], table[h + 6], table[h + 7],
        table[h + 8], table[H_0],
    )  # fmt: skip


@njit(cache=True, error_model="numpy", fastmath=FAST, inline="always")
def cp_and_h(T, k):
    """cp and h of one gas without a branch; the same numbers as ``pulse1d.gas.state``.

    Parameters
    ----------
    T : float   [K]
    k : tuple   From ``coefficients`` [SI]
    Returns
    -------
    cp, h : float   [J/kg/K, J/kg]
    """
    z = min(max(T, T_LOW), T_HIGH) / T_UNIT - 1.0
    m = min(z, 0.0)
    cp = k[1] + z * (k[2] + z * (k[3] + z * (k[4] + z * k[5])))
    cp += m * m * (k[6] + m * (k[7] + m * (k[8] + m * k[9])))
    h = k[19] + z * (k[10] + z * (k[11] + z * (k[12] + z * (k[13] + z * k[14]))))
    h += m * m * m * (k[15] + m * (k[16] + m * (k[17] + m * k[18])))
    return cp, h + cp * (T - T_UNIT * (1.0 + z))


@njit(cache=True, error_model="numpy", fastmath=FAST, inline="always")
def cv_and_e(T, Y, R, f, b):
    """cv and internal energy of a blend.

    Parameters
    ----------
    T, Y, R : float   Temperature, burned fraction, gas constant [K, -, J/kg/K]
    f, b : tuples   ``coefficients`` of fresh and burned gas [SI]
    Returns
    -------
    cv, e : float   [J/kg/K, J/kg]
    """
    cp_f, h_f = cp_and_h(T, f)
    cp_b, h_b = cp_and_h(T, b)
    return cp_f + Y * (cp_b - cp_f) - R, h_f + Y * (h_b - h_f) - R * T


@njit(cache=True, error_model="numpy", fastmath=FAST)
def accept_gas(
    rho, mom, E, rho_Y, new, new_Y, u, p, T, Y, G, e0, gam, firm, V, inv_dx, rates, fresh, burned,
    equilibrium, first, last,
):  # fmt: skip
    """Take the new values over and find the state of two-gas cells.

    Parameters
    ----------
    rho, mom, E, new, G, e0, inv_dx, first, last : as in ``pulse1d.waves.cells.update``
    rho_Y, new_Y, Y : (n,) arrays   Burned gas per volume before and after; its fraction [SI]
    u, p, T, gam, firm : (n,) arrays   Filled; the last is rho a [SI]
    V : (n,) array   Volumes [m3]
    rates : (n,) array   For passing use [1/s]
    fresh, burned : (50,) arrays   Tables [SI]
    equilibrium : bool   Pressure by the linearised gas, energy put right after it; the defect is
        returned. Else pressure by the energy itself [-]
    Returns
    -------
    rate, defect : float   Largest (|u| + a)/dx; energy added to all cells [1/s, J]
    """
    rho, mom, E, rho_Y = rho[first:last], mom[first:last], E[first:last], rho_Y[first:last]
    new_0, new_1, new_2 = new[0, first:last], new[1, first:last], new[2, first:last]
    new_Y, u, p, T = new_Y[first:last], u[first:last], p[first:last], T[first:last]
    Y, G, e0, gam = Y[first:last], G[first:last], e0[first:last], gam[first:last]
    firm = firm[first:last]
    inv_dx, rates = inv_dx[first:last], rates[first:last]
    f, b = coefficients(fresh), coefficients(burned)
    if equilibrium:
        for i in range(last - first):  # two loops of few arrays: in one they would not vectorise
            r, m, per_r = new_0[i], new_1[i], 1.0 / new_0[i]
            v = m * per_r
            y = min(max(new_Y[i] * per_r, 0.0), 1.0)
            RT = ((new_2[i] - 0.5 * m * v) * per_r - e0[i]) * (gam[i] - 1.0)
            rho[i], mom[i], rho_Y[i], u[i], Y[i] = r, m, new_Y[i], v, y
            p[i], T[i] = r * RT, RT / (f[0] + y * (b[0] - f[0]))
        for i in range(last - first):
            y, t = Y[i], T[i]
            R = f[0] + y * (b[0] - f[0])
            cv, own = cv_and_e(t, y, R, f, b)
            g, c = 1.0 + R / cv, cv / R
            whole = rho[i] * own + 0.5 * new_1[i] * u[i]
            gam[i], G[i], e0[i] = g, c, own - R * t * c
            E[i], new_2[i] = whole, whole - new_2[i]
            a = math.sqrt(g * R * t)
            firm[i], rates[i] = rho[i] * a, inv_dx[i] * (abs(u[i]) + a)
        return largest(rates), total(new_2, V[first:last])
    for i in range(last - first):
        r, m, e, per_r = new_0[i], new_1[i], new_2[i], 1.0 / new_0[i]
        v = m * per_r
        rho[i], mom[i], E[i], rho_Y[i], u[i] = r, m, e, new_Y[i], v
        Y[i], new_2[i] = min(max(new_Y[i] * per_r, 0.0), 1.0), (e - 0.5 * m * v) * per_r
    for _ in range(NEWTON):
        for i in range(last - first):
            y, t = Y[i], T[i]
            cv, own = cv_and_e(t, y, f[0] + y * (b[0] - f[0]), f, b)
            T[i] = t + (new_2[i] - own) / cv
    for i in range(last - first):
        y, t = Y[i], T[i]
        R = f[0] + y * (b[0] - f[0])
        cv, own = cv_and_e(t, y, R, f, b)
        g, c = 1.0 + R / cv, cv / R
        p[i] = rho[i] * R * t
        gam[i], G[i], e0[i] = g, c, own - R * t * c
        a = math.sqrt(g * R * t)
        firm[i], rates[i] = rho[i] * a, inv_dx[i] * (abs(u[i]) + a)
    return largest(rates), 0.0
