"""The other bank: a mirror image of this one with cylinders of its own, and the link of both."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.errors import InputError
from pulse1d.losses.straight import Straight
from pulse1d.network.crossover import Crossover
from pulse1d.network.layout import Duct
from pulse1d.run.ducts import duct_rows
from pulse1d.run.mesh import FEWEST, piped
from pulse1d.waves.pipes import Cylinder, End, Joint, Net, Open, Passage, Pipe

SIDE = "other bank: "
"""In front of the names of its pipes."""
LINK = "balance pipe"
Array = NDArray[np.float64]
BEHIND = " behind the crossover"
ACROSS = (0.0, 1.0, 0.0)


def with_other_bank(
    net: Net, design: Design, mates: Mapping[tuple[str, str], Cylinder], T: float
) -> Net:
    """Both banks, linked where the case says.

    Parameters
    ----------
    net : Net   Of one bank [SI]
    design : Design   [-]
    mates : dict   Pipe end of a cylinder to the cylinder at its place in the other bank [SI]
    T : float   Gas at the start [K]
    Returns
    -------
    net : Net   Without a crossover both banks stand side by side [SI]
    Errors      InputError for a crossover where no pipe has room for it.
    """
    downstream = design.case.downstream
    crossover = downstream.crossover if downstream is not None else None
    if crossover is None:
        return both(net, mates)
    net, upper, lower = cut(net, design, crossover)
    doubled = both(net, mates)
    before = ((upper, "stop"), (SIDE + upper, "stop"))
    behind = ((lower, "start"), (SIDE + lower, "start"))
    cos, sin = math.cos(crossover.angle), math.sin(crossover.angle)
    arriving = ((-cos, sin, 0.0), (-cos, -sin, 0.0))
    if crossover.kind == "cross":
        leaving = ((cos, sin, 0.0), (cos, -sin, 0.0))
        meeting = Joint((*before, *behind), (*arriving, *leaving))
        return replace(doubled, nodes=(*doubled.nodes, meeting))
    if crossover.kind == "single pipe":
        gone = behind_of(doubled, SIDE + lower)
        meeting = Joint((*before, behind[0]), (*arriving, (1.0, 0.0, 0.0)))
        return replace(
            doubled,
            pipes={name: pipe for name, pipe in doubled.pipes.items() if name not in gone},
            ends={at: end for at, end in doubled.ends.items() if at[0] not in gone},
            nodes=(
                *(n for n in doubled.nodes if not any(name in gone for name, _ in n.ends)),
                meeting,
            ),
        )
    assert crossover.section is not None  # both checked when the spec was made
    assert crossover.length is not None
    straight = Straight(length=crossover.length)
    rows = duct_rows(design, Duct(section=crossover.section, pieces=(straight,)))
    case = design.case
    link, _, _ = piped(LINK, rows, case.numerics.cell, case.bench.room.pressure, T)
    along = ((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), ACROSS)
    tees = (
        Joint((before[0], behind[0], (LINK, "start")), along, True),
        Joint((before[1], behind[1], (LINK, "stop")), along, True),
    )
    return replace(doubled, pipes={**doubled.pipes, **link}, nodes=(*doubled.nodes, *tees))


def both(net: Net, mates: Mapping[tuple[str, str], Cylinder]) -> Net:
    """A network beside its mirror image.

    Parameters
    ----------
    net, mates : as in ``with_other_bank``
    Returns
    -------
    net : Net   [SI]
    """
    other = {SIDE + name: pipe for name, pipe in net.pipes.items()}
    ends: dict[tuple[str, str], End] = {
        (SIDE + at[0], at[1]): mates.get(at, end) for at, end in net.ends.items()
    }
    nodes = tuple(
        replace(node, ends=tuple((SIDE + name, side) for name, side in node.ends))  # type: ignore[arg-type]
        for node in net.nodes
    )
    return replace(
        net, pipes={**net.pipes, **other}, ends={**net.ends, **ends}, nodes=(*net.nodes, *nodes)
    )


def way_out(net: Net) -> list[str]:
    """Pipes in front of the outlet up to the first joint, the last one first.

    Parameters
    ----------
    net : Net   Of one bank [-]
    Returns
    -------
    names : list of str   [-]
    """
    names = [next(name for (name, _), end in net.ends.items() if isinstance(end, Open))]
    before = {node.ends[1]: node.ends[0] for node in net.nodes if isinstance(node, Passage)}
    while (names[-1], "start") in before:
        names.append(before[names[-1], "start"][0])
    return names


def cut(net: Net, design: Design, crossover: Crossover) -> tuple[Net, str, str]:
    """A network whose downstream pipe is open at the crossover.

    Parameters
    ----------
    net : Net   Of one bank [SI]
    design : Design   [-]
    crossover : Crossover   [-]
    Returns
    -------
    net, upper, lower : Net, str, str   The pipes that end and start there [SI, -, -]
    Errors      InputError where the pipe around it is too short for FEWEST cells on either side.
    """
    downstream = design.case.downstream
    assert downstream is not None
    left = sum(piece.path_length() for piece in downstream.pieces) - crossover.at
    for name in way_out(net):
        pipe = net.pipes[name]
        if left <= pipe.length:
            break
        left -= pipe.length
    if pipe.cells < 2 * FEWEST:
        message = f"the crossover stands where a pipe is only {1e3 * pipe.length:.0f} mm long"
        remedy = (
            f"move it to a length of at least {2e3 * FEWEST * design.case.numerics.cell:.0f} mm "
            "without a step of section, or state a smaller `cell` under `numerics`"
        )
        place = ("downstream", "crossover", "at")
        raise InputError([design.document.problem(place, message, remedy)])
    k = round((pipe.length - left) / pipe.length * pipe.cells)
    k = min(max(k, FEWEST), pipe.cells - FEWEST)
    lower = name + BEHIND
    pipes = {**net.pipes, name: part(pipe, 0, k), lower: part(pipe, k, pipe.cells)}
    moved = {(name, "stop"): (lower, "stop")}
    ends = {moved.get(at, at): end for at, end in net.ends.items()}
    nodes = tuple(
        replace(node, ends=tuple(moved.get(at, at) for at in node.ends))  # type: ignore[arg-type]
        for node in net.nodes
    )
    return replace(net, pipes=pipes, ends=ends, nodes=nodes), name, lower


def part(pipe: Pipe, first: int, last: int) -> Pipe:
    """Some cells of a pipe, which is given by faces and rows.

    Parameters
    ----------
    pipe : Pipe   [SI]
    first, last : int   Cells first .. last - 1 [-]
    Returns
    -------
    pipe : Pipe   [SI]
    """
    dx = pipe.length / pipe.cells
    return replace(
        pipe,
        length=(last - first) * dx,
        cells=last - first,
        area=np.asarray(pipe.area)[first : last + 1],
        rows={row: np.asarray(values)[first:last] for row, values in (pipe.rows or {}).items()},
    )


def behind_of(net: Net, first: str) -> set[str]:
    """A pipe and those behind it up to the open end.

    Parameters
    ----------
    net : Net   [-]
    first : str   Pipe [-]
    Returns
    -------
    names : set of str   [-]
    """
    names = {first}
    after = {n.ends[0]: n.ends[1] for n in net.nodes if isinstance(n, Passage)}
    while (first, "stop") in after:
        first = after[first, "stop"][0]
        names.add(first)
    return names


def mirrored(names: Iterable[str], net: Net) -> tuple[str, ...]:
    """Pipes of the other bank at the places of this one's.

    Parameters
    ----------
    names : iterable of str   [-]
    net : Net   Of both banks [-]
    Returns
    -------
    names : tuple of str   Behind a single pipe's start, this bank's own [-]
    """
    return tuple(SIDE + name if SIDE + name in net.pipes else name for name in names)


def with_cut(names: Iterable[str], net: Net) -> tuple[str, ...]:
    """Pipes of a way, that behind the crossover put in its place.

    Parameters
    ----------
    names : iterable of str   As meshed [-]
    net : Net   [-]
    Returns
    -------
    names : tuple of str   [-]
    """
    found = []
    for name in names:
        found.append(name)
        if name + BEHIND in net.pipes:
            found.append(name + BEHIND)
    return tuple(found)
