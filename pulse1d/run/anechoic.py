"""A network cut at one place and continued by a pipe so long that nothing comes back in a cycle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.assemble import Arrays, assemble
from pulse1d.waves.kinds import P_R
from pulse1d.waves.node_arrays import intake_of
from pulse1d.waves.pipes import Closed, Cylinder, Free, Joint, Net, Pipe
from pulse1d.waves.solve import WaveRun

Array = NDArray[np.float64]

TAIL = "long pipe"
FASTEST = 900.0
"""Fastest signal there and back in the long pipe [m/s]."""
COARSE = 4.0
"""Its cells over those of the pipe that it continues."""


def continued(
    net: Net, pipes: tuple[str, ...], last: str, run: WaveRun, period: float
) -> tuple[Net, WaveRun]:
    """Some of the pipes of a network, the stop of one of them continued, from the same state.

    Parameters
    ----------
    net : Net   Whole network [SI]
    pipes : tuple of str   Exhaust pipes that are kept; nodes between them are kept too, and what
        their cylinders breathe from [-]
    last : str   Pipe that is continued at its stop, by its own end area [-]
    run : WaveRun   State of the whole network; left as it is [SI]
    period : float   Within which nothing may come back [s]
    Returns
    -------
    cut, run : Net, WaveRun   The cut network, and its state to go on from with ``restart`` [SI]
    """
    cut = net_of(net, pipes, last, run, period)
    return cut, replace(run, arrays=carried(net, cut, run.arrays))


def net_of(net: Net, pipes: tuple[str, ...], last: str, run: WaveRun, period: float) -> Net:
    """The cut network itself.

    Parameters
    ----------
    net, pipes, last, run, period : as in ``continued``
    Returns
    -------
    cut : Net   [SI]
    """
    pipes = (*pipes, *(name for name in breathing(net, pipes) if name not in pipes))
    ends = {at: end for at, end in net.ends.items() if at[0] in pipes and at != (last, "stop")}
    nodes = tuple(node for node in net.nodes if all(name in pipes for name, _ in node.ends))
    met = {at for node in nodes for at in node.ends} | set(ends) | {(last, "stop")}
    met |= {at for end in ends.values() for at in intake_of(end)}
    open_ends = [(name, side) for name in pipes for side in ("start", "stop")]
    ends |= {at: Closed() for at in open_ends if at not in met}
    own = net.pipes[last]
    where = run.arrays.place[last]
    end = [float(run.arrays.cells[k][where][-1]) for k in (5, 6, 4, 7)]
    length = 0.5 * FASTEST * period
    cells = max(round(length / (COARSE * own.length / own.cells)), 8)
    area = float(run.arrays.shape[0][where.stop - 1])
    tail = Pipe(length, area=area, cells=cells, p=end[0], T=end[1], u=end[2], Y=end[3])
    meeting = Joint(((last, "stop"), (TAIL, "start")))
    return Net(
        {**{name: net.pipes[name] for name in pipes}, TAIL: tail},
        {**ends, (TAIL, "stop"): Free()},
        (*nodes, meeting),
        net.gas,
    )


def breathing(net: Net, pipes: tuple[str, ...]) -> list[str]:
    """Intake pipes of the cylinders at some pipes, with all that those pipes meet.

    Parameters
    ----------
    net : Net   Whole network [-]
    pipes : tuple of str   Exhaust pipes [-]
    Returns
    -------
    names : list of str   Intakes of other cylinders among them stay, their valves shut [-]
    """
    kept = (end for at, end in net.ends.items() if at[0] in pipes)
    found = [name for end in kept for name, _ in intake_of(end)]
    for name in found:  # grows as nodes lead on
        for node in net.nodes:
            if any(at[0] == name for at in node.ends):
                found += [other for other, _ in node.ends if other not in found]
    return found


def carried(old: Net, new: Net, state: Arrays) -> Arrays:
    """Arrays of a network that shares pipes, ends and nodes with another, in that one's state.

    Parameters
    ----------
    old, new : Net   [SI]
    state : Arrays   Of the old one [SI]
    Returns
    -------
    arrays : Arrays   Of the new one [SI]
    """
    arrays = assemble(new, state.mode)
    for name in (name for name in new.pipes if name in old.pipes):
        here, there = arrays.place[name], state.place[name]
        for mine, theirs in zip(arrays.cells, state.cells, strict=True):
            mine[here] = theirs[there]
        arrays.wall[0][:, here] = state.wall[0][:, there]
    theirs_at = {id(item): n for n, item in enumerate((*old.ends.values(), *old.nodes))}
    for n, item in enumerate((*new.ends.values(), *new.nodes)):
        if id(item) not in theirs_at:
            continue
        m = theirs_at[id(item)]
        arrays.nodes[4][n] = state.nodes[4][m]
        a, b, count = arrays.nodes[1][n], state.nodes[1][m], arrays.nodes[2][n]
        arrays.nodes[6][a : a + count] = state.nodes[6][b : b + count]
        arrays.ends[4][a : a + count] = state.ends[4][b : b + count]
        if isinstance(item, Cylinder):
            own, its = int(arrays.nodes[3][n, P_R]), int(state.nodes[3][m, P_R])
            arrays.nodes[9][own], arrays.nodes[10][own] = state.nodes[9][its], state.nodes[10][its]
    return arrays
