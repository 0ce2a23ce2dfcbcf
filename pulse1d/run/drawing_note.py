"""One note that a drawing could carry: what, why, and whose word it is."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.sources import cite

FIRST = (
    "Suggestions, not requirements: the foundry's and the welder's own rules come first, and so "
    "do local codes and licensed practice where a part can hurt someone."
)
PRACTICE = "common practice, no source"
MEMORY = "typical of the trade, from memory"


def by_law(name: str, keys: str) -> str:
    """The source of a figure that one of pulse1d's own laws gave.

    Parameters
    ----------
    name : str   Of the piece [-]
    keys : str   Of ``pulse1d.sources`` [-]
    Returns
    -------
    text : str   [-]
    """
    return f"computed by the {name}'s law: {cite(keys).replace(' | ', '; ')}"


@dataclass(frozen=True)
class Note:
    """A suggestion for the pattern shop or the fabricator."""

    topic: str
    text: str
    """What the drawing could say."""
    reason: str
    source: str
