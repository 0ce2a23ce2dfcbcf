"""Ducts between exhaust valves and flange: a port's own passage, branches of a shared port."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.losses.element import COLUMN, Law, Step
from pulse1d.run.ducts import duct_rows
from pulse1d.run.hot_walls import KEPT
from pulse1d.run.mesh import FEWEST, piped
from pulse1d.waves.pipes import Cylinder, Joint, Net, Passage, Pipe
from pulse1d.waves.walls import F_FACTOR, K0_M, KF_M, OUTER, T_WALL

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Valve:
    """Where a cylinder stands: its valve, and the way from there to the flange."""

    pipe: str
    """At whose start the cylinder stands."""
    before: tuple[str, ...]
    """Pipes in front of the runner's start."""
    probe: tuple[str, float]
    """The flange; at a shared port, the end of the cylinder's own duct [-, m]."""


def with_heads(
    net: Net,
    design: Design,
    runners: Mapping[str, str],
    valves: Mapping[str, Cylinder],
    T: float,
) -> tuple[Net, dict[str, Valve]]:
    """The network with the head's ducts between the cylinders and the runners.

    Parameters
    ----------
    net : Net   Whose runners start at one cylinder each [SI]
    design : Design   [-]
    runners : dict   Cylinder to the first pipe of its runner [-]
    valves : dict   Cylinder to what stands at its valve [SI]
    T : float   Gas at the start [K]
    Returns
    -------
    net, heads : Net, dict   Cylinders of a shared port meet at one static pressure [SI, -]
    Limits      without a passage a shared port's branches are FEWEST cells long; 40 mm is usual
                (judgement)
    """
    passage = design.case.head.passage
    pipes, ends, nodes = dict(net.pipes), dict(net.ends), list(net.nodes)
    heads: dict[str, Valve] = {}
    for first in dict.fromkeys(runners.values()):
        sharing = tuple(name for name, runner in runners.items() if runner == first)
        if passage is None and len(sharing) == 1:
            heads[sharing[0]] = Valve(first, (), (first, 0.0))
            continue
        del ends[first, "start"]
        lasts = []
        for name in sharing:
            if passage is None:
                own = {branch(name): branch_of(pipes[first], design)}
            else:
                own, between = passage_of(design, name, T)
                nodes += between
            pipes |= own
            names = tuple(own)
            ends[names[0], "start"] = valves[name]
            at = (first, 0.0) if len(sharing) == 1 else (names[-1], own[names[-1]].length)
            heads[name] = Valve(names[0], names, at)
            lasts.append(names[-1])
        meeting = (*((last, "stop") for last in lasts), (first, "start"))
        if len(lasts) == 1:
            into = float(np.asarray(pipes[lasts[0]].area)[-1])
            rows = lossless_step(into, float(np.asarray(pipes[first].area)[0]))
            nodes.append(Passage((meeting[0], meeting[1]), rows))
        else:
            nodes.append(Joint(meeting))
    return replace(net, pipes=pipes, ends=ends, nodes=tuple(nodes)), heads


def branch(cylinder: str) -> str:
    """Name of a cylinder's own duct.

    Parameters
    ----------
    cylinder : str   [-]
    Returns
    -------
    name : str   [-]
    """
    return f"head port of cylinder {cylinder}"


def branch_of(runner: Pipe, design: Design) -> Pipe:
    """A short branch of a shared port, of its runner's own area and wall.

    Parameters
    ----------
    runner : Pipe   [SI]
    design : Design   [-]
    Returns
    -------
    pipe : Pipe   [SI]
    """
    rows = {
        row: np.full(FEWEST, np.asarray(values)[0]) for row, values in (runner.rows or {}).items()
    }
    area = float(np.asarray(runner.area)[0])
    length = FEWEST * design.case.numerics.cell
    return replace(runner, length=length, cells=FEWEST, area=area, rows=rows)


def passage_of(design: Design, cylinder: str, T: float) -> tuple[dict[str, Pipe], list[Passage]]:
    """The head's own passage: its losses where they count, its wall held at what the case states.

    Parameters
    ----------
    design : Design   With a passage in its head [-]
    cylinder : str   [-]
    T : float   Gas at the start [K]
    Returns
    -------
    pipes, passages : dict, list   In order [SI]
    """
    head, case = design.case.head, design.case
    assert head.passage is not None
    rows = duct_rows(design, head.passage)
    if not head.passage_costs:
        rows = rows[(rows[:, COLUMN["law"]] == Law.DUCT) & (rows[:, COLUMN["L"]] > 0.0)]
    found, between, _ = piped(
        branch(cylinder), rows, case.numerics.cell, case.bench.room.pressure, T, 0.0
    )
    pipes = {}
    for name, pipe in found.items():
        table = dict(pipe.rows or {})
        table[T_WALL] = np.full(pipe.cells, head.passage.wall_temperature)
        table[OUTER] = np.full(pipe.cells, KEPT)
        if not head.passage_costs:
            for row in (F_FACTOR, K0_M, KF_M):
                table[row] = np.zeros(pipe.cells)
        pipes[name] = replace(pipe, rows=table)
    return pipes, between


def lossless_step(A_1: float, A_2: float) -> Array:
    """A change of area without loss; that of the flange stands in the runner's own pieces.

    Parameters
    ----------
    A_1, A_2 : float   Towards the valve and towards the outlet [m2]
    Returns
    -------
    rows : (1, k) array   [SI]
    """
    D_1, D_2 = 2.0 * np.sqrt(A_1 / np.pi), 2.0 * np.sqrt(A_2 / np.pi)
    return np.array([Step(law=Law.DUCT, A_1=A_1, A_2=A_2, D_1=D_1, D_2=D_2)], dtype=float)
