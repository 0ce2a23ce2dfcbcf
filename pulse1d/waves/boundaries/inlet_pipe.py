"""What the inlet valve passes between a cylinder and its own intake pipe; compiled."""

from __future__ import annotations

from numba import njit

from pulse1d.waves.boundaries.reservoir import reservoir_end
from pulse1d.waves.end_states import gas_of, put_flux
from pulse1d.waves.kinds import ENERGY, MASS, MASS_Y, TAKEN, TAKEN_H


@njit(cache=True, error_model="numpy")
def inlet_pipe(
    areas, p, T, R, gamma, Y, e, dt, ends, cells, work, gases, mode, counts, state, mix, boundary,
    gains,
):  # fmt: skip
    """The flux of an intake pipe at its valve, and what it adds to the cylinder.

    Parameters
    ----------
    areas : (2,) tuple   Effective areas of the valve, inwards and outwards [m2]
    p, T, R, gamma, Y : float   Gas in the cylinder [SI]
    e : int   End of the intake pipe [-]
    dt : float   [s]
    ends, cells, work, gases, mode, counts : as in ``pulse1d.waves.ends``
    state, mix : (5, 2), (3, 2) arrays   Pipe states, the intake's in column 1 [SI]
    boundary : (ends, 3) array   Boundary states, filled [SI]
    gains : (21,) array   What the step adds, added to [SI]
    Source      as for the exhaust valve: the pipe's exact answer to a quasi-steady throat
    """
    area = ends[2][e]
    rho, u, p_b = reservoir_end(
        state[0, 1], state[1, 1], state[2, 1], state[3, 1], state[4, 1], p, T, gamma, R,
        areas[1] / area, areas[0] / area, 0.0,
    )  # fmt: skip
    back = u < 0.0
    Y_e = Y if back else mix[0, 1]
    energy = gas_of(p_b / (rho * R), Y, mode, gases[0], gases[1])[2] if back else 0.0
    into = put_flux(e, rho, u, p_b, energy, Y_e, not back, ends, cells, work, mode, dt, counts)
    boundary[e, 0], boundary[e, 1], boundary[e, 2] = rho, u, p_b
    flow = rho * u * area * dt
    gains[MASS] += flow
    gains[ENERGY] -= into * area * dt
    gains[MASS_Y] += flow * Y_e
    gains[TAKEN] += flow
    gains[TAKEN_H] -= into * area * dt
