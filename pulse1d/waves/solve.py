"""Run a wave problem and keep what it shows: the entry for anyone's own problem."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.errors import Pulse1dError
from pulse1d.waves.advance import STEPS, VACUUM, advance
from pulse1d.waves.assemble import Arrays, assemble
from pulse1d.waves.edges import LIMITERS
from pulse1d.waves.kinds import ENERGY, MASS, MASS_Y, VOLUME, Kind, Mode
from pulse1d.waves.pipes import Net

Array = NDArray[np.float64]
WATCHED = 4_000_000
"""Cells times steps between two calls of a watcher: some tenths of a second."""
MODES = {mode.name.lower(): mode for mode in Mode}


class WaveError(Pulse1dError):
    """A run that cannot go on; ``run`` holds the record so far."""

    def __init__(self, message: str, run: WaveRun) -> None:
        super().__init__(message)
        self.run = run


@dataclass(frozen=True)
class Trace:
    """Histories at one station, SI."""

    t: Array
    rho: Array
    u: Array
    p: Array
    Y: Array


@dataclass(frozen=True)
class Profile:
    """State along one pipe, SI."""

    x: Array
    rho: Array
    u: Array
    p: Array
    T: Array
    Y: Array


@dataclass(frozen=True)
class Totals:
    """What the network holds: pipes and vessels, SI."""

    mass: float
    energy: float
    burned: float


@dataclass(frozen=True)
class WaveRun:
    """A finished run, or as far as it came."""

    t: float
    steps: int
    traces: dict[str, Trace]
    profiles: dict[str, Profile]
    frames_t: Array
    frames: dict[str, Array]
    """Pressure and velocity of each pipe at the frame times, (frames, 2, cells) [Pa, m/s]."""
    start: Totals
    end: Totals
    left: Totals
    """What went out into the open air and into vessels that never empty, less what came in."""
    defect: float
    """Energy added by reading faces with each cell's own gas [J]; 0 in the other modes."""
    arrays: Arrays
    """The kernel's own state, for a restart."""
    fallbacks: int
    """Cells that fell back to first order in some step."""
    mode: str


