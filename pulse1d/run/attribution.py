"""Who sends which wave: paired runs of one cycle from the same converged state."""

from __future__ import annotations

import copy
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.engine.phases import firing_angle
from pulse1d.engine.valves import exhaust_events, inlet_events
from pulse1d.errors import InputError, Problem
from pulse1d.run.anechoic import continued
from pulse1d.run.cycle import RECORD, CycleMarch, converge
from pulse1d.run.engine_net import needs
from pulse1d.run.watched import TYPICAL, Steps, Watch
from pulse1d.waves.boundaries.valve_cylinder import EXHAUST_BACK, EXHAUST_OUT, THETA_0
from pulse1d.waves.solve import WaveRun, solve

Array = NDArray[np.float64]

RUNS = 4
"""Cycles marched for each cylinder."""
ARRIVED = 0.2
"""Share of its own peak from which a wave counts as arrived [-]."""


@dataclass(frozen=True)
class ReturningWave:
    """What one source adds to the pressure at a cylinder's port."""

    source: str
    """Such as "cylinder 3", "outlet", "joint and interaction"."""
    arrives: float
    """After the exhaust valve opens [deg]."""
    strength: float
    """Largest pressure it adds or takes away, with its sign [Pa]."""
    in_overlap: float
    """Mean over the overlap of the valves [Pa]."""
    pressure: Array
    """By crank angle after the exhaust valve opens [Pa]."""


@dataclass(frozen=True)
class Interference:
    """Who raises whose port pressure while both of its valves are open."""

    cylinders: tuple[str, ...]
    matrix: Array
    """(n, n): row, whose port; column, whose blow-down [Pa]."""
    waves: dict[str, tuple[ReturningWave, ...]]
    """Per cylinder: sisters, outlet, and the rest."""


def interference(
    design: Design, speed: float, *, tolerance: float = 1e-3, watch: Watch | None = None
) -> Interference:
    """Attribution of the waves at one speed.

    From the moment at which a cylinder's exhaust valve is about to open one cycle is marched as it
    is, with that valve kept shut, with the outlet continued by a pipe so long that nothing comes
    back, and for its runner alone, continued likewise. Differences are contributions; what is left
    after their sum is the joint's own echo and the interaction of all.

    Parameters
    ----------
    design : Design   With an engine [-]
    speed : float   [rev/s]
    tolerance : float   As in ``march_cycle`` [-]
    watch : function   Told the share done; answers whether to go on [-]
    Returns
    -------
    interference : Interference   [SI]
    Errors      InputError where the case lacks what an engine needs, or ports are shared;
                ``Stopped`` when the watch answers False.
    """
    own_ports(design)
    banks = 2 if needs(design).other_bank else 1
    steps = Steps(watch, TYPICAL + RUNS * banks * len(design.case.head.ports))
    march, _, _ = converge(design, speed, tolerance=tolerance, watch=steps.cycle)
    steps.reach(TYPICAL)
    assert march.run is not None
    built = march.built
    names = tuple(name for name, _, _ in built.cylinders)
    opens = [round(opening(design, name)) % RECORD for name in names]
    effects, echoes, alone = [], [], []
    for k, at in enumerate(opens):
        state = turned(march, march.run, at)
        base = ports(march, state)
        steps.step()
        effects.append(base - ports(march, shut(state, k)))
        steps.step()
        outlet = built.probes["outlet"][0]
        echoes.append(base[k] - cut_off(march, state, k, tuple(built.net.pipes), outlet))
        steps.step()
        runner = built.runners[built.cylinders[k][0]]
        alone.append(base[k] - cut_off(march, state, k, runner, runner[-1]))
        steps.step()
    matrix = np.zeros((len(names), len(names)))
    waves = {}
    for i, name in enumerate(names):
        parts = {
            f"cylinder {other}": np.roll(effects[j][i], opens[j] - opens[i])
            for j, other in enumerate(names)
            if j != i
        }
        parts["outlet"] = echoes[i]
        parts["joint and interaction"] = alone[i] - np.sum(list(parts.values()), axis=0)
        waves[name] = tuple(wave(design, source, signal) for source, signal in parts.items())
        for w in waves[name][: len(names) - 1]:
            matrix[i, names.index(w.source.removeprefix("cylinder "))] = w.in_overlap
    return Interference(names, matrix, waves)


def own_ports(design: Design) -> None:
    """Refuse a design in which cylinders share a port.

    Parameters
    ----------
    design : Design   [-]
    Errors      InputError naming the ports that are shared.
    """
    shared = [port.name for port in design.case.head.ports if len(port.cylinders) > 1]
    if shared:
        raise InputError(
            [
                Problem(
                    f"port {', '.join(shared)} serves several cylinders: whose wave it is cannot "
                    "be told there",
                    "ask without interference and waves",
                    str(design.path),
                )
            ]
        )


