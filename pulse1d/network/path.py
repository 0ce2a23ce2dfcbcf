"""The single way from a port to the outlet, as rows: what one open port flows through."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.network.network import Network
from pulse1d.network.rows import (
    Keys,
    Rows,
    element_rows,
    end_rows,
    join,
    leg_rows,
    own_doubts,
    passage,
)


@dataclass(frozen=True)
class Path:
    """Rows from a port to the outlet, in that order."""

    port: str
    rows: Rows
    legs: tuple[int, ...]


def single_path(network: Network, port: str, keys: Keys, head: Rows | None = None) -> Path | None:
    """Rows of the only way from a port to the outlet, its neighbours blanked.

    Parameters
    ----------
    network : Network   The part [-]
    port : str   Port [-]
    keys : Keys   Names of its causes [-]
    head : Rows or None   Rows of the head in series, in place of the bench entry [SI]
    Returns
    -------
    path : Path or None   None when the flow can split on its way [SI]
    Source      the pieces of ``pulse1d.losses``
    """
    chain = network.chain(port)
    if chain is None:
        return None
    parts = [head if head is not None else end_rows(network, port, None)]
    for place, index in enumerate(chain):
        if place:
            name = network.starts[index]
            joint, ends = network.joints[name]
            inlet = next(e for e in ends if e.leg == chain[place - 1] and e.at_end)
            outlet = next(e for e in ends if e.leg == index and not e.at_end)
            parts.append(own_doubts(element_rows((passage(joint, inlet, outlet),)), keys))
        parts.append(leg_rows(network, index, keys))
    parts.append(end_rows(network, None, chain[-1]))
    return Path(port, join(parts), tuple(chain))
