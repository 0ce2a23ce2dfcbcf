"""A pipe end at a working cylinder: exhaust valve, inlet valve to a plenum, piston, fire; compiled.

A step is taken twice: with the cylinder as it is at its start, and once more as that finds it in
mid step. Flow through the exhaust valve is the pipe's exact answer to a throat; so it is through
the inlet valve where an intake pipe stands, else quasi-steady from a plenum, and what was blown
back comes in first. Energies are sensible, zero near 25 degC, so burning adds the fuel's heating
value and turns fresh charge, with what fuel is injected, into burned gas.
"""

from __future__ import annotations

import math

from numba import njit

from pulse1d.cylinder.annand import q_annand, transport
from pulse1d.cylinder.burn import double_wiebe
from pulse1d.cylinder.crank import volume, wall_area
from pulse1d.cylinder.valve_event import area_at
from pulse1d.cylinder.wall_heat import (
    COMBUSTION,
    COMPRESSION,
    GAS_EXCHANGE,
    h_woschni,
)
from pulse1d.waves.boundaries.inlet_pipe import inlet_pipe
from pulse1d.waves.boundaries.reservoir import reservoir_end, throat_flux
from pulse1d.waves.end_states import CONSTANT, gas_in, gas_of, put_flux
from pulse1d.waves.kinds import (
    BACK_H,
    BACK_M,
    BACK_Y,
    ENERGY,
    FRESH,
    GIVEN,
    HELD,
    HELD_Y,
    INJECTED,
    LOST,
    MASS,
    MASS_Y,
    P_REF,
    PUMPED,
    RELEASED,
    T_NOW,
    T_REF,
    TAKEN,
    TAKEN_H,
    WORK,
)

(
    BORE, STROKE, ROD, RATIO, DEG_PER_S, THETA_0, BURN_START, BURN_LENGTH, WIEBE_A, WIEBE_M,
    PREMIXED, PREMIXED_LENGTH, PREMIXED_M, HEAT, FUEL, T_WALLS, WALL_FACTOR, ANNAND_A, ANNAND_C,
    P_IN, T_IN, INLET_CLOSES, EXHAUST_OPENS,
) = range(23)  # fmt: skip
"""Columns of a cylinder's parameters: geometry; speed and crank angle at time 0; burning, its
premixed part; heat of the fuel, and fuel injected, per mass of fresh charge; wall temperature,
factor on the wall heat (0: none), Annand's numbers (a of 0: Woschni's law); plenum; events
[SI, deg]."""
CYLINDER_PARAMETERS = 23
EXHAUST_OUT, EXHAUST_BACK, INLET_IN, INLET_BACK = range(4)
"""Rows of a cylinder's tables of effective areas, one value a degree [m2]."""
MOTORED = 1.3
"""Exponent of the motored pressure in Woschni's law [-]."""


@njit(cache=True, error_model="numpy")
def crossed(event, theta_1, theta_2):
    """Whether an event lies within a step.

    Parameters
    ----------
    event, theta_1, theta_2 : float   Crank angles, the step from theta_1 on [deg]
    Returns
    -------
    yes : bool   [-]
    """
    return 0.0 <= (event - theta_1) % 720.0 < theta_2 - theta_1


@njit(cache=True, error_model="numpy")
def inlet(par, areas, now, p, T, R, gamma, dt, mode, fresh, burned, gains):
    """What the inlet valve passes in a step.

    Parameters
    ----------
    par : (23,) array   [SI]
    areas : (2,) tuple   Effective, inwards and outwards [m2]
    now, gains : (21,) arrays   State; what the step adds, added to [SI]
    p, T, R, gamma : float   Gas in the cylinder [SI]
    dt : float   [s]
    mode, fresh, burned : as in ``gas_of``
    """
    before = gains[ENERGY]
    R_p, gamma_p, e_p = gas_of(par[T_IN], 0.0, mode, fresh, burned)
    if par[P_IN] >= p:
        dm = areas[0] * throat_flux(par[P_IN], par[T_IN], p, gamma_p, R_p) * dt
        h = e_p + R_p * par[T_IN]
        back = min(dm, max(now[BACK_M], 0.0))
        if back > 0.0:
            share = back / now[BACK_M]
            gains[ENERGY] += share * now[BACK_H]
            gains[MASS_Y] += share * now[BACK_Y]
            gains[BACK_M] -= back
            gains[BACK_H] -= share * now[BACK_H]
            gains[BACK_Y] -= share * now[BACK_Y]
        gains[ENERGY] += (dm - back) * h
    else:
        dm = -areas[1] * throat_flux(p, T, par[P_IN], gamma, R) * dt
        Y = now[MASS_Y] / now[MASS]
        h = gas_of(T, Y, mode, fresh, burned)[2] + R * T
        gains[ENERGY] += dm * h
        gains[MASS_Y] += dm * Y
        gains[BACK_M] -= dm
        gains[BACK_H] -= dm * h
        gains[BACK_Y] -= dm * Y
    gains[MASS] += dm
    gains[TAKEN] += dm
    gains[TAKEN_H] += gains[ENERGY] - before


