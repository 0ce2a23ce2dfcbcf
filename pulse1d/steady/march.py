"""March of a steady flow through rows of steps, in flow direction, for compiled code.

Known at the start: mass flow, stagnation pressure and temperature. Each row changes the
stagnation pressure by wall friction, a loss coefficient, a jet's momentum balance or wall heat.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.gas import state
from pulse1d.gas.relations import mach_of_mass_number
from pulse1d.losses.element import COLUMN
from pulse1d.losses.laws import A_1, A_2, DUCT, LAW, TURBINE, through_duct, through_jet
from pulse1d.losses.turbine_law import through_turbine

STIR = COLUMN["stir"]

DEVELOPED = -1.0
"""Value of X that switches the developing boundary layer off."""

TRACE = ("p0_in", "p0_out", "M_in", "M_out", "M_top", "T0_in", "T0_out", "Re", "heat_loss")
"""Columns of a march's record, one row a step, in the row's own order."""


@njit(cache=True, error_model="numpy")
def march(rows, first, count, reverse, mdot, p0, T0, X, gas, shock_row, shock, trace):
    """Carry a mass flow through consecutive rows in flow direction.

    Parameters
    ----------
    rows : (n, k) array   Steps, in port-to-outlet order [SI]
    first, count : int   The rows to walk are first .. first+count-1 [-]
    reverse : bool   Walk them from the last to the first [-]
    mdot : float   Mass flow, positive [kg/s]
    p0, T0, X : float   Stagnation state and development length at the start [Pa, K, -]
    gas : array   Mixture table [SI]
    shock_row, shock : int, float   Behind this row p0 falls by the factor exp(-shock): what a
        choked section leaves to a shock; -1 for none [-]
    trace : (n, 9) or (0, 9) array   Filled with TRACE for each row when not empty
    Returns
    -------
    p0, T0, X, M, M_top, choke_row : floats and int   choke_row -1 when all rows pass the flow
    Source      see the row functions
    """
    M = 0.0
    M_top = 0.0
    record = trace.shape[0] > 0
    for k in range(count):
        i = first + count - 1 - k if reverse else first + k
        row = rows[i]
        p0_in, T0_in = p0, T0
        Re, heat = 0.0, 0.0
        if row[LAW] == DUCT:
            M, p0, T0, X, M_in, Re, heat = through_duct(row, reverse, mdot, p0, T0, X, gas)
            M_jet = max(M, M_in)
        elif row[LAW] == TURBINE and not reverse:
            M, p0, T0, M_in, M_jet = through_turbine(row, mdot, p0, T0, gas)
        else:
            M, p0, M_in, M_jet = through_jet(row, reverse, mdot, p0, T0, gas)
        if M < 0.0:
            return p0, T0, X, 1.0, 1.0, i
        if row[STIR] > 0.0:
            X = DEVELOPED
        if i == shock_row:
            p0 *= math.exp(-shock)
            area = row[A_1] if reverse else row[A_2]
            M = mach_of_mass_number(
                mdot * math.sqrt(gas[0] * T0) / (area * p0), state.gamma(T0, gas)
            )
            if M < 0.0:
                return p0, T0, X, 1.0, 1.0, i
        M_top = max(M_top, M, M_in, M_jet)
        if record:
            trace[i, 0], trace[i, 1], trace[i, 2], trace[i, 3] = p0_in, p0, M_in, M
            trace[i, 4] = max(M, M_in, M_jet)
            trace[i, 5], trace[i, 6], trace[i, 7], trace[i, 8] = T0_in, T0, Re, heat
    return p0, T0, X, M, M_top, -1
