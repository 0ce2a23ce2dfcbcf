"""What a network of pipes is: pipes, ends, junctions; checked and turned into arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pulse1d.waves.moc.arrays import (
    BY_ENERGY,
    BY_ENTROPY,
    BY_MOMENTUM,
    CLOSED,
    JOINED,
    P_REF,
    PRESSURE,
    VESSEL,
    WAVE,
    Net,
    State,
    Watch,
    Work,
)
from pulse1d.waves.moc.paths import ROOM

Floats = NDArray[np.float64]
Place = tuple[int, str]
"""Pipe and side, "start" or "end"."""
SIDES = ("start", "end")
FEWEST = 4
"""Cells: below it the linear interpolation has nothing to work on (judgement)."""


@dataclass(frozen=True)
class Pipe:
    """Round, straight or conical; SI. Initial state: numbers or one value a node (cells + 1)."""

    length: float
    diameter_start: float
    diameter_end: float
    cells: int
    p: ArrayLike
    T: ArrayLike
    u: ArrayLike = 0.0
    f_D: float = 0.0
    """Darcy friction factor, fixed."""
    T_wall: float = 0.0
    """Wall temperature for Reynolds-analogy heat; 0 for an adiabatic wall."""


@dataclass(frozen=True)
class Open:
    """Open to gas at rest: outflow at p, choked at most; inflow isentropic from p and T."""

    p: float
    T: float


@dataclass(frozen=True)
class Closed:
    """A wall."""


@dataclass(frozen=True)
class NonReflecting:
    """Endless pipe: what arrives leaves, and nothing comes in."""


@dataclass(frozen=True)
class Wave:
    """A simple wave sent in from gas in the end's first state; what arrives leaves."""

    t: ArrayLike
    p: ArrayLike
    """Pressure of the incoming wave alone at times t, linear between."""


@dataclass(frozen=True)
class Pressure:
    """Static pressure held at the end."""

    t: ArrayLike
    p: ArrayLike
    T: float
    """Static temperature of gas that enters."""


@dataclass(frozen=True)
class Vessel:
    """Vessel behind a throat of phi times the pipe's area; finite volume is filled or emptied."""

    p: float
    T: float
    phi: ArrayLike = 1.0
    t: ArrayLike = 0.0
    volume: float = float("inf")


@dataclass(frozen=True)
class Junction:
    """Pipe ends that meet: at one pressure, or two of them by momentum."""

    ends: tuple[Place, ...]
    model: Literal["pressure", "momentum"] = "pressure"
    mixing: Literal["energy", "entropy"] = "energy"
    """What streams out of a constant-pressure junction share."""
    K: float = 0.0
    """Loss of a contraction by momentum: ln p0 falls by gamma M2 K/2, M behind it."""


End = Open | Closed | NonReflecting | Wave | Pressure | Vessel


def end_index(place: Place, pipes: int) -> int:
    """Number of a pipe end in the arrays.

    Parameters
    ----------
    place : tuple   pipe, "start" or "end" [-]
    pipes : int   How many there are [-]
    Returns
    -------
    e : int   2 pipe + side [-]
    """
    pipe, side = place
    if side not in SIDES or not 0 <= pipe < pipes:
        raise ValueError(f"no pipe end {place!r}: expected (0 .. {pipes - 1}, 'start' or 'end')")
    return 2 * pipe + SIDES.index(side)


def check(pipes: Sequence[Pipe], ends: Mapping[Place, End], junctions: Sequence[Junction]) -> None:
    """Raises ValueError unless every pipe end has exactly one law and every pipe can be meshed.

    Parameters
    ----------
    pipes, ends, junctions   as in ``solve`` [-]
    """
    used = [end_index(place, len(pipes)) for place in ends]
    for junction in junctions:
        used += [end_index(place, len(pipes)) for place in junction.ends]
        if len(junction.ends) < 2:
            raise ValueError("a junction needs two pipe ends or more")
        if junction.model == "momentum" and len(junction.ends) != 2:
            raise ValueError("a junction by momentum has two pipe ends")
    for e in range(2 * len(pipes)):
        if used.count(e) != 1:
            raise ValueError(f"pipe end {(e // 2, SIDES[e % 2])} has {used.count(e)} laws, needs 1")
    for place, end in ends.items():
        if isinstance(end, Open | Vessel) and min(end.p, end.T, getattr(end, "volume", 1.0)) <= 0.0:
            raise ValueError(f"the gas beyond {place} needs a positive p, T and volume")
    for i, pipe in enumerate(pipes):
        if pipe.cells < FEWEST:
            raise ValueError(f"pipe {i} has {pipe.cells} cells, needs {FEWEST}")
        if min(pipe.length, pipe.diameter_start, pipe.diameter_end) <= 0.0:
            raise ValueError(f"pipe {i} has no length or no bore")


def _samples(end: End | None, p_first: float) -> tuple[Floats, Floats]:
    """Times and values of an end's history; a single held value where it has none."""
    t: ArrayLike = 0.0
    value: ArrayLike = p_first
    if isinstance(end, Wave | Pressure):
        t, value = end.t, end.p
    elif isinstance(end, Vessel):
        t, value = end.t, end.phi
    elif isinstance(end, Open):
        value = 1.0
    times, values = np.atleast_1d(np.asarray(t, float)), np.atleast_1d(np.asarray(value, float))
    if times.shape != values.shape or np.any(np.diff(times) <= 0.0):
        raise ValueError("a history needs as many values as times, and rising times")
    lowest, highest = (0.0, 1.0) if isinstance(end, Vessel) else (1e-9, np.inf)
    if not (lowest <= values.min() and values.max() <= highest):
        raise ValueError("a pressure must be positive and an area ratio lie in 0 .. 1")
    return times, values


