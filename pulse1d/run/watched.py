"""Long work that tells how far it is, and that the user may stop in between."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Watch = Callable[[float], bool]
"""Told the share done, 0 to 1; answers whether to go on."""
TYPICAL = 8
"""Cycles that one march is counted as; most repeat after 6 to 12, from hot walls after 3 to 6."""


class Stopped(Exception):
    """The user asked to stop in between."""


@dataclass
class Steps:
    """A count of equal steps, told to a watch."""

    watch: Watch | None
    total: float
    done: float = 0.0

    def reach(self, done: float) -> None:
        """Tell that the work has come this far [steps]; Stopped when it must not go on."""
        self.done = max(self.done, min(done, self.total))
        if self.watch is not None and not self.watch(self.done / self.total):
            raise Stopped

    def cycle(self, cycle: int, change: float) -> None:
        """One more cycle of a march that counts as the first ``TYPICAL`` steps."""
        self.reach(min(cycle, TYPICAL))

    def step(self) -> None:
        """One step more."""
        self.reach(self.done + 1.0)
