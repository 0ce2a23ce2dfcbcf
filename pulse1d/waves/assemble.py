"""From a wave problem to the arrays that the compiled kernel marches."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.waves.end_states import gas_of
from pulse1d.waves.kinds import (
    Mode,
)
from pulse1d.waves.node_arrays import intake_of, node_arrays
from pulse1d.waves.pipes import (
    ConstantGas,
    Net,
    Pipe,
)
from pulse1d.waves.walls import COLUMNS, D_H, EPS, F_FACTOR, F_FIXED, H_FIXED, T_WALL, X_IN

Array = NDArray[np.float64]
GHOSTS = 2


@dataclass(frozen=True)
class Arrays:
    """Everything the kernel takes, and where each pipe lies in it."""

    legs: tuple[Any, ...]
    cells: tuple[Array, ...]
    work: tuple[Array, ...]
    shape: tuple[Array, ...]
    wall: tuple[Array, ...]
    ends: tuple[Any, ...]
    nodes: tuple[Any, ...]
    gases: tuple[Array, Array]
    x: dict[str, Array]
    """Cell centres of each pipe [m]."""
    place: dict[str, slice]
    mode: Mode
    two_gases: bool
    heated: bool
    is_closed: NDArray[np.bool_]


def along(value: Any, x: Array, what: str) -> Array:
    """Values at places along a pipe from a number, an array or a function of x.

    Parameters
    ----------
    value : number, array or function   [any]
    x : (n,) array   Places [m]
    what : str   For the message [-]
    Returns
    -------
    values : (n,) array   [any]
    Errors      ValueError for a wrong length, or values that are not finite.
    """
    values = np.asarray(value(x) if callable(value) else value, dtype=float)
    values = np.full(len(x), values) if values.ndim == 0 else values
    if values.shape != x.shape:
        raise ValueError(f"{what} has {values.size} values where {len(x)} are needed")
    if not np.all(np.isfinite(values)):
        raise ValueError(f"{what} holds a value that is not finite")
    return values


def assemble(net: Net, mode: Mode | None = None) -> Arrays:
    """Arrays of a wave problem.

    Parameters
    ----------
    net : Net   [SI]
    mode : Mode or None   None: CONSTANT for a constant gas, else EQUILIBRIUM for two gases and
        CONSERVATIVE for one [-]
    Returns
    -------
    arrays : Arrays   [SI]
    Errors      ValueError for pipes or ends that do not make a network.
    """
    check(net)
    constant = isinstance(net.gas, ConstantGas)
    two = any(_has_burned(pipe) for pipe in net.pipes.values()) or _two_gases(net)
    if constant:
        mode = Mode.CONSTANT
    elif mode is None or mode == Mode.CONSTANT:
        mode = Mode.EQUILIBRIUM if two else Mode.CONSERVATIVE
    gases = net.gas.tables()
    total = sum(pipe.cells + 2 * GHOSTS for pipe in net.pipes.values())
    cells = tuple(np.zeros(total) for _ in range(13))
    for k in (0, 2, 5, 6):
        cells[k][:] = 1.0
    cells[8][:], cells[9][:] = 1.4, 2.5
    shape = tuple(np.ones(total) for _ in range(5))
    shape[4][:] = 0.0
    wall = (np.zeros((COLUMNS, total)), np.zeros(total), np.zeros(total))
    wall[0][D_H] = wall[0][F_FACTOR] = 1.0
    x, place, offset = {}, {}, 0
    first, last, plain = [], [], []
    for name, pipe in net.pipes.items():
        a, b = offset + GHOSTS, offset + GHOSTS + pipe.cells
        x[name], place[name] = (
            fill_pipe(pipe, name, a, b, cells, shape, wall, gases, mode),
            slice(a, b),
        )
        first.append(a)
        last.append(b)
        uniform = bool(np.ptp(shape[0][a - 1 : b]) == 0.0)
        plain.append(constant and uniform and not has_wall(pipe) and not two)
        offset = b + GHOSTS
    work = (
        np.ones((3, total)), np.ones((3, total)), np.zeros((4, total)), np.ones((3, total)),
        np.zeros(total), np.zeros(total), np.zeros(total), np.zeros(total), np.ones(total),
        np.zeros(total),
    )  # fmt: skip
    legs = (np.array(first), np.array(last), np.array(plain))
    ends, nodes, closed = node_arrays(net, place, shape, cells, gases, mode)
    heated = any(has_wall(pipe) for pipe in net.pipes.values())
    return Arrays(
        legs, cells, work, shape, wall, ends, nodes, gases, x, place, mode, two, heated, closed
    )


def has_wall(pipe: Pipe) -> bool:
    """Whether a pipe's wall does anything to its gas.

    Parameters
    ----------
    pipe : Pipe   [-]
    Returns
    -------
    yes : bool   [-]
    """
    return (
        pipe.f_D > 0.0 or pipe.roughness is not None or pipe.T_wall > 0.0 or pipe.rows is not None
    )


def _has_burned(pipe: Pipe) -> bool:
    return callable(pipe.Y) or bool(np.any(np.asarray(pipe.Y) != 0.0))


def _two_gases(net: Net) -> bool:
    inflow = [*net.ends.values(), *net.nodes]
    return any(getattr(item, "Y", 0.0) != 0.0 for item in inflow)


def check(net: Net) -> None:
    """Do the pipes and what stands at their ends make a network?

    Parameters
    ----------
    net : Net   [-]
    Errors      ValueError naming the pipe and the remedy.
    """
    if not net.pipes:
        raise ValueError("a wave problem needs at least one pipe")
    for name, pipe in net.pipes.items():
        if not (pipe.length > 0.0 and math.isfinite(pipe.length)):
            raise ValueError(f"pipe {name!r}: a length of {pipe.length:g} m is not above 0")
        if pipe.cells < 4:
            raise ValueError(f"pipe {name!r}: {pipe.cells} cells are too few; give at least 4")
        if (pipe.diameter is None) == (pipe.area is None):
            raise ValueError(f"pipe {name!r}: give either a diameter or an area")
    used: list[tuple[str, str]] = list(net.ends)
    for standing in net.ends.values():
        used += intake_of(standing)
    for node in net.nodes:
        used += list(node.ends)
    for pipe_name, side in used:
        if pipe_name not in net.pipes or side not in ("start", "stop"):
            raise ValueError(
                f"there is no end ({pipe_name!r}, {side!r}); ends are (pipe, 'start' or 'stop')"
            )
    for end in ((name, side) for name in net.pipes for side in ("start", "stop")):
        if used.count(end) != 1:
            raise ValueError(
                f"end {end} has {used.count(end)} things standing at it; give it exactly one"
            )


def fill_pipe(
    pipe: Pipe, name: str, a: int, b: int, cells: Any, shape: Any, wall: Any, gases: Any, mode: Mode
) -> Array:
    """Shape, wall and start state of one pipe.

    Parameters
    ----------
    pipe : Pipe   [SI]
    name : str   For messages [-]
    a, b : int   Its cells are a .. b - 1 [-]
    cells, shape, wall, gases : as in ``Arrays``, filled
    mode : Mode   [-]
    Returns
    -------
    x : (cells,) array   Cell centres [m]
    Errors      ValueError for values that make no gas or no pipe.
    """
    faces = np.linspace(0.0, pipe.length, pipe.cells + 1)
    x, dx = 0.5 * (faces[1:] + faces[:-1]), pipe.length / pipe.cells
    if pipe.area is not None:
        A = along(pipe.area, faces, f"pipe {name!r}: area")
    else:
        A = 0.25 * math.pi * along(pipe.diameter, faces, f"pipe {name!r}: diameter") ** 2
    if not np.all(A > 0.0):
        raise ValueError(f"pipe {name!r}: its area must be above 0 everywhere")
    V = dx * (A[1:] + A[:-1] + np.sqrt(A[1:] * A[:-1])) / 3.0
    shape[0][a - 1 : b] = A
    shape[1][a:b], shape[2][a:b], shape[3][a:b] = V, 1.0 / V, 1.0 / dx
    shape[4][a:b] = np.diff(A) / V
    wall[0][D_H, a:b] = 2.0 * np.sqrt(V / dx / math.pi)
    wall[0][EPS, a:b] = pipe.roughness or 0.0
    friction = pipe.f_D > 0.0 or pipe.roughness is not None
    wall[0][F_FIXED, a:b] = pipe.f_D
    wall[0][F_FACTOR, a:b] = 1.0 if friction else 0.0
    wall[0][X_IN, a:b] = -1.0
    wall[0][T_WALL, a:b], wall[0][H_FIXED, a:b] = pipe.T_wall, pipe.h
    if pipe.rows is not None:
        for row, values in pipe.rows.items():
            wall[0][row, a:b] = along(values, x, f"pipe {name!r}: wall")
    p, T, u, Y = (
        along(value, x, f"pipe {name!r}: {what}")
        for value, what in ((pipe.p, "p"), (pipe.T, "T"), (pipe.u, "u"), (pipe.Y, "Y"))
    )
    if not (np.all(p > 0.0) and np.all(T > 0.0) and np.all((Y >= 0.0) & (Y <= 1.0))):
        raise ValueError(f"pipe {name!r}: p and T must be above 0, and Y from 0 to 1")
    for k in range(pipe.cells):
        R, gamma, e = gas_of(T[k], Y[k], int(mode), *gases)
        rho = p[k] / (R * T[k])
        i = a + k
        cells[0][i], cells[1][i] = rho, rho * u[k]
        cells[2][i] = rho * (e + 0.5 * u[k] ** 2)
        cells[3][i], cells[4][i], cells[5][i] = rho * Y[k], u[k], p[k]
        cells[6][i], cells[7][i], cells[8][i] = T[k], Y[k], gamma
        cells[9][i] = 1.0 / (gamma - 1.0)
        cells[10][i] = e - p[k] * cells[9][i] / rho
        cells[11][i] = math.sqrt(gamma * p[k] * rho)
        cells[12][i] = 1.0 / rho
    return x
