"""Bench conditions of a run: the case's, with what the command line says over them."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.gas.air import moist_air
from pulse1d.gas.spec import resolve
from pulse1d.steady.conditions import AirState, Bench
from pulse1d.steady.solve import Air


@dataclass(frozen=True)
class Setup:
    """What a bench run needs to know beside the part, SI."""

    bench: Bench
    air: Air
    rho_ref: float


def density(state: AirState) -> float:
    """Density of air at a state.

    Parameters
    ----------
    state : AirState   [SI]
    Returns
    -------
    rho : float   [kg/m3]
    Source      ideal gas; moist air of ``pulse1d.gas.air``
    """
    mixture = moist_air(state.pressure, state.temperature, state.humidity)
    return float(state.pressure / (mixture.R * state.temperature))


def bench_setup(
    design: Design, depression: float | None = None, direction: str | None = None
) -> Setup:
    """Gas and pressures of a case on the bench.

    Parameters
    ----------
    design : Design   The case [-]
    depression : float or None   In place of the case's [Pa]
    direction : str or None   "blown" or "sucked", in place of the case's [-]
    Returns
    -------
    setup : Setup   [SI]
    Errors      InputError when the depression is not positive or leaves no pressure.
    """
    changes: dict[str, object] = {}
    if depression is not None:
        changes["depression"] = depression
    if direction is not None:
        changes["direction"] = direction
    bench: Bench = design.case.bench.model_copy(update=changes)
    room = bench.room
    if not bench.depression > 0.0 or min(bench.pressures) <= 0.0:
        raise InputError(
            [
                Problem(
                    f"a depression of {bench.depression:g} Pa cannot be drawn",
                    "give one above 0 and, on a sucked bench, below the room pressure",
                    str(design.path),
                )
            ]
        )
    gas = resolve(design.case.gas, room.pressure, room.temperature)
    T0 = bench.air_temperature or room.temperature
    p_port, p_outlet = bench.pressures
    idle = room.pressure
    return Setup(bench, Air(gas.table.copy(), T0, p_port, p_outlet, idle), density(bench.reference))
