"""The open part of a network as flat arrays: what the compiled network solver reads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.losses.element import Z_90, Effect
from pulse1d.network.network import OUTLET, LegEnd, Network
from pulse1d.network.rows import COMMON, Keys, Rows, end_rows, join, leg_rows

JOINT_BAND = 0.10
"""5-95 % half width (add) of a joint coefficient on its combined velocity head: the RMS distance
of the formulas from the published tables is up to 0.09."""


@dataclass(frozen=True)
class FlatNet:
    """Legs, joints and openings, SI. Node numbers: joints first, then openings.

    Rows of leg l are ``first[l] .. first[l] + count[l] - 1``, port to outlet; ``a`` and ``b`` are
    the nodes at its start and end. Leg ends at joint n are ``pointer[n] .. pointer[n+1] - 1`` of
    the ``end_`` arrays.
    """

    rows: Rows
    first: NDArray[np.int64]
    count: NDArray[np.int64]
    a: NDArray[np.int64]
    b: NDArray[np.int64]
    pointer: NDArray[np.int64]
    end_leg: NDArray[np.int64]
    end_at_end: NDArray[np.bool_]
    end_direction: NDArray[np.float64]
    end_area: NDArray[np.float64]
    has_run: NDArray[np.bool_]
    joints: tuple[str, ...]
    openings: tuple[str, ...]
    legs: tuple[int, ...]
    """Index of each leg in the network."""
    joint_effects: tuple[Effect, ...]
    """Doubts on the joint coefficients: ``step`` is the leg end."""
    joint_offsets: NDArray[np.float64]
    """Added to the joint coefficients of the leg ends by a calibration [-]."""


def open_legs(network: Network, ports: tuple[str, ...]) -> list[int]:
    """Legs that can carry flow when only these ports are open: dead legs are cut back.

    Parameters
    ----------
    network : Network   The part [-]
    ports : tuple of str   Open ports [-]
    Returns
    -------
    legs : list of int   Leg indices [-]
    """
    alive = set(range(len(network.legs)))
    opened = {f"port {name}" for name in ports} | {OUTLET}
    while True:
        degree: dict[str, int] = {}
        for i in alive:
            for node in (network.starts[i], network.ends[i]):
                degree[node] = degree.get(node, 0) + 1
        dead = {
            i
            for i in alive
            for node in (network.starts[i], network.ends[i])
            if node not in opened and (node.startswith("port ") or degree[node] == 1)
        }
        if not dead:
            return sorted(alive)
        alive -= dead


def flatten(network: Network, ports: tuple[str, ...], keys: Keys) -> FlatNet:
    """Flat arrays of the part with the given ports open.

    Parameters
    ----------
    network : Network   The part [-]
    ports : tuple of str   Open ports [-]
    keys : Keys   Names of its causes [-]
    Returns
    -------
    flat : FlatNet   [SI]
    Source      the pieces of ``pulse1d.losses``
    """
    legs = open_legs(network, ports)
    touched = {network.starts[i] for i in legs} | {network.ends[i] for i in legs}
    joints = tuple(name for name in network.joints if name in touched)
    node = {name: n for n, name in enumerate(joints)}
    openings: list[str] = []
    parts: list[Rows] = []
    first: list[int] = []
    count: list[int] = []
    a: list[int] = []
    b: list[int] = []
    for i in legs:
        stretch = [leg_rows(network, i, keys)]
        for place, name in enumerate((network.starts[i], network.ends[i])):
            if name in node:
                (b if place else a).append(node[name])
                continue
            (b if place else a).append(len(joints) + len(openings))
            openings.append(name)
            port = name.removeprefix("port ") if name != OUTLET else None
            rows = end_rows(network, port, i if port is None else None)
            stretch = [*stretch, rows] if place else [rows, *stretch]
        parts.append(join(stretch))
        first.append(sum(count))
        count.append(len(parts[-1].steps))
    ends = [[end for end in network.joints[name][1] if end.leg in legs] for name in joints]
    flat_ends = [end for group in ends for end in group]
    return FlatNet(
        rows=join(parts),
        first=np.array(first, dtype=np.int64),
        count=np.array(count, dtype=np.int64),
        a=np.array(a, dtype=np.int64),
        b=np.array(b, dtype=np.int64),
        pointer=np.cumsum([0] + [len(group) for group in ends], dtype=np.int64),
        end_leg=np.array([legs.index(end.leg) for end in flat_ends], dtype=np.int64),
        end_at_end=np.array([end.at_end for end in flat_ends], dtype=np.bool_),
        end_direction=np.array([end.direction for end in flat_ends]).reshape(-1, 3),
        end_area=np.array([end.area for end in flat_ends], dtype=float),
        has_run=np.array([network.joints[name][0].kind == "branch" for name in joints]),
        joints=joints,
        openings=tuple(openings),
        legs=tuple(legs),
        joint_effects=joint_doubts(network, flat_ends, keys),
        joint_offsets=np.zeros(len(flat_ends)),
    )


def joint_doubts(network: Network, ends: Sequence[LegEnd], keys: Keys) -> tuple[Effect, ...]:
    """Doubts on the joint coefficients of leg ends: the law's own, and each end's.

    Parameters
    ----------
    network : Network   The part [-]
    ends : sequence of LegEnd   [-]
    keys : Keys   Names of its causes [-]
    Returns
    -------
    effects : tuple of Effect   ``step`` is the place among the ends [-]
    """
    half = JOINT_BAND / Z_90 * math.sqrt(COMMON)
    return tuple(
        Effect(cause, k, "K0", "add", half)
        for k, end in enumerate(ends)
        for cause in ("junction K", f"{keys.family}: junction K of {network.legs[end.leg].name}")
    )
