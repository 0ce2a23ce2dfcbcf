"""Progress on stderr for runs of more than a second, and a first Ctrl-C that keeps what is done."""

from __future__ import annotations

import signal
import sys
import threading
from contextlib import ExitStack
from types import FrameType, TracebackType
from typing import Any, Self

from pulse1d.cli.telling import begin, quiet

DELAY = 1.0
"""Runs shorter than this show nothing [s]."""
COMPILING = "compiling, once, about half a minute"


class Progress:
    """A bar that appears on a terminal when a run takes long.

    What it stood over counts as run, unless it failed before a part of it was done, or was reading.
    """

    def __init__(self, what: str, total: float | None = None, reading: bool = False) -> None:
        self.what, self.total, self.reading = what, total, reading
        self.reached = 0.0
        self.compiling = 0
        self._bar: Any = None
        self._timer: threading.Timer | None = None
        self._stack = ExitStack()

    def __enter__(self) -> Self:
        if sys.stderr.isatty() and not quiet():
            self._timer = threading.Timer(DELAY, self._show)
            self._timer.daemon = True
            self._timer.start()
            if "numba" in sys.modules:  # a verb loads what it runs before it shows progress
                self._stack.enter_context(_told_of_compiling(self))
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
        self._stack.close()
        if self.reached > 0.0 or (kind is None and not self.reading):
            begin()

    def reach(self, reached: float) -> None:
        """Tell how far the run is [of ``total``]."""
        self.reached = reached
        self._refresh()

    def count_compiling(self, change: int) -> None:
        """Tell that one more function is being compiled, or one fewer."""
        self.compiling += change
        self._refresh()

    def _refresh(self) -> None:
        if self._bar is not None:
            text = COMPILING if self.compiling else self.what
            self._bar.update(0, completed=self.reached, description=text)

    def _show(self) -> None:
        self._bar = self._made()
        self._bar.start()
        self._refresh()

    def _made(self) -> Any:
        from rich import progress
        from rich.console import Console

        columns = [progress.TextColumn("{task.description}"), progress.BarColumn(24)]
        if self.total is not None:
            columns += [progress.TaskProgressColumn(), progress.TimeRemainingColumn()]
        bar = progress.Progress(
            *columns, progress.TimeElapsedColumn(), console=Console(stderr=True), transient=True
        )
        bar.add_task(self.what, total=self.total)
        return bar


class Watch(Progress):
    """A bar, and an ear for Ctrl-C.

    Called with how far the run is, it answers whether to go on. The first Ctrl-C makes it answer
    False; a second one interrupts at once.
    """

    def __init__(self, what: str, total: float) -> None:
        super().__init__(what, total)
        self.stopped = False
        self._before: Any = None

    def __enter__(self) -> Self:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.signal(signal.SIGINT, self._stop)
        return super().__enter__()

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        super().__exit__(kind, error, trace)
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def __call__(self, reached: float) -> bool:
        """Whether to go on, having come this far."""
        self.reach(reached)
        return not self.stopped

    def _stop(self, number: int, frame: FrameType | None) -> None:
        self.stopped = True
        signal.signal(signal.SIGINT, signal.default_int_handler)
        print("stopping; what is done is kept (again to stop at once)", file=sys.stderr)


def _told_of_compiling(progress: Progress) -> Any:
    """A context in which numba tells a bar when it compiles in place of reading its cache."""
    from numba.core.event import Event, Listener, install_listener

    class Told(Listener):  # type: ignore[misc]
        def on_start(self, event: Event) -> None:
            progress.count_compiling(+1)

        def on_end(self, event: Event) -> None:
            progress.count_compiling(-1)

    return install_listener("numba:compile", Told())
