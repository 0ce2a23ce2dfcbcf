"""Progress on stderr for runs of more than a second, and a first Ctrl-C that keeps what is done."""

from __future__ import annotations

import signal
import sys
import threading
from types import FrameType, TracebackType
from typing import Any, Self

DELAY = 1.0
"""Runs shorter than this show nothing [s]."""


class Watch:
    """A bar that appears when a run takes long, and an ear for Ctrl-C.

    Called with how far the run is, it answers whether to go on. The first Ctrl-C makes it answer
    False; a second one interrupts at once.
    """

    def __init__(self, what: str, total: float) -> None:
        self.what, self.total = what, total
        self.stopped = False
        self._before: Any = None
        self._bar: Any = None
        self._timer: threading.Timer | None = None

    def __enter__(self) -> Self:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.signal(signal.SIGINT, self._stop)
        if sys.stderr.isatty():
            self._timer = threading.Timer(DELAY, self._show)
            self._timer.daemon = True
            self._timer.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer.join()
        if self._bar is not None:
            self._bar.stop()
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def __call__(self, reached: float) -> bool:
        """Whether to go on, having come this far."""
        if self._bar is not None:
            self._bar.update(0, completed=reached)
        return not self.stopped

    def _show(self) -> None:
        from rich.console import Console
        from rich.progress import Progress

        bar = Progress(console=Console(stderr=True), transient=True)
        bar.add_task(self.what, total=self.total)
        bar.start()
        self._bar = bar

    def _stop(self, number: int, frame: FrameType | None) -> None:
        self.stopped = True
        signal.signal(signal.SIGINT, signal.default_int_handler)
        print("stopping; what is done is kept (again to stop at once)", file=sys.stderr)
