"""Pieces of metal cut into cells through the wall, as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.durability.heat_nodes import Node
from pulse1d.durability.metal import Material, Table

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Cells:
    """Nodes cut into cells, as arrays; the first cell of a node lies on its gas side."""

    own: Array
    """Which node a cell belongs to, as ones: node x cell [-]."""
    mass: Array
    """[kg]"""
    share: Array
    """Of a node's mean: node x cell [-]."""
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    """By node."""
    touch: Array
    """Area over distance to the next cell of the same node, else 0 [m]."""
    kinds: tuple[tuple[Material, NDArray[np.int64]], ...]
    """Cells of each material."""


def cells_of(nodes: Sequence[Node]) -> Cells:
    """Cut nodes into cells.

    Parameters
    ----------
    nodes : sequence of Node   [SI]
    Returns
    -------
    cells : Cells   [SI]
    Errors      ValueError for a node without thickness, area or cells, or a name used twice.
    """
    names = [node.name for node in nodes]
    for node in nodes:
        if min(node.thickness, node.area, node.layers) <= 0 or names.count(node.name) > 1:
            raise ValueError(
                f"{node.name!r} must have thickness, area and layers above 0 and a name of its own"
            )
    last = np.cumsum([node.layers for node in nodes]) - 1
    first = last - [node.layers - 1 for node in nodes]
    own, share = np.zeros((2, len(nodes), int(last[-1]) + 1))
    touch, at = np.zeros(own.shape[1]), np.zeros(own.shape[1], dtype=int)
    for i, node in enumerate(nodes):
        part = slice(first[i], last[i] + 1)
        own[i, part], at[part] = 1.0, i
        share[i, part] = 1.0 / max(node.layers - 1, 1)
        if node.layers > 1:
            share[i, [first[i], last[i]]] *= 0.5
            touch[first[i] : last[i]] = node.area * (node.layers - 1) / node.thickness
    mass = share.T @ [node.material.rho * node.area * node.thickness for node in nodes]
    kinds: dict[int, Material] = {id(node.material): node.material for node in nodes}
    each = np.array([id(nodes[i].material) for i in at])
    listed = tuple((metal, np.flatnonzero(each == key)) for key, metal in kinds.items())
    return Cells(own, mass, share, first, last, touch, listed)


def stored(cp: Table, T: Array) -> Array:
    """Heat content from 0 K on: the exact integral of a table of heat capacity.

    Parameters
    ----------
    cp : Table   [J/kg/K]
    T : array   [K]
    Returns
    -------
    h : array   [J/kg]
    """
    x, y = np.array(cp.T), np.array(cp.value)
    to_knot = y[0] * x[0] + np.append(0.0, np.cumsum(0.5 * np.diff(x) * (y[1:] + y[:-1])))
    i = np.searchsorted(x, T) - 1
    inside = to_knot[np.maximum(i, 0)] + (T - x[np.maximum(i, 0)]) * 0.5 * (
        y[np.maximum(i, 0)] + cp(T)
    )
    return np.where(i < 0, y[0] * T, inside)
