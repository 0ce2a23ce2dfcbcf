"""Ducts between exhaust valves and flange: a port's own passage, branches of a shared port."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.losses.element import COLUMN, K_COLUMNS, Law
from pulse1d.run.ducts import duct_rows
from pulse1d.run.hot_walls import KEPT
from pulse1d.run.mesh import FEWEST, piped
from pulse1d.waves.pipes import Cylinder, Joint, Net, Pipe

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Valve:
    """Where a cylinder stands: its valve, and the way from there to the flange."""

    pipe: str
    """At whose start the cylinder stands."""
    before: tuple[str, ...]
    """Pipes in front of the runner's own."""
    offset: float
    """Of the flange behind the start of the runner's pipe [m]."""
    probe: tuple[str, float]
    """The flange; at a shared port, the end of the cylinder's own duct [-, m]."""


def passage_rows(design: Design) -> Array | None:
    """The head's own passage: its losses where they count, its wall kept at what the case states.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    rows : (n, k) array or None   From the valve to the flange [SI]
    """
    head = design.case.head
    if head.passage is None:
        return None
    rows = duct_rows(design, head.passage)
    if not head.passage_costs:
        rows = rows[(rows[:, COLUMN["law"]] == Law.DUCT) & (rows[:, COLUMN["L"]] > 0.0)]
        rows[:, [COLUMN[name] for name in ("f_factor", *K_COLUMNS)]] = 0.0
    rows[:, COLUMN["T_w"]] = head.passage.wall_temperature
    rows[:, COLUMN["outer"]] = KEPT
    return rows


def with_shared_ports(
    net: Net,
    design: Design,
    runners: Mapping[str, str],
    valves: Mapping[str, Cylinder],
    T: float,
) -> tuple[Net, dict[str, Valve]]:
    """The network with a duct for each cylinder of a shared port.

    Parameters
    ----------
    net : Net   Whose runners start at one cylinder each, passages of own ports within them [SI]
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
    passage, case = passage_rows(design), design.case
    length = 0.0 if passage is None else float(passage[:, COLUMN["L"]].sum())
    pipes, ends, nodes = dict(net.pipes), dict(net.ends), list(net.nodes)
    heads: dict[str, Valve] = {}
    for first in dict.fromkeys(runners.values()):
        sharing = tuple(name for name, runner in runners.items() if runner == first)
        if len(sharing) == 1:
            heads[sharing[0]] = Valve(first, (), length, (first, length))
            continue
        del ends[first, "start"]
        lasts = []
        for name in sharing:
            own = {branch(name): branch_of(pipes[first], case.numerics.cell)}
            if passage is not None:
                own, _, _ = piped(
                    branch(name), passage, case.numerics.cell, case.bench.room.pressure, T
                )
            pipes |= own
            (only,) = own  # rows of a passage are not cut
            ends[only, "start"] = valves[name]
            heads[name] = Valve(only, (only,), 0.0, (only, own[only].length))
            lasts.append((only, "stop"))
        nodes.append(Joint((*lasts, (first, "start"))))
    return replace(net, pipes=pipes, ends=ends, nodes=tuple(nodes)), heads


def branch(cylinder: str) -> str:
    """Name of the duct of a cylinder that shares its port.

    Parameters
    ----------
    cylinder : str   [-]
    Returns
    -------
    name : str   [-]
    """
    return f"head port of cylinder {cylinder}"


def branch_of(runner: Pipe, cell: float) -> Pipe:
    """A short branch of a shared port, of its runner's own area and wall.

    Parameters
    ----------
    runner : Pipe   [SI]
    cell : float   Cell length [m]
    Returns
    -------
    pipe : Pipe   [SI]
    """
    rows = {
        row: np.full(FEWEST, np.asarray(values)[0]) for row, values in (runner.rows or {}).items()
    }
    area = float(np.asarray(runner.area)[0])
    return replace(runner, length=FEWEST * cell, cells=FEWEST, area=area, rows=rows)