@njit(cache=True, error_model="numpy")
def woschni_velocity(par, now, theta, p, closed, expanding):
    """C1 of Woschni's law and the velocity that burning adds.

    Parameters
    ----------
    par, now : (23,), (21,) arrays   [SI]
    theta, p : float   Crank angle, pressure [deg, Pa]
    closed, expanding : bool   Both valves are shut; burning has begun as well [-]
    Returns
    -------
    C1, swirl : float   As ``h_woschni`` takes them [-, m/s]
    Source      ``pulse1d.cylinder.wall_heat.h_woschni``
    """
    if not closed:
        return GAS_EXCHANGE, 0.0
    if not expanding or now[P_REF] <= 0.0:
        return COMPRESSION, 0.0
    bore, stroke, rod, ratio = par[BORE], par[STROKE], par[ROD], par[RATIO]
    V_ref = volume(par[INLET_CLOSES], bore, stroke, rod, ratio)
    swept = 0.25 * math.pi * bore * bore * stroke
    motored = now[P_REF] * (V_ref / volume(theta, bore, stroke, rod, ratio)) ** MOTORED
    return COMPRESSION, COMBUSTION * swept * now[T_REF] / (now[P_REF] * V_ref) * (p - motored)


@njit(cache=True, error_model="numpy")
def wall_loss(par, now, theta, p, T, Y, dt, mode, fresh, burned):
    """Heat that the walls take in a step.

    Parameters
    ----------
    par, now : (23,), (21,) arrays   [SI]
    theta : float   Crank angle [deg]
    p, T, Y, dt : float   Gas in the cylinder, step [SI]
    mode, fresh, burned : as in ``gas_of``; a constant gas takes its transport from ``burned``
    Returns
    -------
    Q : float   [J]
    Source      ``h_woschni``, or ``q_annand`` where Annand's a is above 0
    """
    if par[WALL_FACTOR] <= 0.0:
        return 0.0
    bore, stroke, rod, ratio = par[BORE], par[STROKE], par[ROD], par[RATIO]
    speed = 2.0 * stroke * par[DEG_PER_S] / 360.0
    shut = par[EXHAUST_OPENS] - par[INLET_CLOSES]
    closed = (theta - par[INLET_CLOSES]) % 720.0 < shut % 720.0
    lit = par[EXHAUST_OPENS] - par[BURN_START]
    expanding = closed and (theta - par[BURN_START]) % 720.0 < lit % 720.0
    if par[ANNAND_A] > 0.0:
        k_th, mu = transport(T, Y, burned if mode == CONSTANT else fresh, burned)
        Re = now[MASS] / volume(theta, bore, stroke, rod, ratio) * speed * bore / mu
        c = par[ANNAND_C] if expanding and par[HEAT] > 0.0 else 0.0
        q = q_annand(T, par[T_WALLS], k_th, bore, Re, par[ANNAND_A], c)
    else:
        C1, swirl = woschni_velocity(par, now, theta, p, closed, expanding)
        q = h_woschni(p, T, bore, speed, C1, swirl) * (T - par[T_WALLS])
    return par[WALL_FACTOR] * q * wall_area(theta, bore, stroke, rod, ratio) * dt


@njit(cache=True, error_model="numpy")
def lit_share(par, theta):
    """Burned share of the charge at a crank angle.

    Parameters
    ----------
    par : (23,) array   [SI]
    theta : float   [deg]
    Returns
    -------
    x : float   [-]
    Source      ``pulse1d.cylinder.burn.double_wiebe``
    """
    return double_wiebe(
        theta, par[BURN_START], par[WIEBE_A], par[BURN_LENGTH], par[WIEBE_M],
        par[PREMIXED], par[PREMIXED_LENGTH], par[PREMIXED_M],
    )  # fmt: skip


@njit(cache=True, error_model="numpy")
def burn(par, now, theta, theta_1, theta_2, gains):
    """What burns in a step; what is held when burning starts is kept.

    Parameters
    ----------
    par, now, theta, theta_1, theta_2 : as in ``cylinder_pass``
    gains : (21,) array   What the step adds, added to [SI]
    """
    share = max(lit_share(par, theta_2) - lit_share(par, theta_1), 0.0)
    fresh = now[FRESH]
    if par[HEAT] > 0.0 and crossed(par[BURN_START], theta_1, theta_2):
        begun = share * (theta - theta_1) / (theta_2 - theta_1)  # in ``now`` already
        fresh = max(now[MASS] - now[MASS_Y], 0.0) / (1.0 - begun)
        lit = fresh * begun
        gains[FRESH] = fresh - now[FRESH]
        gains[HELD] = now[MASS] - lit * par[FUEL] - now[HELD]
        gains[HELD_Y] = now[MASS_Y] - lit * (1.0 + par[FUEL]) - now[HELD_Y]
    lit = fresh * share
    gains[MASS] += lit * par[FUEL]
    gains[MASS_Y] += lit * (1.0 + par[FUEL])
    gains[ENERGY] += lit * par[HEAT]
    gains[INJECTED], gains[RELEASED] = lit * par[FUEL], lit * par[HEAT]


