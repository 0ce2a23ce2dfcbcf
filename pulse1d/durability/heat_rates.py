"""Heat into every cell of metal: gas, outside air, radiation, head, neighbours."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from pulse1d.durability.heat_cells import Array, Cells
from pulse1d.durability.heat_nodes import Link, Node

STEFAN = 5.670374419e-8
"""[W/m2/K4]"""
PATHS = ("gas", "outside air", "radiation", "head")
"""Of heat into the metal."""


def heat_rates(nodes: Sequence[Node], links: Sequence[Link], cells: Cells) -> Callable[..., Array]:
    """The heat balance of all cells, as a function of time, state and gas side.

    Parameters
    ----------
    nodes : sequence of Node   [SI]
    links : sequence of Link   [SI]
    cells : Cells   Of the nodes [SI]
    Returns
    -------
    rates : function   Of t [s], state (temperatures [K], then heat by path [J]), share of the
        gas-side coefficient [-], and whether it is hot gas or air as outside
    Errors      ValueError for a link to no node.
    Source      heat balance; radiation of a grey body in wide surroundings
    """
    area, T_g, h_g, h_o, eps, T_o, h_c, T_c, wider = (
        np.array([getattr(node, key) for node in nodes])
        for key in ("area", "T_gas", "h_gas", "h_out", "emissivity", "T_out", "contact_h",
                    "contact_T", "wider")
    )  # fmt: skip
    names = [node.name for node in nodes]
    if lost := {end for link in links for end in (link.a, link.b)} - set(names):
        raise ValueError(f"links name what is no node: {', '.join(sorted(lost))}")
    G = np.zeros((len(nodes), len(nodes)))
    for link in links:
        a, b = names.index(link.a), names.index(link.b)
        flow = link.conductance * area[a]
        G[[a, b], [b, a]] += flow
        G[[a, b], [a, b]] -= flow
    n, between = len(cells.mass), cells.touch[:-1]
    cp, k = np.empty((2, n))

    def rates(_: float, y: Array, share: float, hot: bool) -> Array:
        T = y[:n]
        for metal, mine in cells.kinds:
            cp[mine], k[mine] = metal.cp(T[mine]), metal.k(T[mine])
        skin, flux = T[cells.last], np.empty((4, len(nodes)))
        flux[0] = share * area * h_g * ((T_g if hot else T_o) - T[cells.first])
        flux[1] = area * wider * h_o * (T_o - skin)
        flux[2] = area * wider * eps * STEFAN * (T_o**4 - skin**4)
        flux[3] = area * h_c * (T_c - skin)
        Q = (G @ (cells.share @ T)) @ cells.share
        Q[cells.first] += flux[0]
        Q[cells.last] += flux[1] + flux[2] + flux[3]
        through = between * 0.5 * (k[:-1] + k[1:]) * np.diff(T)
        Q[:-1] += through
        Q[1:] -= through
        return np.append(Q / (cells.mass * cp), flux.sum(axis=1))

    return rates
