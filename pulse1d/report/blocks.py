"""What a section of the page is made of, free of any markup."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    text: str
    role: Literal["plain", "lead", "note", "caution"] = "plain"
    kind: Literal["words"] = "words"


@dataclass(frozen=True)
class Points:
    """A list of sentences."""

    items: tuple[str, ...]
    role: Literal["plain", "caution"] = "plain"
    kind: Literal["points"] = "points"


@dataclass(frozen=True)
class Figure:
    """One number with what it is and what bounds it."""

    label: str
    value: str
    beneath: str


@dataclass(frozen=True)
class Figures:
    """Numbers to be read first."""

    items: tuple[Figure, ...]
    kind: Literal["figures"] = "figures"


@dataclass(frozen=True)
class Grid:
    """A table; columns of text stand to the left, of numbers to the right."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    texts: int = 1
    """How many columns at the left hold text."""
    words: bool = False
    """Whether the last column holds text, too."""
    last_is_sum: bool = False
    kind: Literal["grid"] = "grid"


@dataclass(frozen=True)
class Picture:
    """A figure, drawn by ``draw(width=...)`` [inch] when the page is made."""

    title: str
    alt: str
    draw: Callable[..., Any]
    on_paper: bool = False
    """Whether it keeps a white ground on a dark page, for its colours mean numbers."""
    kind: Literal["picture"] = "picture"


@dataclass(frozen=True)
class Fold:
    """A long text behind its title."""

    title: str
    text: str
    kind: Literal["fold"] = "fold"


Block: TypeAlias = Words | Points | Figures | Grid | Picture | Fold


@dataclass(frozen=True)
class Section:
    """A part of the page under its heading."""

    key: str
    """Its place in links, and what ``--leave-out`` calls it."""
    title: str
    blocks: tuple[Block, ...]