def _kind(end: End | None) -> int:
    if isinstance(end, Wave | NonReflecting):
        return WAVE
    if isinstance(end, Pressure):
        return PRESSURE
    if isinstance(end, Open | Vessel):
        return VESSEL
    return JOINED if end is None else CLOSED


def first_state(pipes: Sequence[Pipe], gas: tuple[float, float]) -> State:
    """The nodes and path lines at time zero; one path line starts at every inner node.

    Parameters
    ----------
    pipes : sequence of Pipe   [-]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    state : State   as in the class [-]
    """
    gamma, R = gas
    room = max(ROOM * pipe.cells + 8 for pipe in pipes)
    path = np.zeros((2, len(pipes), room))
    count = np.array([pipe.cells - 1 for pipe in pipes])
    parts: list[Floats] = []
    for i, pipe in enumerate(pipes):
        n = pipe.cells + 1
        p, T, u = (np.broadcast_to(np.asarray(v, float), (n,)) for v in (pipe.p, pipe.T, pipe.u))
        if np.min(p) <= 0.0 or np.min(T) <= 0.0:
            raise ValueError(f"pipe {i} starts with a pressure or temperature that is not positive")
        X = (p / P_REF) ** (0.5 * (gamma - 1.0) / gamma)
        aA = np.sqrt(gamma * R * T) / X
        parts.append(np.stack([X, u, aA]))
        path[0, i, : n - 2] = np.arange(1, n - 1) * (pipe.length / pipe.cells)
        path[1, i, : n - 2] = aA[1:-1]
    X, u, aA = np.concatenate(parts, axis=1)
    return State(X, u, aA, path, count, np.zeros((2 * len(pipes), 5)))


def _ends(
    law: Mapping[int, End], state: State, first: Any, gas: tuple[float, float]
) -> tuple[Floats, list[Floats], list[int]]:
    """Rows of ``Net.par``, histories and the vessels to record; vessels are filled."""
    gamma, R = gas
    count = len(state.vessel)
    par, samples, recorded = np.zeros((count, 4)), [], []
    for e in range(count):
        end, j = law.get(e), first[e // 2] if e % 2 == 0 else first[e // 2 + 1] - 1
        out = 1.0 if e % 2 else -1.0
        par[e] = state.X[j], out * state.u[j], state.aA[j], getattr(end, "T", 0.0)
        p_first = P_REF * state.X[j] ** (2.0 * gamma / (gamma - 1.0))
        samples.append(np.stack(_samples(end, p_first)))
        if isinstance(end, Vessel | Open):
            volume = end.volume if isinstance(end, Vessel) and np.isfinite(end.volume) else 0.0
            m, E = end.p * volume / (R * end.T), end.p * volume / (gamma - 1.0)
            state.vessel[e] = m, E, volume, end.p, end.T
        if isinstance(end, Vessel):
            recorded.append(e)
    return par, samples, recorded


def _junctions(junctions: Sequence[Junction], pipes: int) -> tuple[list[int], list[Any]]:
    """``Net.meeting`` and the rows of ``Net.junction``."""
    kinds = {"energy": BY_ENERGY, "entropy": BY_ENTROPY}
    meeting: list[int] = []
    rows = []
    for junction in junctions:
        places = [end_index(place, pipes) for place in junction.ends]
        kind = BY_MOMENTUM if junction.model == "momentum" else kinds[junction.mixing]
        rows.append((len(meeting), len(meeting) + len(places), kind))
        meeting += places
    return meeting, rows


def build(
    pipes: Sequence[Pipe],
    ends: Mapping[Place, End],
    junctions: Sequence[Junction],
    gas: tuple[float, float],
    probes: Sequence[tuple[int, float]],
    order: int,
) -> tuple[Net, State, Work, Watch]:
    """The arrays of a network.

    Parameters
    ----------
    pipes, ends, junctions, gas, probes, order   as in ``solve`` [-]
    Returns
    -------
    net, state, work, watch : Net, State, Work, Watch   as in the classes [-]
    """
    check(pipes, ends, junctions)
    count = 2 * len(pipes)
    state = first_state(pipes, gas)
    first = np.concatenate([[0], np.cumsum([pipe.cells + 1 for pipe in pipes])])
    law = {end_index(place, len(pipes)): end for place, end in ends.items()}
    par, samples, recorded = _ends(law, state, first, gas)
    meeting, rows = _junctions(junctions, len(pipes))
    bores = [np.linspace(q.diameter_start, q.diameter_end, q.cells + 1) for q in pipes]
    slopes = [(q.diameter_end - q.diameter_start) / q.length for q in pipes]
    net = Net(
        gamma=float(gas[0]),
        R=float(gas[1]),
        order=order,
        first=first,
        D=np.concatenate(bores),
        pipe=np.array(
            [
                (q.length / q.cells, slope, q.f_D, q.T_wall)
                for q, slope in zip(pipes, slopes, strict=True)
            ]
        ),
        kind=np.array([_kind(law.get(e)) for e in range(count)]),
        par=par,
        sample_first=np.concatenate([[0], np.cumsum([part.shape[1] for part in samples])]),
        sample=np.concatenate(samples, axis=1),
        meeting=np.array(meeting, dtype=int),
        junction=np.array(rows, dtype=int).reshape(-1, 3),
        K=np.array([junction.K for junction in junctions], dtype=float),
    )
    bend, end = np.zeros((2, len(state.X))), np.zeros((count, 6))
    watch = Watch(np.array(probes, dtype=float).reshape(-1, 2), np.array(recorded, dtype=int))
    return net, state, Work(bend, np.zeros_like(state.path), end), watch
