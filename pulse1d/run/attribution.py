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
from pulse1d.run.cycle import RECORD, CycleMarch, converge
from pulse1d.waves.assemble import assemble
from pulse1d.waves.boundaries.valve_cylinder import EXHAUST_BACK, EXHAUST_OUT, THETA_0
from pulse1d.waves.kinds import Kind
from pulse1d.waves.pipes import Free, Net, Passage
from pulse1d.waves.solve import WaveRun, solve

Array = NDArray[np.float64]

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


def interference(design: Design, speed: float, *, tolerance: float = 1e-3) -> Interference:
    """Attribution of the waves at one speed.

    From the moment at which a cylinder's exhaust valve is about to open one cycle is marched as it
    is, with that valve kept shut, with an outlet that lets every wave out, and for its runner alone
    with nothing coming back. Differences are contributions; what is left after their sum is the
    joint's own echo and the interaction of all.

    Parameters
    ----------
    design : Design   With an engine [-]
    speed : float   [rev/s]
    tolerance : float   As in ``march_cycle`` [-]
    Returns
    -------
    interference : Interference   [SI]
    Errors      InputError where the case lacks what an engine needs, or ports are shared.
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
    march, _, _ = converge(design, speed, tolerance=tolerance)
    assert march.run is not None
    built = march.built
    names = tuple(name for name, _, _ in built.cylinders)
    opens = [round(opening(design, name)) % RECORD for name in names]
    effects, echoes, alone = [], [], []
    for k, at in enumerate(opens):
        state = turned(march, march.run, at)
        base = ports(march, state)
        effects.append(base - ports(march, shut(state, k)))
        echoes.append((base - ports(march, let_out(state)))[k])
        alone.append(base[k] - runner_alone(march, state, k))
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
        start_steps=0,
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


def let_out(run: WaveRun) -> WaveRun:
    """The state with an outlet that sends nothing back.

    Parameters
    ----------
    run : WaveRun   Left as it is [-]
    Returns
    -------
    run : WaveRun   [-]
    """
    changed = copied(run)
    nodes = changed.arrays.nodes
    outlet = int(np.flatnonzero(nodes[0] == Kind.RESERVOIR)[0])
    nodes[0][outlet] = Kind.FREE
    nodes[6][nodes[1][outlet]] = np.nan
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
        built.net, march.period, probes=built.probes, times=RECORD, restart=copied(run),
        start_steps=0,
    )  # fmt: skip
    return np.stack([next_cycle.traces[probe].p for probe in built.ports])


def runner_alone(march: CycleMarch, run: WaveRun, k: int) -> Array:
    """A cylinder's port pressure when nothing comes back from the end of its runner.

    Parameters
    ----------
    march, run : as in ``ports``
    k : int   Place of the cylinder [-]
    Returns
    -------
    p : (720,) array   [Pa]
    """
    built = march.built
    _, port, probe = built.cylinders[k]
    names = built.runners[port]
    ends = {where: end for where, end in built.net.ends.items() if where[0] in names}
    ends[names[-1], "stop"] = Free()
    between = tuple(
        node
        for node in built.net.nodes
        if isinstance(node, Passage) and all(name in names for name, _ in node.ends)
    )
    net = Net({name: built.net.pipes[name] for name in names}, ends, between, built.net.gas)
    arrays = assemble(net)
    for name in names:
        old, new = run.arrays.place[name], arrays.place[name]
        for mine, theirs in zip(arrays.cells, run.arrays.cells, strict=True):
            mine[new] = theirs[old]
        arrays.wall[0][:, new] = run.arrays.wall[0][:, old]
    own = np.flatnonzero(run.arrays.nodes[0] == Kind.CYLINDER)[k]
    here = int(np.flatnonzero(arrays.nodes[0] == Kind.CYLINDER)[0])
    arrays.nodes[4][here] = run.arrays.nodes[4][own]
    arrays.nodes[9][0] = run.arrays.nodes[9][k]
    start = replace(run, arrays=arrays)
    found = solve(
        net, march.period, probes={probe: built.probes[probe]}, times=RECORD, restart=start,
        start_steps=0,
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
    size = abs(float(signal[peak]))
    arrived = int(np.argmax(np.abs(signal) >= ARRIVED * size)) if size > 0.0 else 0
    return ReturningWave(source, float(arrived), float(signal[peak]), float(overlap.mean()), signal)
