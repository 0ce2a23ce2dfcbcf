"""Lengths that the trade would tune to, and what this part has."""

from __future__ import annotations

from pulse1d.case.design import Design
from pulse1d.engine.tuning import TunedLength, return_angle, tuned_lengths
from pulse1d.gas.burned import burned_gas
from pulse1d.gas.state import sound_speed
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.engine_net import fuel_atoms, needs


def tuning(design: Design, summary: SpeedSummary) -> tuple[TunedLength, ...]:
    """Classical lengths at one speed, then the part's own way of each port to its first joint.

    Parameters
    ----------
    design : Design   [-]
    summary : SpeedSummary   Whose gas temperature sets the speed of sound [SI]
    Returns
    -------
    lengths : tuple of TunedLength   [SI]
    Limits      acoustic: one speed of sound, no flow, no end correction
    """
    engine, speed = needs(design), summary.answer.speed
    assert engine.exhaust is not None
    c = speed_of_sound(design, summary.T_gas)
    network = design.network
    own = []
    ports = dict.fromkeys(one.port for one in summary.answer.cylinders)
    for port in (name for name in ports if name in network.port_names):
        index = network.runner_index(port)
        length = network.legs[index].length
        own.append(
            TunedLength(
                f"port {port} to {network.ends[index]}", length, return_angle(length, speed, c)
            )
        )
    return (*tuned_lengths(engine.exhaust.opens_before_bdc, speed, c), *own)


def speed_of_sound(design: Design, T: float) -> float:
    """Of the burned gas.

    Parameters
    ----------
    design : Design   [-]
    T : float   [K]
    Returns
    -------
    c : float   [m/s]
    """
    engine = needs(design)
    gas = burned_gas(*fuel_atoms(engine), engine.charge.lambda_)
    return float(sound_speed(T, gas.table))
