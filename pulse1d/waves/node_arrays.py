"""Ends and nodes of a wave problem as the kernel takes them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.losses.element import COLUMN, Law, Step
from pulse1d.waves.boundaries.valve_cylinder import CYLINDER_PARAMETERS
from pulse1d.waves.cylinders import cylinder_parameters, fill_cylinder
from pulse1d.waves.end_states import gas_of
from pulse1d.waves.kinds import (
    ENERGY,
    HAS_RUN,
    K_IN,
    MASS,
    MASS_Y,
    P_R,
    PARAMETERS,
    PHI_IN,
    PHI_OUT,
    PRESSURE_NOW,
    ROWS,
    ROWS_END,
    STATES,
    T_NOW,
    T_R,
    TABLE,
    TABLE_END,
    VOLUME,
    Y_R,
    Kind,
    Mode,
)
from pulse1d.waves.pipes import (
    Chamber,
    Closed,
    Cylinder,
    End,
    FlowHistory,
    Free,
    Joint,
    Net,
    Node,
    Open,
    PressureHistory,
    Vessel,
)

Array = NDArray[np.float64]


def node_arrays(
    net: Net, place: Mapping[str, slice], shape: Any, cells: Any, gases: Any, mode: Mode
) -> tuple[tuple[Any, ...], tuple[Any, ...], NDArray[np.bool_]]:
    """Ends and nodes of the network.

    Parameters
    ----------
    net : Net   [SI]
    place : dict   Cells of each pipe [-]
    shape, cells, gases : as in ``Arrays``
    mode : Mode   [-]
    Returns
    -------
    ends, nodes, is_closed : tuples and array   As the kernel takes them [SI]
    """
    items: list[tuple[End | Node, Sequence[tuple[str, str]]]] = [
        (end, [where, *intake_of(end)]) for where, end in net.ends.items()
    ] + [(node, node.ends) for node in net.nodes]
    order = [where for _, ends in items for where in ends]
    cell = np.array([place[n].start if side == "start" else place[n].stop - 1 for n, side in order])
    stop = np.array([side == "stop" for _, side in order])
    area = np.array(
        [shape[0][i] if s else shape[0][i - 1] for i, s in zip(cell, stop, strict=True)]
    )
    direction = np.zeros((len(order), 3))
    par, now = np.zeros((len(items), PARAMETERS)), np.zeros((len(items), STATES))
    kind, first, count = [], [], []
    schedules: list[Array] = [np.zeros((0, 2))]
    rows: list[Array] = [np.zeros((0, len(COLUMN)))]
    fired = [item for item, _ in items if isinstance(item, Cylinder)]
    at = 0
    for n, (item, where) in enumerate(items):
        first.append(at)
        count.append(len(where))
        near = cell[at : at + len(where)]
        kind.append(
            _node(
                item, par[n], now[n], schedules, rows, direction, at, area, near, cells, gases, mode
            )
        )
        if isinstance(item, Cylinder):
            par[n, P_R] = fired.index(item)
        at += len(where)
    boundary = np.full((len(order), 3), np.nan)
    nodes = (
        np.array(kind), np.array(first), np.array(count), par, now, np.concatenate(schedules),
        boundary, np.zeros_like(now), np.concatenate(rows),
        np.array([cylinder_parameters(c) for c in fired]).reshape(-1, CYLINDER_PARAMETERS),
        np.array([c.areas for c in fired], dtype=float).reshape(-1, 4, 720),
    )  # fmt: skip
    closed = np.array([isinstance(item, Closed) for item, where in items for _ in where])
    offsets = [getattr(item, "offsets", ()) or (0.0,) * len(where) for item, where in items]
    levels = np.zeros(len(order))
    return (cell, stop, area, direction, levels, np.concatenate(offsets)), nodes, closed


def intake_of(end: Any) -> tuple[tuple[str, str], ...]:
    """The pipe end behind a cylinder's inlet valve.

    Parameters
    ----------
    end : End   [-]
    Returns
    -------
    ends : tuple of (pipe, side)   None or one [-]
    """
    intake = getattr(end, "intake", None)
    return () if intake is None else (intake,)


def _node(
    item: Any, par: Array, now: Array, schedules: list[Array], rows: list[Array], direction: Array,
    at: int, area: Array, near: NDArray[np.int64], cells: Any, gases: Any, mode: Mode,
) -> int:  # fmt: skip
    if isinstance(item, Closed):
        return Kind.CLOSED
    if isinstance(item, Free):
        return Kind.FREE
    if isinstance(item, PressureHistory | FlowHistory):
        par[P_R], par[T_R] = 1.0, getattr(item, "T", 0.0)
        par[Y_R] = getattr(item, "Y", 0.0)
        _schedule(item.history, par, schedules)
        return Kind.PRESSURE if isinstance(item, PressureHistory) else Kind.FLOW
    if isinstance(item, Open | Vessel | Chamber):
        par[P_R], par[T_R], par[Y_R], par[K_IN] = item.p, item.T, item.Y, item.K
        par[PHI_IN] = par[PHI_OUT] = 1.0
        if isinstance(item, Vessel):
            par[PHI_IN] = item.throat
            par[PHI_OUT] = item.throat if item.throat_out is None else item.throat_out
            if item.opening is not None:
                _schedule(item.opening, par, schedules)
        par[VOLUME] = getattr(item, "volume", 0.0)
        R, _, e = gas_of(item.T, item.Y, int(mode), *gases)
        now[MASS] = item.p * par[VOLUME] / (R * item.T)
        now[ENERGY], now[MASS_Y] = now[MASS] * e, now[MASS] * item.Y
        now[PRESSURE_NOW], now[T_NOW] = item.p, item.T
        return Kind.RESERVOIR
    if isinstance(item, Cylinder):
        fill_cylinder(item, par, now, gases, mode)
        return Kind.CYLINDER
    now[0], now[1] = cells[5][near].mean(), cells[6][near].mean()
    now[2], now[3] = cells[8][near].mean(), gas_of(now[1], 0.0, int(mode), *gases)[0]
    if isinstance(item, Joint):
        if item.directions is None:
            return Kind.JOINT
        direction[at : at + len(item.ends)] = item.directions
        par[HAS_RUN] = float(item.has_run)
        return Kind.LOSSY_JOINT
    start = sum(len(part) for part in rows)
    rows.append(item.rows if item.rows is not None else sudden_change(area[at], area[at + 1]))
    par[ROWS], par[ROWS_END] = start, start + len(rows[-1])
    now[0] = 0.0
    return Kind.PASSAGE


def _schedule(history: Any, par: Array, schedules: list[Array]) -> None:
    table = np.asarray(history, dtype=float)
    if table.ndim != 2 or table.shape[1] != 2 or not np.all(np.diff(table[:, 0]) > 0.0):
        raise ValueError("a schedule has two columns, the first of rising times")
    start = sum(len(part) for part in schedules)
    schedules.append(table)
    par[TABLE], par[TABLE_END] = start, start + len(table)


def sudden_change(A_1: float, A_2: float) -> Array:
    """Rows of a sudden change of area: expansion by momentum, contraction without loss.

    Parameters
    ----------
    A_1, A_2 : float   Areas towards the port and towards the outlet [m2]
    Returns
    -------
    rows : (1, k) array   [SI]
    Source      borda
    """
    narrow = min(A_1, A_2)
    D_1, D_2 = 2.0 * math.sqrt(A_1 / math.pi), 2.0 * math.sqrt(A_2 / math.pi)
    step = Step(law=Law.JET, A_1=A_1, A_2=A_2, D_1=D_1, D_2=D_2, jet=narrow, jet_rev=narrow)
    return np.array([step], dtype=float)
