"""From a case's network to pipes of the wave solver: cells, losses along them, passages, joints."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.losses.element import COLUMN, Law
from pulse1d.network.flat import joint_doubts
from pulse1d.network.network import OUTLET, Network
from pulse1d.network.rows import leg_rows
from pulse1d.run.correct import corrected, joint_offsets
from pulse1d.run.cuts import plain_row, split
from pulse1d.waves import walls
from pulse1d.waves.pipes import Closed, End, Joint, Net, Node, Passage, Pipe, TwoGases

Array = NDArray[np.float64]

FEWEST = 4
"""Cells that every pipe has at least."""
MOST = 200_000
"""Cells of a net at the most: 2 km of duct at 10 mm, some 100 MB; a cycle would take minutes."""
STUB = 4e-3
"""Length given to a leg without pieces [m]."""
L, A_1, A_2, D_1, D_2 = (COLUMN[name] for name in ("L", "A_1", "A_2", "D_1", "D_2"))


@dataclass(frozen=True)
class Meshed:
    """A wave net of a case, and where its stations lie."""

    net: Net
    chains: dict[str, tuple[tuple[str, float], ...]]
    """Per port: the pipes on its way to the outlet, with their lengths [m]."""
    notes: tuple[str, ...]
    marks: dict[str, tuple[tuple[float, str], ...]]
    """Per port: distance and name of what lies on the way, such as joints [m]."""

    def where(self, port: str, distance: float) -> tuple[str, float]:
        """Pipe and place of a distance from a port along its way to the outlet.

        Parameters
        ----------
        port : str   [-]
        distance : float   [m]
        Returns
        -------
        pipe, x : str, float   [-, m]
        Errors      ValueError beyond the outlet.
        """
        left = distance
        for pipe, length in self.chains[port]:
            if left <= length + 1e-9:
                return pipe, min(left, length)
            left -= length
        raise ValueError(
            f"{1e3 * distance:g} mm from port {port} lies {1e3 * left:.0f} mm beyond the outlet"
        )


def wave_net(
    design: Design,
    network: Network,
    *,
    cell: float,
    gas: TwoGases,
    p: float,
    T: float,
    ends_at_ports: Mapping[str, End],
    end_at_outlet: End,
    developing: bool = False,
    heads: Mapping[str, Array] = MappingProxyType({}),
) -> Meshed:
    """Mesh a design's network for the wave solver, at rest, its calibration applied.

    Parameters
    ----------
    design : Design   [-]
    network : Network   The design's, on the bench or behind the engine that it stands on [SI]
    cell : float   Cell length aimed at [m]
    gas : TwoGases   [-]
    p, T : float   State at the start [Pa, K]
    ends_at_ports : dict   Port to what stands there; ports left out are closed [-]
    end_at_outlet : End   [-]
    developing : bool   The boundary layer develops from a radiused entry at the ports [-]
    heads : dict   Port to rows of a duct in front of its runner, part of the same pipe [SI]
    Returns
    -------
    meshed : Meshed   [SI]
    Errors      ValueError for a cell length that is not above 0; InputError for a net of more than
                MOST cells.
    Limits      MOST
    Source      ``pulse1d.losses`` for the rows; friction and losses as in the steady march
    """
    if not cell > 0.0:
        raise ValueError(f"a cell length of {cell:g} m is not above 0")
    check_cells("the part", sum(leg.length for leg in network.legs), cell, str(design.path))
    pipes: dict[str, Pipe] = {}
    ends: dict[tuple[str, str], End] = {}
    nodes: list[Node] = []
    notes: list[str] = []
    firsts, lasts, parts = [], [], []
    calibration = design.case.calibration
    for i, leg in enumerate(network.legs):
        rows = corrected(leg_rows(network, i, design.keys), calibration).steps
        if not len(rows) or not np.any(rows[:, L] > 0.0):
            rows = np.concatenate([rows, stub_row(leg.section_end.area, leg.section_end.D_h)])
            notes.append(f"{leg.name}: no length; meshed as {1e3 * STUB:g} mm")
        port = network.starts[i].removeprefix("port ")
        entry = 0.0 if developing and network.starts[i].startswith("port ") else -1.0
        own, between, note = piped(leg.name, rows, cell, p, T, entry, heads.get(port))
        names = list(own)
        pipes |= own
        nodes += between
        notes += note
        if network.starts[i].startswith("port "):
            ends[names[0], "start"] = ends_at_ports.get(port, Closed())
        if network.ends[i] == OUTLET:
            ends[names[-1], "stop"] = end_at_outlet
        firsts.append(names[0])
        lasts.append(names[-1])
        parts.append([(name, pipes[name].length) for name in names])
    for joint, meeting in network.joints.values():
        nodes.append(
            Joint(
                tuple(
                    (lasts[e.leg], "stop") if e.at_end else (firsts[e.leg], "start")
                    for e in meeting
                ),
                tuple(
                    (float(d[0]), float(d[1]), float(d[2])) for d in (e.direction for e in meeting)
                ),
                joint.kind == "branch",
                tuple(
                    joint_offsets(
                        joint_doubts(network, meeting, design.keys), len(meeting), calibration
                    )
                ),
            )
        )
    chains, marks = ways(network, parts)
    return Meshed(Net(pipes, ends, tuple(nodes), gas), chains, tuple(notes), marks)


def piped(
    name: str,
    rows: Array,
    cell: float,
    p: float,
    T: float,
    entry: float = -1.0,
    front: Array | None = None,
) -> tuple[dict[str, Pipe], list[Passage], list[str]]:
    """Pipes of consecutive rows, and the passages between them.

    Parameters
    ----------
    name : str   Of the pipe; numbered where there are several [-]
    rows : (n, k) array   At least one with a length [SI]
    cell, p, T : float   As in ``wave_net`` [m, Pa, K]
    entry : float   Distance of the start from a radiused entry, -1 for none [m]
    front : array or None   Rows in front that become part of the first pipe [SI]
    Returns
    -------
    pipes, passages, notes : dict, list, list   In order [SI]
    """
    pieces, between, padded = split(rows, cell)
    if front is not None:
        pieces[0] = np.concatenate([front, pieces[0]])
    names = [name if len(pieces) == 1 else f"{name} [{k + 1}]" for k in range(len(pieces))]
    pipes, notes = {}, []
    if padded:
        notes.append(f"{name}: a cell's length of duct put beside what stands at its end")
    for own, piece in zip(names, pieces, strict=True):
        pipes[own], note = pipe_of(piece, cell, p, T, entry, own)
        entry = entry + pipes[own].length if entry >= 0.0 else entry
        notes += note
    passages = [
        Passage(((a, "stop"), (b, "start")), steps)
        for a, b, steps in zip(names[:-1], names[1:], between, strict=True)
    ]
    return pipes, passages, notes


def ways(
    network: Network, parts: list[list[tuple[str, float]]]
) -> tuple[dict[str, tuple[tuple[str, float], ...]], dict[str, tuple[tuple[float, str], ...]]]:
    """Pipes on the way of each port, and what lies on it.

    Parameters
    ----------
    network : Network   [-]
    parts : list of list of (pipe, length)   Of each leg [m]
    Returns
    -------
    chains, marks : dicts   As in ``Meshed`` [m]
    """
    chains, marks = {}, {}
    for port in network.port_names:
        legs = network.chain(port) or [network.runner_index(port)]
        chains[port] = tuple(part for leg in legs for part in parts[leg])
        at, found = 0.0, []
        for leg in legs:
            at += sum(length for _, length in parts[leg])
            found.append((at, network.ends[leg]))
        marks[port] = tuple(found)
    return chains, marks


def stub_row(area: float, D_h: float) -> Array:
    """A short plain duct.

    Parameters
    ----------
    area, D_h : float   [m2, m]
    Returns
    -------
    rows : (1, k) array   [SI]
    """
    return plain_row(area, D_h, STUB)


def pipe_of(
    rows: Array, cell: float, p: float, T: float, entry: float, name: str
) -> tuple[Pipe, list[str]]:
    """One pipe from consecutive rows: shape, friction, and losses spread over lengths.

    Parameters
    ----------
    rows : (n, k) array   Steps, ducts and small jets [SI]
    cell, p, T : float   As in ``wave_net`` [m, Pa, K]
    entry : float   Distance of its start from a radiused entry, -1 for none [m]
    name : str   For notes [-]
    Returns
    -------
    pipe, notes : Pipe, list of str   [SI]
    Errors      InputError for more than MOST cells.
    """
    length = float(rows[:, L].sum())
    check_cells(name, length, cell)
    cells = max(round(length / cell), FEWEST)
    notes = []
    if length / cells < 0.75 * cell:
        notes.append(f"{name}: refined to {cells} cells of {1e3 * length / cells:.1f} mm")
    faces = np.linspace(0.0, length, cells + 1)
    stops = np.cumsum(rows[:, L])
    starts = stops - rows[:, L]
    table = {row: np.zeros(cells) for row in range(walls.COLUMNS)}
    for row, s_0, s_1 in zip(rows, starts, stops, strict=True):
        if row[L] > 0.0:
            share = overlap(faces, s_0, s_1)
            weight = share * row[L] / np.diff(faces)
            table[walls.D_H] += weight * 0.5 * (row[D_1] + row[D_2])
            for key, column in WALL:
                table[key] += weight * row[COLUMN[column]]
        else:
            s_0, s_1 = spread(s_0, length, length / cells)
            share = overlap(faces, s_0, s_1)
        K_0, K_f = row_losses(row)
        table[walls.K0_M] += share * K_0 / np.diff(faces)
        table[walls.KF_M] += share * K_f / np.diff(faces)
        table[walls.MACH] += share * K_0 / np.diff(faces) * row[COLUMN["mach"]]
    table[walls.MACH] /= np.maximum(table[walls.K0_M], 1e-300)
    table[walls.X_IN] = entry + faces[:-1] if entry >= 0.0 else np.full(cells, -1.0)
    return Pipe(
        length, area=face_areas(rows, starts, faces), cells=cells, p=p, T=T, rows=table
    ), notes


def check_cells(what: str, length: float, cell: float, file: str = "") -> None:
    """Refuse a mesh that no machine would march.

    Parameters
    ----------
    what : str   What is meshed, for the message [-]
    length, cell : float   Of all its ducts, and of a cell [m]
    file : str   The case, for the message [-]
    Errors      InputError for more than MOST cells.
    """
    if not length / cell <= MOST:
        message = f"{what}: {length:.4g} m in cells of {1e3 * cell:g} mm are more than {MOST} cells"
        remedy = "look for a length that is far too long, or give a longer `cell` under numerics"
        raise InputError([Problem(message, remedy, file)])


WALL = (
    (walls.EPS, "eps"),
    (walls.F_FACTOR, "f_factor"),
    (walls.F_FIXED, "f_fixed"),
    (walls.T_WALL, "T_w"),
    (walls.OUTER, "outer"),
)


def row_losses(row: Array) -> tuple[float, float]:
    """K and its friction part of a row, on the velocity head of the pipe at its place.

    Parameters
    ----------
    row : (k,) array   Step [SI]
    Returns
    -------
    K0, Kf : float   A small jet's is that of its mixing, (A_2/jet - 1)^2 [-]
    """
    if row[COLUMN["law"]] == Law.JET:
        return max(float(row[A_2] / row[COLUMN["jet"]]) - 1.0, 0.0) ** 2, 0.0
    return float(row[COLUMN["K0"]]), float(row[COLUMN["Kf"]])


def spread(s: float, length: float, dx: float) -> tuple[float, float]:
    """The cell-long stretch over which a loss at a place is spread.

    Parameters
    ----------
    s, length, dx : float   Place, pipe length, cell length [m]
    Returns
    -------
    start, stop : float   [m]
    """
    start = min(max(s - 0.5 * dx, 0.0), length - dx)
    return start, start + dx


def overlap(faces: Array, start: float, stop: float) -> Array:
    """Share of a stretch that lies in each cell.

    Parameters
    ----------
    faces : (n + 1,) array   [m]
    start, stop : float   [m]
    Returns
    -------
    share : (n,) array   Adds up to 1 [-]
    """
    inside = np.minimum(faces[1:], stop) - np.maximum(faces[:-1], start)
    return np.asarray(np.maximum(inside, 0.0) / (stop - start))


def face_areas(rows: Array, starts: Array, faces: Array) -> Array:
    """Area at each face; the equivalent diameter runs linearly along a duct.

    Parameters
    ----------
    rows, starts : (n, k), (n,) arrays   Steps and where they begin [SI]
    faces : (m,) array   [m]
    Returns
    -------
    A : (m,) array   [m2]
    """
    s: list[float] = []
    d: list[float] = []
    for row, at in zip(rows, starts, strict=True):
        if row[L] > 0.0:
            s += [at, at + row[L]]
            d += [math.sqrt(row[A_1]), math.sqrt(row[A_2])]
    return np.asarray(np.interp(faces, s, d) ** 2)