def solve(
    net: Net,
    t_end: float,
    *,
    probes: Mapping[str, tuple[str, float]] | None = None,
    times: Array | int = 1000,
    frames: Array | int = 0,
    cfl: float = 0.9,
    limiter: str = "mc",
    mode: str | None = None,
    start_steps: int = 5,
    max_steps: int = 50_000_000,
    restart: WaveRun | None = None,
    watch: Callable[[float], bool] | None = None,
) -> WaveRun:
    """March a wave problem.

    Parameters
    ----------
    net : Net   Pipes, ends, nodes, gas [SI]
    t_end : float   End of the run [s]
    probes : dict   Name to (pipe, distance from its start [m]) of the stations to record [-]
    times : array or int   Times to record, or how many evenly spaced ones [s]
    frames : array or int   Times to keep whole pipes, or how many [s]
    cfl : float   Courant number, above 0 and at most 1 [-]
    limiter : str   "mc", "van leer", "van albada", "minmod", "none" or "first order" [-]
    mode : str   "conservative" or "equilibrium" for variable properties; None: chosen [-]
    start_steps : int   First steps, taken at a fifth of the Courant number [-]
    max_steps : int   Bound on the steps [-]
    restart : WaveRun   Go on from where this run of the same net ended, time counted anew; its
        arrays are taken over and march on [-]
    watch : function   Told the time reached now and then; the run ends there when it answers
        False [s]
    Returns
    -------
    run : WaveRun   [SI]
    Errors      ValueError for a problem that cannot be posed; WaveError, with the record so far,
        for a run that cannot go on.
    Source      ``pulse1d.waves.cells``, ``pulse1d.waves.boundaries``
    """
    if not 0.0 < cfl <= 1.0:
        raise ValueError(f"a Courant number of {cfl:g} is not above 0 and at most 1")
    if limiter not in LIMITERS:
        raise ValueError(f"no limiter is called {limiter!r}; known: {', '.join(LIMITERS)}")
    if mode is not None and mode not in MODES:
        raise ValueError(f"no mode is called {mode!r}; known: {', '.join(MODES)}")
    if not (t_end > 0.0 and np.isfinite(t_end)):
        raise ValueError(f"an end time of {t_end:g} s is not above 0")
    arrays = restart.arrays if restart else assemble(net, MODES[mode] if mode else None)
    moments = np.linspace(0.0, t_end, times + 1)[1:] if isinstance(times, int) else times
    pictures = np.linspace(0.0, t_end, frames + 1)[1:] if isinstance(frames, int) else frames
    names = dict(probes or {})
    first, last, plain = arrays.legs
    legs = (first, last, plain & (limiter == "mc"))  # the plain loops know one limiter only
    cell, weight = stations(arrays, names)
    record = (
        np.asarray(moments, dtype=float),
        np.asarray(pictures, dtype=float),
        cell,
        weight,
        np.full((len(moments), len(names), 4), np.nan),
        np.full((len(pictures), 2, len(arrays.cells[0])), np.nan),
        np.zeros(2),
    )
    before, out = totals(arrays), passed(arrays)
    counts = np.zeros(4)
    t, outcome, rate, share = 0.0, STEPS, first_rate(arrays), max_steps
    if watch is not None:
        share = max(WATCHED // len(arrays.cells[0]), 1)
    while outcome == STEPS and counts[2] < max_steps and (t == 0.0 or watch is None or watch(t)):
        steps = int(counts[2])
        t, outcome, rate = advance(
            t, t_end, cfl, max(start_steps - steps, 0), min(share, max_steps - steps), legs,
            arrays.cells, arrays.work, arrays.shape, arrays.wall, arrays.ends, arrays.nodes,
            arrays.gases, record, int(arrays.mode), LIMITERS.index(limiter), arrays.two_gases,
            arrays.is_closed, arrays.heated, counts, rate,
        )  # fmt: skip
    run = gather(arrays, record, list(names), t, counts, before, out)
    if outcome == VACUUM or (outcome == STEPS and counts[2] >= max_steps):
        raise WaveError(reason(outcome, t, counts, list(net.pipes)), run)
    return run


def reason(outcome: int, t: float, counts: Array, pipes: Sequence[str]) -> str:
    """Why a run could not go on.

    Parameters
    ----------
    outcome : int   VACUUM or STEPS [-]
    t : float   When [s]
    counts : (4,) array   Of the kernel [-]
    pipes : list of str   Names of the pipes [-]
    Returns
    -------
    text : str   [-]
    """
    if outcome == STEPS:
        return f"the bound on steps was reached at t = {t:g} s"
    assert outcome == VACUUM
    return (
        f"a cell of pipe {pipes[int(counts[3])]!r} ran empty at t = {t:g} s in spite of first "
        "order and shorter steps; a finer mesh or a gentler start may help"
    )


def stations(
    arrays: Arrays, probes: Mapping[str, tuple[str, float]]
) -> tuple[NDArray[np.int64], Array]:
    """Cells and weights that interpolate each probe.

    Parameters
    ----------
    arrays : Arrays   [-]
    probes : dict   Name to (pipe, x) [m]
    Returns
    -------
    cell, weight : (n,) arrays   Left cell, share of the right one [-]
    Errors      ValueError for a pipe or place that is not there.
    """
    cell, weight = np.zeros(len(probes), dtype=np.int64), np.zeros(len(probes))
    for k, (name, (pipe, x)) in enumerate(probes.items()):
        if pipe not in arrays.x:
            raise ValueError(f"probe {name!r}: there is no pipe {pipe!r}")
        centres = arrays.x[pipe]
        dx = centres[1] - centres[0]
        if not -1e-9 <= x <= centres[-1] + 0.5 * dx + 1e-9:
            raise ValueError(f"probe {name!r}: {x:g} m lies outside pipe {pipe!r}")
        place = min(max((x - centres[0]) / dx, 0.0), len(centres) - 1.0)
        left = min(int(place), len(centres) - 2)
        cell[k], weight[k] = arrays.place[pipe].start + left, place - left
    return cell, weight


def first_rate(arrays: Arrays) -> float:
    """Largest (|u| + a)/dx at the start.

    Parameters
    ----------
    arrays : Arrays   [SI]
    Returns
    -------
    rate : float   [1/s]
    """
    rate = 0.0
    for where in arrays.place.values():
        rho, u, p, gamma = (arrays.cells[k][where] for k in (0, 4, 5, 8))
        rate = max(
            rate, float(np.max((np.abs(u) + np.sqrt(gamma * p / rho)) * arrays.shape[3][where]))
        )
    return rate


def totals(arrays: Arrays) -> Totals:
    """Mass, energy and burned gas in the network.

    Parameters
    ----------
    arrays : Arrays   [SI]
    Returns
    -------
    totals : Totals   [SI]
    """
    sums = np.zeros(3)
    for where in arrays.place.values():
        V = arrays.shape[1][where]
        sums += [float(np.sum(arrays.cells[k][where] * V)) for k in (0, 2, 3)]
    now = arrays.nodes[4]
    vessels = arrays.nodes[3][:, VOLUME] > 0.0
    sums += [float(now[vessels, k].sum()) for k in (MASS, ENERGY, MASS_Y)]
    return Totals(*(float(s) for s in sums))


def passed(arrays: Arrays) -> Totals:
    """What reservoirs without a volume have taken up so far.

    Parameters
    ----------
    arrays : Arrays   [SI]
    Returns
    -------
    totals : Totals   [SI]
    """
    endless = (arrays.nodes[0] == Kind.RESERVOIR) & (arrays.nodes[3][:, VOLUME] <= 0.0)
    now = arrays.nodes[4][endless]
    return Totals(*(float(now[:, k].sum()) for k in (MASS, ENERGY, MASS_Y)))


def gone(now: Totals, before: Totals) -> Totals:
    """What was taken up between two times.

    Parameters
    ----------
    now, before : Totals   [SI]
    Returns
    -------
    totals : Totals   [SI]
    """
    return Totals(now.mass - before.mass, now.energy - before.energy, now.burned - before.burned)


def gather(
    arrays: Arrays, record: tuple[Any, ...], names: Sequence[str], t: float, counts: Array,
    before: Totals, out: Totals,
) -> WaveRun:  # fmt: skip
    """Put a run's record into its results.

    Parameters
    ----------
    arrays : Arrays   [SI]
    record : tuple   Of the kernel [SI]
    names : list of str   Probes [-]
    t, counts : float, array   [SI]
    before, out : Totals   Held, and gone out, at the start [SI]
    Returns
    -------
    run : WaveRun   [SI]
    """
    done, shown = int(record[6][0]), int(record[6][1])
    traces = {
        name: Trace(record[0][:done], *(record[4][:done, k, q] for q in range(4)))
        for k, name in enumerate(names)
    }
    profiles = {}
    for name, where in arrays.place.items():
        rho, u, p, Y = (arrays.cells[k][where].copy() for k in (0, 4, 5, 7))
        constant = arrays.mode == Mode.CONSTANT
        T = p / (rho * arrays.gases[0][0]) if constant else arrays.cells[6][where].copy()
        profiles[name] = Profile(arrays.x[name], rho, u, p, T, Y)
    frames = {name: record[5][:shown, :, where] for name, where in arrays.place.items()}
    return WaveRun(
        t, int(counts[2]), traces, profiles, record[1][:shown], frames, before, totals(arrays),
        gone(passed(arrays), out), float(counts[0]), arrays, int(counts[1]),
        arrays.mode.name.lower(),
    )  # fmt: skip
