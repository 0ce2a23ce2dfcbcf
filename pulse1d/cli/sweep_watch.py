"""Progress of a sweep: how many points, how fast, how long yet."""

from __future__ import annotations

import sys
import time
from typing import Any

from pulse1d.cli.progress import Watch
from pulse1d.cli.telling import quiet

LINES = 60.0
"""Between two lines of progress where stderr is no terminal [s]."""


class SweepWatch(Watch):
    """As ``Watch``, told how many points were computed, failed and were asked for."""

    def __init__(self) -> None:
        super().__init__("starting; compiles once", 1.0)
        self._speaks = not sys.stderr.isatty() and not quiet()
        self._started = self._said = time.monotonic()

    def told(self, done: int, failed: int, asked: int) -> bool:
        """Whether to go on, having come this far."""
        self.what, self.total, self.reached = "points", float(asked), float(done)
        rate, failures = self._rate(done), f", {failed} failed" if failed else ""
        if self._bar is not None:
            self._bar.update(
                0, completed=done, total=asked, rate=f"{rate}{failures}", description=self.what
            )
        elif self._speaks and time.monotonic() - self._said > LINES:
            self._said = time.monotonic()
            left = (self._said - self._started) / done * (asked - done)
            print(f"{done} of {asked} points, {rate}, {span(left)} left{failures}", file=sys.stderr)
        return not self.stopped

    def _rate(self, done: int) -> str:
        a_minute = 60.0 * done / max(time.monotonic() - self._started, 1e-9)
        return f"{a_minute:.3g} a minute" if a_minute < 1e4 else f"{a_minute / 1e3:.3g}k a minute"

    def _made(self) -> Any:
        from rich import progress
        from rich.console import Console

        bar = progress.Progress(
            progress.TextColumn("{task.description}"), progress.BarColumn(24),
            progress.MofNCompleteColumn(), progress.TextColumn("{task.fields[rate]}"),
            progress.TimeRemainingColumn(), progress.TextColumn("left"),
            console=Console(stderr=True), transient=True,
        )  # fmt: skip
        bar.add_task(self.what, total=None, rate="")
        return bar


def span(seconds: float) -> str:
    """A span of time for people.

    Parameters
    ----------
    seconds : float   [s]
    Returns
    -------
    text : str   Such as "2 h 05 min" [-]
    """
    minutes = round(seconds / 60.0)
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"
