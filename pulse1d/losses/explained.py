"""An element or a law, explained: what stands in its spec, its docstrings and its sources."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.losses.explain_docs import Formula, Key
from pulse1d.sources import OWN, catalogue


@dataclass(frozen=True)
class Values:
    """A small table, worked out by the code that it is about."""

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str | float, ...], ...]


@dataclass(frozen=True)
class Cited:
    """A source and how it reached this package."""

    key: str
    citation: str
    seen: str


@dataclass(frozen=True)
class Explained:
    """Everything that is known of an element or a law."""

    name: str
    kind: str
    """piece, joint, wall or law."""
    what: str
    also: tuple[str, ...]
    example: str
    """As a case file writes it."""
    keys: tuple[Key, ...]
    formulas: tuple[Formula, ...]
    stations: str
    """Which section K refers to."""
    band: tuple[str, ...]
    validity: tuple[str, ...]
    sources: tuple[Cited, ...]
    tables: tuple[Values, ...]


def cited(keys: list[str]) -> tuple[Cited, ...]:
    """Sources by their keys, each once.

    Parameters
    ----------
    keys : list of str   Texts in which keys stand, such as "rennels2012, judgement" [-]
    Returns
    -------
    sources : tuple of Cited   In the order met [-]
    """
    known, found = catalogue(), {}
    for text in keys:
        words = text.replace(",", " ").replace(";", " ").replace("(", " ").replace(")", " ").split()
        for word in words:
            if word in known:
                found[word] = Cited(word, known[word].citation, known[word].seen)
            elif word in OWN:
                found[word] = Cited(word, OWN[word], "")
    return tuple(found.values())
