"""A file that was read: its plain data, and the file and line where each value was written."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any, TypeAlias

from pulse1d.errors import Problem

Place: TypeAlias = "tuple[str | int, ...]"
"""Where a value stands in the data: keys and list positions from the top."""
Mark: TypeAlias = "tuple[Path, int]"
"""Where a value was written: file and 1-based line."""

MAX_PROBLEMS = 200
"""Most problems listed for one file: ten screens; more is one slip made many times."""
SHOWN = 120
"""Longest source line quoted in an error [characters]: one line of a terminal, and then some."""
NEAR = 0.6
"""Least likeness of a suggested name (difflib ratio [-], its own default): two slips in five."""
LONGEST_WORD = 60
"""Longest word that is compared with others [characters]: comparing costs its square."""
FORBIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
"""Characters that YAML 1.2 (section 5.1) does not print, which could also drive a terminal, and
those that turn the direction of text, by which a line can read otherwise than it is."""
MOST_WORDS = 500
"""Most words that one is compared with: far more than keys or names of a case; bounds the time."""
_BREAK = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True)
class Document:
    """A case file as plain data that remembers where each value was written.

    ``data`` holds only dicts with text keys, lists, str, int, float, bool and None. ``marks`` maps
    a place in ``data`` to its file and line; a derived document mixes files, so a file named in
    it is relative to ``document.mark(place)[0]``, the file that names it. ``sources`` holds the
    text of every file that took part. ``problems`` were found while reading, when the caller asked
    to defer them; ``validate`` reports them together with its own.
    """

    path: Path
    text: str
    data: dict[str, Any]
    marks: dict[Place, Mark]
    sources: dict[Path, str]
    problems: tuple[Problem, ...] = ()

    def mark(self, place: Place) -> Mark:
        """File and line of a place, or of the nearest thing around it that was written."""
        for end in range(len(place), -1, -1):
            if place[:end] in self.marks:
                return self.marks[place[:end]]
        return self.path, 1

    def problem(self, place: Place, message: str, remedy: str = "") -> Problem:
        """A problem with file, line and source line of a place, for checks across a whole case."""
        return problem_at(self.mark(place), self.sources, message, remedy)


def problem_at(mark: Mark, sources: Mapping[Path, str], message: str, remedy: str) -> Problem:
    """A problem that quotes the line it stands on."""
    path, line = mark
    return Problem(message, remedy, shown(path), line, source_line(sources.get(path, ""), line))


def source_line(text: str, line: int) -> str:
    """One line of a text, 1-based, without its margins, cut to ``SHOWN`` characters."""
    lines = _lines(text)
    found = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    return found if len(found) <= SHOWN else found[: SHOWN - 3] + "..."


def line_at(text: str, position: int) -> int:
    """The 1-based line of a position in a text."""
    return len(_BREAK.split(text[:position]))


def shown(path: Path) -> str:
    """A path that any terminal can print."""
    text = str(path).encode("utf-8", "backslashreplace").decode("utf-8")
    return FORBIDDEN.sub("?", text)


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The most alike of some words, blind to case and to spaces, dashes and underscores."""
    if len(word) > LONGEST_WORD:
        return None
    plain = {_plain(candidate): candidate for candidate in islice(words, MOST_WORDS)}
    found = difflib.get_close_matches(_plain(word), plain, n=1, cutoff=NEAR)
    return plain[found[0]] if found else None


def listed(words: Iterable[str], most: int = 30) -> str:
    """Words as a readable list, the first ``most`` of them (30: more than any spec has keys)."""
    every = list(words)
    return ", ".join(every[:most]) + (", ..." if len(every) > most else "")


def row_ranges(numbers: Iterable[int], most: int = 30) -> str:
    """Numbers of rows as people list them, the first ``most`` stretches: 2, 5, 8 to 12."""
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    pairs = (f"{a}" if a == b else f"{a} to {b}" if b > a + 1 else f"{a}, {b}" for a, b in spans)
    return listed(pairs, most)


@lru_cache(maxsize=8)
def _lines(text: str) -> tuple[str, ...]:
    return tuple(_BREAK.split(text))


def _plain(word: str) -> str:
    return word.lower().replace("_", " ").replace("-", " ")
