"""What budgets and shares of variance call an element or a doubt, led back to its own name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from pulse1d.errors import Problem
from pulse1d.losses.catalogue import PIECES
from pulse1d.losses.explain_piece import built, example_station, told_of

TOLERANCE = re.compile(r"(bore|length|bend radius) of ")
"""A doubt that is no law's but a dimension's."""
REST = "interaction of causes"
"""As ``pulse1d.uncertainty.band`` calls what no cause explains alone."""


@lru_cache(maxsize=1)
def causes() -> Mapping[str, str]:
    """Doubts that pieces carry, each with the piece or law that it belongs to.

    Returns
    -------
    causes : mapping   In small letters; of those that end in a label, the words before it [-]
    Source      the effects of every piece's own example
    """
    found: dict[str, str] = {}
    for piece in PIECES:
        kind = str(piece.model_fields["kind"].default)
        for element in built(piece, told_of(piece).example).elements(example_station()):
            for effect in element.effects:
                found.setdefault(effect.cause.partition(":")[0].casefold(), kind)
    return found


def behind(asked: str, known: Mapping[str, str]) -> str:
    """The name behind what a user has read or calls something.

    Parameters
    ----------
    asked : str   In small letters, such as "log: junction k of joint log 1" or "entry 1" [-]
    known : mapping   Words to names [-]
    Returns
    -------
    name : str   Empty where nothing is [-]
    """
    if TOLERANCE.match(asked.rpartition(": ")[2]) and asked not in known:
        return ""
    return next((known[word] for word in _tries(asked) if word in known), "")


def no_law(asked: str) -> Problem | None:
    """What is printed among causes and is no law.

    Parameters
    ----------
    asked : str   In small letters [-]
    Returns
    -------
    problem : Problem or None   With what it is instead [-]
    """
    if TOLERANCE.match(asked.rpartition(": ")[2]):
        remedy = "`tolerances:` in the case states it; `pulse1d/CASE_FILE.md` says how"
        return Problem(f"{asked!r} is the tolerance of a dimension, no law", remedy)
    if asked == REST:
        message = f"{asked!r} is what no cause explains by itself, no law"
        return Problem(message, "explain the causes above it")
    return None


def _tries(asked: str) -> Iterator[str]:
    """Ever less of what was asked: without its leg, its place, its number, all but its noun."""
    yield asked
    yield asked.removesuffix("s")
    label, _, tail = asked.rpartition(": ")
    yield tail
    cause = tail.partition(" of ")[0]
    yield cause
    bare = cause.rstrip(" 0123456789")
    yield bare
    if label in causes():
        yield label
    if bare.startswith("joint "):
        yield "joint"
    noun = bare.rpartition(" ")[2]
    yield from (noun, noun.removesuffix("s")) if len(noun) > 1 else ()
