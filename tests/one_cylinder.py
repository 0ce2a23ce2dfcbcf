"""One cylinder and one pipe, built by hand: what the tests of the cylinder march. Invented data."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.cylinder.valve_event import smooth_lift
from pulse1d.gas import burned_gas, dry_air
from pulse1d.gas import state as gas
from pulse1d.waves.kinds import MASS, MASS_Y, Kind
from pulse1d.waves.pipes import Closed, ConstantGas, Cylinder, End, Net, Pipe, TwoGases
from pulse1d.waves.solve import WaveRun, solve

Array = NDArray[np.float64]

BORE, STROKE, ROD, RATIO = 0.0875, 0.100, 0.155, 9.5
SWEPT = 0.25 * math.pi * BORE**2 * STROKE
AIR, BURNED = dry_air(), burned_gas(1.87, 0.0, 1.0)
GASES = TwoGases(AIR, BURNED)
INLET_OPENS = 350.0
EVENTS = (590.0, 125.0)
"""Inlet closes, exhaust opens [deg]."""
SHUT = np.zeros((4, 720))
HEAT = 2.6e6
"""Of the fuel, per mass of charge; near that of gasoline [J/kg]."""


def R_of(Y: float) -> float:
    """Gas constant of a blend [J/kg/K]."""
    return (1.0 - Y) * AIR.R + Y * BURNED.R


def e_of(T: float, Y: float) -> float:
    """Internal energy of a blend [J/kg]."""
    return (1.0 - Y) * float(gas.e(T, AIR.table)) + Y * float(gas.e(T, BURNED.table))


def s0_of(T: float, Y: float) -> float:
    """Entropy function of a blend [J/kg/K]."""
    return (1.0 - Y) * float(gas.s0(T, AIR.table)) + Y * float(gas.s0(T, BURNED.table))


def volume_of(theta: float) -> float:
    """Slider-crank volume, heywood1988 eq. 2.6 [m3]."""
    r, x = 2.0 * ROD / STROKE, math.radians(theta)
    share = r + 1.0 - math.cos(x) - math.sqrt(r * r - math.sin(x) ** 2)
    return SWEPT / (RATIO - 1.0) * (1.0 + 0.5 * (RATIO - 1.0) * share)


def valves() -> Array:
    """Effective areas of a 36 mm exhaust and a 40 mm inlet valve, 9 mm lift, Cd 0.6 [m2]."""
    degrees = np.arange(720.0)
    out = 0.6 * math.pi * 0.036 * smooth_lift(degrees, EVENTS[1], 375.0, 0.009)
    into = 0.6 * math.pi * 0.040 * smooth_lift(degrees, INLET_OPENS, EVENTS[0], 0.009)
    return np.stack([out, 0.9 * out, into, 0.9 * into])


def cylinder(**changes: Any) -> Cylinder:
    """A shut, adiabatic cylinder without fire at bottom dead centre, changed as asked."""
    given: dict[str, Any] = {
        "bore": BORE, "stroke": STROKE, "rod": ROD, "ratio": RATIO, "speed": 50.0,
        "start": -180.0, "areas": SHUT, "events": EVENTS, "inlet": (1e5, 308.0), "p": 1e5,
        "T": 350.0, "Y": 0.05, "wall_factor": 0.0,
    }  # fmt: skip
    return Cylinder(**{**given, **changes})


def turn(item: Cylinder, degrees: float, steps: int, at: ConstantGas | TwoGases = GASES) -> WaveRun:
    """March a shut cylinder on a closed pipe of still air that sets the step and no more."""
    t_end = degrees / (360.0 * item.speed)
    a = float(gas.sound_speed(300.0, AIR.table))
    pipe = Pipe(4.0 * a * t_end / (0.9 * steps), 0.05, cells=4, p=1e5, T=300.0)
    ends: dict[tuple[str, str], End] = {("a", "start"): item, ("a", "stop"): Closed()}
    return solve(Net({"a": pipe}, ends, gas=at), t_end, times=2, start_steps=0)


def state_of(run: WaveRun) -> Array:
    """The kernel's state of the cylinder."""
    nodes = run.arrays.nodes
    return np.asarray(nodes[4][nodes[0] == Kind.CYLINDER][0])


def gas_in(run: WaveRun) -> tuple[float, float, float]:
    """Mass, internal energy and burned share of what a cylinder holds [kg, J, -]."""
    now = state_of(run)
    return float(now[MASS]), float(now[1]), float(now[MASS_Y] / now[MASS])
