"""Waves in a small network of pipes by characteristics: the entry for Python."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pulse1d.errors import ConvergenceError
from pulse1d.waves.moc.arrays import DX, P_REF, Net, State, Watch
from pulse1d.waves.moc.march import (
    ENTERED,
    FAILED,
    FULL,
    LEAD,
    M_MAX,
    MASS_IN_PIPES,
    march,
    write,
)
from pulse1d.waves.moc.network import SIDES, End, Floats, Junction, Pipe, Place, build

ROWS = 2048
"""Steps recorded between returns to Python; a matter of memory only."""


@dataclass(frozen=True)
class Trace:
    """State at a probe against ``History.t``, SI."""

    p: Floats
    u: Floats
    T: Floats


@dataclass(frozen=True)
class Profile:
    """State along a pipe at the end time, SI."""

    x: Floats
    p: Floats
    u: Floats
    T: Floats


@dataclass(frozen=True)
class Filling:
    """State in a vessel against ``History.t``, SI."""

    p: Floats
    T: Floats


@dataclass(frozen=True)
class History:
    """What happened, SI. Times are those of the steps, the first at zero."""

    t: Floats
    probes: tuple[Trace, ...]
    profiles: tuple[Profile, ...]
    vessels: Mapping[Place, Filling]
    mass: Floats
    """Gas in all pipes (trapezoidal rule) and finite vessels [kg]."""
    entered: Floats
    """Gas that came in through ends that open on the outside, less what left [kg]."""
    M_max: float
    """Highest Mach number at a node; ends hold the flow to 1."""

    @property
    def mass_error(self) -> Floats:
        """Gas that the method made, over the first mass: the method does not conserve [-]."""
        return (self.mass - self.mass[0] - self.entered) / self.mass[0]


def solve(
    pipes: Sequence[Pipe],
    ends: Mapping[Place, End],
    junctions: Sequence[Junction],
    gas: tuple[float, float],
    t_end: float,
    cfl: float = 0.9,
    *,
    order: Literal[1, 2] = 2,
    probes: Sequence[tuple[int, float]] = (),
) -> History:
    """Unsteady flow in a network of pipes by the non-homentropic mesh method of characteristics.

    Parameters
    ----------
    pipes : sequence of Pipe   With their first states [SI]
    ends : mapping   (pipe, "start" or "end") to Open, Closed, NonReflecting, Wave, Pressure or
        Vessel [SI]
    junctions : sequence of Junction   For the ends not in ``ends`` [-]
    gas : tuple of 2 floats   gamma, R; one gas in the whole network [-, J/kg/K]
    t_end : float   [s]
    cfl : float   Cells a wave may cross in a step, 0 .. 1; smearing grows with 1 - cfl [-]
    order : 1 or 2   Feet of characteristics by linear interpolation, as Benson has it, or by
        parabolas that bend no more than their neighbours; the error falls with that power of the
        cell [-]
    probes : sequence of tuples   pipe, distance from its start [-, m]
    Returns
    -------
    history : History   Traces, end profiles, vessels, mass [SI]
    Raises ValueError for a network that does not fit together, ConvergenceError when a state
    stops being physical.
    Limits      Not conservative: see ``History.mass_error``. Shocks are smeared and
        run at the wrong speed, by a share that grows with their strength squared. Flow at a pipe
        end is sonic at most.
    Source      Benson 1982, from memory
    """
    if order not in (1, 2):
        raise ValueError(f"order {order} must be 1 or 2")
    if not (t_end > 0.0 and 0.0 < cfl <= 1.0):
        raise ValueError(f"t_end {t_end} must be positive and cfl {cfl} in 0 .. 1")
    for pipe, x in probes:
        if not (0 <= pipe < len(pipes) and 0.0 <= x <= pipes[pipe].length):
            raise ValueError(f"probe {(pipe, x)} lies outside its pipe")
    net, state, work, watch = build(pipes, ends, junctions, gas, probes, order)
    new = State(*(array.copy() for array in state))
    width = LEAD + 3 * len(probes) + 2 * len(watch.vessel)
    clock = np.zeros(3)
    row = np.empty((1, width))
    write(net, state, watch, clock, row[0])
    parts = [row]
    why = FULL
    while why == FULL:
        record = np.empty((ROWS, width))
        rows, why = march(net, (state, new), work, watch, clock, (float(t_end), float(cfl)), record)
        parts.append(record[:rows])
    if why == FAILED or not (np.isfinite(state.u + state.aA).all() and state.X.min() > 0.0):
        raise ConvergenceError(f"characteristics crossed or a state failed at t = {clock[0]:.6g} s")
    return _history(net, state, watch, np.concatenate(parts))


def _history(net: Net, state: State, watch: Watch, record: Floats) -> History:
    gamma, R = net.gamma, net.R
    probes = len(watch.probe)
    traces = tuple(
        Trace(*(record[:, LEAD + 3 * i + c].copy() for c in range(3))) for i in range(probes)
    )
    vessels = {}
    for i, e in enumerate(watch.vessel):
        at = LEAD + 3 * probes + 2 * i
        vessels[int(e) // 2, SIDES[e % 2]] = Filling(record[:, at].copy(), record[:, at + 1].copy())
    profiles = []
    for i, row in enumerate(net.pipe):
        X, u, aA = (v[net.first[i] : net.first[i + 1]].copy() for v in state[:3])
        p = P_REF * X ** (2.0 * gamma / (gamma - 1.0))
        x = row[DX] * np.arange(len(X))
        profiles.append(Profile(x, p, u, (X * aA) ** 2 / (gamma * R)))
    return History(
        t=record[:, 0].copy(),
        probes=traces,
        profiles=tuple(profiles),
        vessels=vessels,
        mass=record[:, MASS_IN_PIPES].copy(),
        entered=record[:, ENTERED].copy(),
        M_max=float(record[:, M_MAX].max()),
    )