@njit(cache=True, error_model="numpy")
def cylinder_pass(
    par, tables, now, theta, theta_1, theta_2, e, dt, ends, cells, work, gases, mode, counts,
    state, mix, boundary, gains,
):  # fmt: skip
    """What a step adds to a cylinder that is as ``now`` says, and the flux of its pipe.

    Parameters
    ----------
    par, tables : (23,), (4, 720) arrays   Parameters; effective areas [SI]
    now : (21,) array   State [SI]
    theta, theta_1, theta_2 : float   Crank angle of ``now``, of the step's ends [deg]
    e : int   Its exhaust end; an intake pipe's is the next [-]
    dt : float   [s]
    ends, cells, work, gases, mode, counts, state, mix : as in ``pulse1d.waves.ends``
    boundary : (ends, 3) array   Boundary states, filled [SI]
    gains : (21,) array   Filled [SI]
    """
    fresh, burned = gases
    bore, stroke, rod, ratio = par[BORE], par[STROKE], par[ROD], par[RATIO]
    area = ends[2][e]
    gains[:] = 0.0
    p, T, R, gamma = gas_in(now, volume(theta, bore, stroke, rod, ratio), mode, fresh, burned)
    Y = min(max(now[MASS_Y] / now[MASS], 0.0), 1.0)
    rho, u, p_b = reservoir_end(
        state[0, 0], state[1, 0], state[2, 0], state[3, 0], state[4, 0], p, T, gamma, R,
        area_at(tables[EXHAUST_OUT], theta) / area, area_at(tables[EXHAUST_BACK], theta) / area,
        0.0,
    )  # fmt: skip
    leaving = u < 0.0
    Y_e = Y if leaving else mix[0, 0]
    energy = gas_of(p_b / (rho * R), Y, mode, fresh, burned)[2] if leaving else 0.0
    into = put_flux(e, rho, u, p_b, energy, Y_e, not leaving, ends, cells, work, mode, dt, counts)
    boundary[e, 0], boundary[e, 1], boundary[e, 2] = rho, u, p_b
    flow = rho * u * area * dt
    gains[MASS], gains[GIVEN] = flow, -flow
    gains[ENERGY], gains[MASS_Y] = -into * area * dt, flow * Y_e
    areas = area_at(tables[INLET_IN], theta), area_at(tables[INLET_BACK], theta)
    if state.shape[1] > 1:
        inlet_pipe(
            areas, p, T, R, gamma, Y, e + 1, dt, ends, cells, work, gases, mode, counts, state,
            mix, boundary, gains,
        )  # fmt: skip
    else:
        inlet(par, areas, now, p, T, R, gamma, dt, mode, fresh, burned, gains)
    push = p * (
        volume(theta_2, bore, stroke, rod, ratio) - volume(theta_1, bore, stroke, rod, ratio)
    )
    lost = wall_loss(par, now, theta, p, T, Y, dt, mode, fresh, burned)
    burn(par, now, theta, theta_1, theta_2, gains)
    gains[ENERGY] -= push + lost
    gains[WORK], gains[LOST] = push, lost
    if 180.0 <= theta % 720.0 < 540.0:
        gains[PUMPED] = push
    if crossed(par[INLET_CLOSES], theta_1, theta_2):
        gains[P_REF], gains[T_REF] = p - now[P_REF], T - now[T_REF]


@njit(cache=True, error_model="numpy")
def cylinder_end(
    par, tables, now, e, t, dt, ends, cells, work, gases, mode, counts, state, mix, boundary, gains
):
    """A cylinder's step: its gains and the flux of its pipe.

    Parameters
    ----------
    par, tables, now, e, ends, cells, work, gases, mode, counts, state, mix, boundary, gains : as in
        ``cylinder_pass``
    t, dt : float   Middle of the step, its length [s]
    """
    turn = par[DEG_PER_S] * dt
    theta = par[THETA_0] + par[DEG_PER_S] * t
    before = counts[0]
    theta_1, theta_2 = theta - 0.5 * turn, theta + 0.5 * turn
    cylinder_pass(
        par, tables, now, theta_1, theta_1, theta_2, e, dt, ends, cells, work, gases, mode, counts,
        state, mix, boundary, gains,
    )  # fmt: skip
    middle = now + 0.5 * gains
    middle[FRESH : T_REF + 1] = now[FRESH : T_REF + 1]  # set at events, not summed
    counts[0] = before
    cylinder_pass(
        par, tables, middle, theta, theta_1, theta_2, e, dt, ends, cells, work, gases, mode,
        counts, state, mix, boundary, gains,
    )  # fmt: skip
    now[T_NOW] = middle[T_NOW]
