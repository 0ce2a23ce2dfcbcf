"""A loss budget as steps down from the depression."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.run.bench import BenchResult

NOTHING = 1e-6
"""Share of the depression below which an element is not drawn."""


@dataclass(frozen=True)
class Fall:
    """One element: what is left of the depression before it and behind it."""

    element: str
    before: float
    """[Pa]"""
    behind: float
    """[Pa]"""

    @property
    def lost(self) -> float:
        """Negative where pressure is recovered [Pa]."""
        return self.before - self.behind


def falls(result: BenchResult, port: str) -> list[Fall]:
    """A port's budget as steps down from the depression.

    Parameters
    ----------
    result : BenchResult   [SI]
    port : str   One of those tested [-]
    Returns
    -------
    falls : list of Fall   In flow order, those that cost nothing left out; empty for a port
        without an answer [Pa]
    """
    answer = next((p.answer for p in result.ports if p.answer.port == port), None)
    if answer is None:
        return []
    left = sum(entry.loss_pa for entry in answer.budget)
    found, least = [], NOTHING * left
    for entry in answer.budget:
        if abs(entry.loss_pa) > least:
            found.append(Fall(entry.element, left, left - entry.loss_pa))
        left -= entry.loss_pa
    return found
