"""Metal temperatures over a start: warm-up, hold, cool-down, with the heat that passed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from scipy.integrate import solve_ivp

from pulse1d.durability.heat_cells import cells_of, stored
from pulse1d.durability.heat_nodes import Link, Node
from pulse1d.durability.heat_rates import PATHS, heat_rates
from pulse1d.durability.start import Schedule, Transient, peak_difference

__all__ = ["Link", "Node", "Schedule", "Transient", "march", "peak_difference"]

TOLERANCE = 1e-11
"""Relative, of a step: so that the heat balance closes to 1e-8 over thousands of them."""
POINTS = 300
"""Instants kept of each phase, closer at its start."""


def march(nodes: Sequence[Node], links: Sequence[Link], schedule: Schedule) -> Transient:
    """Metal temperatures over one start.

    m cp(T) dT/dt = h_g A (T_g - T) - h_o A_o (T - T_o) - e s A_o (T^4 - T_o^4) - h_c A (T - T_c)
    + links + conduction through the wall

    Parameters
    ----------
    nodes : sequence of Node   [SI]
    links : sequence of Link   [SI]
    schedule : Schedule   [SI]
    Returns
    -------
    transient : Transient   [SI]
    Errors      ValueError for a bad node, a link to none, or a start without warm-up.
    Limits      gas, outside and head do not change within a phase; the head is warm from the
                first second, which makes the flange a little warmer than in a cold start. A wall
                with layers is a slab of the same volume.
    Source      ``heat_rates``
    """
    if schedule.warm_up <= 0.0:
        raise ValueError("a start needs a warm-up longer than 0 s")
    cells = cells_of(nodes)
    rates, n = heat_rates(nodes, links, cells), len(cells.mass)
    y = np.append(np.full(n, schedule.start), np.zeros(len(PATHS)))
    scale = 5e4 * float(cells.mass.sum())
    atol = np.append(np.full(n, 1e-8), np.full(len(PATHS), TOLERANCE * scale))
    t_0, t, columns = 0.0, [np.zeros(1)], [y[:, None]]
    phases = (
        (schedule.warm_up + schedule.hold, 1.0, True),
        (schedule.cool_down, schedule.motored, False),
    )
    for length, share, hot in phases:
        if length <= 0.0:
            continue
        at = t_0 + length * np.linspace(0.0, 1.0, POINTS + 1) ** 2
        now = partial(rates, share=share, hot=hot)
        y = columns[-1][:, -1]
        done = solve_ivp(now, (t_0, at[-1]), y, "LSODA", at, rtol=TOLERANCE, atol=atol)
        if not done.success:
            raise ArithmeticError(f"metal temperatures could not be marched: {done.message}")
        t.append(at[1:])
        columns.append(done.y[:, 1:])
        t_0 = float(at[-1])
    every = np.hstack(columns)
    T, heat = every[:n], every[n:, -1]
    held = sum(
        float(cells.mass[mine] @ (stored(metal.cp, T[mine, -1]) - stored(metal.cp, T[mine, 0])))
        for metal, mine in cells.kinds
    )
    gap = abs(held - float(heat.sum())) / max(float(np.abs(heat).max()), 1e-30)
    return Transient(
        tuple(node.name for node in nodes), np.concatenate(t), cells.share @ T, T[cells.first],
        T[cells.last], dict(zip(PATHS, heat.tolist(), strict=True)), gap,
    )  # fmt: skip
