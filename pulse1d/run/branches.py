"""Ports that several cylinders share: each has a branch of the port of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from pulse1d.run.mesh import FEWEST
from pulse1d.waves.pipes import Cylinder, Joint, Net


def with_branches(
    net: Net, shared: Mapping[str, tuple[str, ...]], valves: Mapping[str, Cylinder], cell: float
) -> Net:
    """The network with the cylinders of shared ports joined to the runner's start.

    Parameters
    ----------
    net : Net   Whose shared runners start at a single cylinder [SI]
    shared : dict   First pipe of a shared runner to its cylinders [-]
    valves : dict   Cylinder to what stands at its branch [SI]
    cell : float   Cell length aimed at; a branch is FEWEST of them long [m]
    Returns
    -------
    net : Net   Branches of the runner's own area meet at one static pressure [SI]
    Limits      a case does not state the branches' lengths; 40 mm is usual (judgement)
    """
    pipes, ends, nodes = dict(net.pipes), dict(net.ends), list(net.nodes)
    for first, cylinders in shared.items():
        del ends[first, "start"]
        area = float(np.asarray(pipes[first].area)[0])
        for name in cylinders:
            rows = {
                row: np.full(FEWEST, np.asarray(values)[0])
                for row, values in (pipes[first].rows or {}).items()
            }
            pipes[branch(name)] = replace(
                pipes[first], length=FEWEST * cell, cells=FEWEST, area=area, rows=rows
            )
            ends[branch(name), "start"] = valves[name]
        meeting = (*((branch(name), "stop") for name in cylinders), (first, "start"))
        nodes.append(Joint(meeting))
    return replace(net, pipes=pipes, ends=ends, nodes=tuple(nodes))


def branch(cylinder: str) -> str:
    """Name of a cylinder's own branch.

    Parameters
    ----------
    cylinder : str   [-]
    Returns
    -------
    name : str   [-]
    """
    return f"branch of cylinder {cylinder}"