def opening(design: Design, cylinder: str) -> float:
    """Crank angle of the engine at which a cylinder's exhaust valve opens.

    Parameters
    ----------
    design : Design   [-]
    cylinder : str   [-]
    Returns
    -------
    angle : float   [deg]
    """
    engine = design.case.engine
    assert engine is not None
    assert engine.exhaust is not None
    return firing_angle(engine, cylinder) + exhaust_events(engine.exhaust)[0]


def turned(march: CycleMarch, run: WaveRun, degrees: int) -> WaveRun:
    """The state some crank angle later.

    Parameters
    ----------
    march, run : as in ``ports``
    degrees : int   [deg]
    Returns
    -------
    run : WaveRun   [-]
    """
    if degrees == 0:
        return copied(run)
    later = solve(
        march.built.net, march.period * degrees / RECORD, times=1, restart=copied(run),
        start_steps=0, cfl=march.cfl, limiter=march.limiter,
    )  # fmt: skip
    later.arrays.nodes[9][:, THETA_0] += degrees
    return later


def shut(run: WaveRun, k: int) -> WaveRun:
    """The state with one exhaust valve that stays shut.

    Parameters
    ----------
    run : WaveRun   Left as it is [-]
    k : int   Place of the cylinder [-]
    Returns
    -------
    run : WaveRun   [-]
    """
    changed = copied(run)
    changed.arrays.nodes[10][k, EXHAUST_OUT : EXHAUST_BACK + 1] = 0.0
    return changed


def copied(run: WaveRun) -> WaveRun:
    """A run whose state may be marched on without touching the original.

    Parameters
    ----------
    run : WaveRun   [-]
    Returns
    -------
    run : WaveRun   [-]
    """
    return replace(run, arrays=copy.deepcopy(run.arrays))


def ports(march: CycleMarch, run: WaveRun) -> Array:
    """Port pressures over the next cycle of a state, by crank angle from there on.

    Parameters
    ----------
    march : CycleMarch   Whose network it is [-]
    run : WaveRun   State to start from; left as it is [-]
    Returns
    -------
    p : (cylinders, 720) array   [Pa]
    """
    built = march.built
    next_cycle = solve(
        built.net, march.period, probes=built.probes, times=march.times, restart=copied(run),
        start_steps=0, cfl=march.cfl, limiter=march.limiter,
    )  # fmt: skip
    return np.stack([next_cycle.traces[probe].p for probe in built.ports])


def cut_off(march: CycleMarch, run: WaveRun, k: int, pipes: tuple[str, ...], last: str) -> Array:
    """A cylinder's port pressure when nothing comes back from the stop of a pipe.

    Parameters
    ----------
    march, run : as in ``ports``
    k : int   Place of the cylinder [-]
    pipes, last : as in ``pulse1d.run.anechoic.continued``
    Returns
    -------
    p : (720,) array   By crank angle from the state on [Pa]
    """
    probe = march.built.cylinders[k][2]
    net, start = continued(march.built.net, pipes, last, run, march.period)
    found = solve(
        net, march.period, probes={probe: march.built.probes[probe]}, times=march.times,
        restart=start, start_steps=0, cfl=march.cfl, limiter=march.limiter,
    )  # fmt: skip
    return found.traces[probe].p


def wave(design: Design, source: str, signal: Array) -> ReturningWave:
    """One contribution read at a cylinder.

    Parameters
    ----------
    design : Design   [-]
    source : str   [-]
    signal : (720,) array   By crank angle after the cylinder's exhaust valve opens [Pa]
    Returns
    -------
    wave : ReturningWave   [SI]
    """
    engine = design.case.engine
    assert engine is not None
    assert engine.exhaust is not None
    assert engine.inlet is not None
    opens, closes = exhaust_events(engine.exhaust)
    first = round(inlet_events(engine.inlet)[0] - opens)
    overlap = signal[first : max(round(closes - opens), first + 1)]
    peak = int(np.argmax(np.abs(signal)))
    at = arrival(signal)
    return ReturningWave(source, at, float(signal[peak]), float(overlap.mean()), signal)


def arrival(signal: Array) -> float:
    """When a contribution has grown to ``ARRIVED`` of its largest.

    Parameters
    ----------
    signal : (n,) array   By crank angle; what it starts with above that is the tail of the cycle
        before, and is passed over [Pa]
    Returns
    -------
    angle : float   0 where it never falls below, or is nothing [deg]
    """
    above = np.abs(signal) >= ARRIVED * float(np.abs(signal).max())
    grown = np.flatnonzero(above[1:] & ~above[:-1])
    return float(grown[0] + 1) if len(grown) else 0.0
