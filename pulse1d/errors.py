"""Errors that a user can act on: what is wrong, where it stands, and what to do."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input: place, offending text and remedy."""

    message: str
    remedy: str = ""
    file: str = ""
    line: int | None = None
    text: str = ""

    def __str__(self) -> str:
        place = self.file
        if self.line is not None:
            place += f":{self.line}" if place else f"line {self.line}"
        lines = [f"{place}: {self.message}" if place else self.message]
        if self.text:
            lines.append(f"    {self.text.strip()}")
        if self.remedy:
            lines.append(f"    remedy: {self.remedy}")
        return "\n".join(lines)


class Pulse1dError(Exception):
    """Base of every error this package raises on purpose."""


class UnitError(Pulse1dError, ValueError):
    """A quantity that cannot be read: no unit, wrong unit, not a number."""


@dataclass
class InputError(Pulse1dError):
    """Everything wrong with an input, found in one pass."""

    problems: list[Problem] = field(default_factory=list)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


class ConvergenceError(Pulse1dError):
    """A solution was not reached; the message says how far it came."""
