"""The laws of single steps in steady flow, compiled: ducts, jets, nozzles.

Both the steady solver and the ends of the wave solver read steps through these. The row layout is
``pulse1d.losses.element.Step``.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.relations import (
    CHOKED,
    impulse,
    mach_after_expansion,
    mach_after_loss,
    mach_of_impulse,
    mach_of_mass_number,
    mach_of_static,
    mass_number,
    stagnation_ratio,
)
from pulse1d.heat.convection import SQUARE, nusselt_gnielinski
from pulse1d.losses.element import COLUMN, Law
from pulse1d.losses.friction import f_churchill, f_excess_ratio, turbulent_share

LAW, A_1, A_2, D_1, D_2 = (COLUMN[name] for name in ("law", "A_1", "A_2", "D_1", "D_2"))
LENGTH, EPS, F_FACTOR, F_FIXED = (COLUMN[name] for name in ("L", "eps", "f_factor", "f_fixed"))
K0, KF, K0_REV, KF_REV = (COLUMN[name] for name in ("K0", "Kf", "K0_rev", "Kf_rev"))
MACH, JET_FWD, JET_REV, T_W = (COLUMN[name] for name in ("mach", "jet", "jet_rev", "T_w"))
OUTER = COLUMN["outer"]
DUCT, JET, TURBINE = int(Law.DUCT), int(Law.JET), int(Law.TURBINE)

SUBSTEPS = 8
"""Parts of a tapered or heated duct; the split error is then below 1e-4 of its loss."""


@njit(cache=True, error_model="numpy")
def duct_part(M, p0, T0, area, K, T_w, conductance, mdot, gamma, R, cp):
    """One part of a duct at constant area: half the loss, wall heat, half the loss.

    Parameters
    ----------
    M, p0, T0 : float   Mach number, stagnation pressure and temperature before [-, Pa, K]
    area, K : float   Section and its loss coefficient, friction included [m2, -]
    T_w, conductance : float   Wall temperature (0: adiabatic) and h times wall area [K, W/K]
    mdot, gamma, R, cp : float   Flow and gas [kg/s, -, J/kg/K, J/kg/K]
    Returns
    -------
    M, p0, T0, heat_loss : float   State behind, M = CHOKED when it does not pass; part of the
        stagnation pressure taken by heating [Pa]
    Source      Shapiro 1953 ch. 6-7, from memory
    """
    if T_w <= 0.0:
        M_2 = mach_after_loss(M, K, gamma)
        if M_2 < 0.0:
            return CHOKED, p0, T0, 0.0
        return M_2, p0 * mass_number(M, gamma) / mass_number(M_2, gamma), T0, 0.0
    M_a = mach_after_loss(M, 0.5 * K, gamma)
    if M_a < 0.0:
        return CHOKED, p0, T0, 0.0
    p0_a = p0 * mass_number(M, gamma) / mass_number(M_a, gamma)
    T0_b = T_w + (T0 - T_w) * math.exp(-conductance / (mdot * cp))
    M_b = mach_of_impulse(impulse(M_a, gamma) * math.sqrt(T0 / T0_b), gamma)
    if M_b < 0.0:
        return CHOKED, p0, T0, 0.0
    p0_b = mdot * math.sqrt(R * T0_b) / (area * mass_number(M_b, gamma))
    M_c = mach_after_loss(M_b, 0.5 * K, gamma)
    if M_c < 0.0:
        return CHOKED, p0, T0, 0.0
    return M_c, p0_b * mass_number(M_b, gamma) / mass_number(M_c, gamma), T0_b, p0_a - p0_b


@njit(cache=True, error_model="numpy")
def through_duct(row, reverse, mdot, p0, T0, X, gas):
    """A DUCT row: friction, distributed K, area change, wall heat.

    Parameters
    ----------
    row : (k,) array   Step [SI]
    reverse : bool   Flow runs from the row's end to its start [-]
    mdot, p0, T0 : float   Flow at the row's inlet [kg/s, Pa, K]
    X : float   Development length x/(D Re^0.25) from the entry, DEVELOPED for none [-]
    gas : array   Mixture table [SI]
    Returns
    -------
    M_out, p0, T0, X, M_in, Re, heat_loss : float   M_out CHOKED when it does not pass
    Source      friction churchill1977, development zhiqing1982
    """
    a_in, a_out = (row[A_2], row[A_1]) if reverse else (row[A_1], row[A_2])
    d_in, d_out = (row[D_2], row[D_1]) if reverse else (row[D_1], row[D_2])
    K_0, K_f = (row[K0_REV], row[KF_REV]) if reverse else (row[K0], row[KF])
    R = gas[0]
    M_in = mach_of_mass_number(mdot * math.sqrt(R * T0) / (a_in * p0), state.gamma(T0, gas))
    if M_in < 0.0:
        return CHOKED, p0, T0, X, 1.0, 0.0, 0.0
    T = T0 / (1.0 + 0.2 * M_in * M_in)
    gamma = state.gamma(T, gas)
    L = row[LENGTH]
    tapered = a_in != a_out
    parts = SUBSTEPS if (tapered and L > 0.0) or row[T_W] > 0.0 else 1
    M = M_in
    lost = 0.0
    Re = 4.0 * mdot * d_in / (4.0 * a_in * state.mu(T, gas))
    for k in range(parts):
        s = (k + 0.5) / parts
        d = math.sqrt(a_in) + s * (math.sqrt(a_out) - math.sqrt(a_in))
        area = a_in if not tapered else d * d
        D = d_in + s * (d_out - d_in)
        M = mach_of_mass_number(mdot * math.sqrt(R * T0) / (area * p0), gamma)
        if M < 0.0:
            return CHOKED, p0, T0, X, M_in, Re, lost
        Re = mdot * D / (area * state.mu(T, gas))
        f = row[F_FIXED] if row[F_FIXED] > 0.0 else f_churchill(Re, row[EPS] / D)
        f *= row[F_FACTOR]
        K = (K_0 + K_f * f) * (1.0 + row[MACH] * M * M) / parts
        conductance = 0.0
        if L > 0.0:
            dL = L / parts
            Re_4 = math.sqrt(math.sqrt(Re))
            X_end = X + dL / (D * Re_4) if X >= 0.0 else X
            excess = 0.0
            if X >= 0.0 and row[F_FIXED] == 0.0:
                excess = f_excess_ratio(X, X_end) * turbulent_share(Re)
            K += f * (1.0 + excess) * dL / D
            if row[T_W] > 0.0:
                k_th = state.k_th(T, gas)
                x_1 = X * Re_4 if X >= 0.0 else math.inf
                x_2 = X_end * Re_4 if X >= 0.0 else math.inf
                Nu = nusselt_gnielinski(Re, state.prandtl(T, gas), x_1, x_2, T / row[T_W])
                Nu = Nu * SQUARE if row[OUTER] > 0.0 else Nu
                conductance = Nu * k_th / D * 4.0 * area / D * dL
            X = X_end
        M, p0, T0, heat = duct_part(
            M, p0, T0, area, K, row[T_W], conductance, mdot, gamma, R, state.cp(T, gas)
        )
        lost += heat
        if M < 0.0:
            return CHOKED, p0, T0, X, M_in, Re, lost
    if tapered:
        M = mach_of_mass_number(mdot * math.sqrt(R * T0) / (a_out * p0), gamma)
    return M, p0, T0, X, M_in, Re, lost


@njit(cache=True, error_model="numpy")
def through_jet(row, reverse, mdot, p0, T0, gas):
    """A JET or NOZZLE row, or a TURBINE reversed: isentropic to the jet, then mixing.

    Parameters
    ----------
    row : (k,) array   Step [SI]
    reverse : bool   Flow runs from the row's end to its start [-]
    mdot, p0, T0 : float   Flow at the row's inlet [kg/s, Pa, K]
    gas : array   Mixture table [SI]
    Returns
    -------
    M_out, p0, M_in, M_jet : float   M_out CHOKED when it does not pass
    Source      borda (JET: momentum with the jet's pressure on the wall); NOZZLE: no recovery of
        static pressure, the usual valve model (heywood1988)
    """
    a_in, a_out = (row[A_2], row[A_1]) if reverse else (row[A_1], row[A_2])
    jet = row[JET_REV] if reverse else row[JET_FWD]
    R = gas[0]
    root = mdot * math.sqrt(R * T0)
    M_in = mach_of_mass_number(root / (a_in * p0), state.gamma(T0, gas))
    if M_in < 0.0:
        return CHOKED, p0, 1.0, 1.0
    gamma = state.gamma(T0 / (1.0 + 0.2 * M_in * M_in), gas)
    M_jet = mach_of_mass_number(root / (jet * p0), gamma)
    if M_jet < 0.0:
        return CHOKED, p0, M_in, 1.0
    if jet >= a_out:
        return mach_of_mass_number(root / (a_out * p0), gamma), p0, M_in, M_jet
    if row[LAW] == JET:
        M_out = mach_after_expansion(M_jet, jet / a_out, gamma)
        if M_out < 0.0:
            return CHOKED, p0, M_in, M_jet
        return M_out, root / (a_out * mass_number(M_out, gamma)), M_in, M_jet
    p = p0 / stagnation_ratio(M_jet, gamma)
    M_out = mach_of_static(root / (a_out * p), gamma)
    return M_out, p * stagnation_ratio(M_out, gamma), M_in, M_jet
