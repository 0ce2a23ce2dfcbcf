"""Points computed by processes of this machine, one thread each."""

from __future__ import annotations

import multiprocessing as mp
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager

from pulse1d.study.axes import Point
from pulse1d.study.backend import AHEAD, Chunk, Found, Run, lost
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.work import packed, work

THREADS = ("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
TRIES = 2
"""A point that kills its process this often by itself is given up."""


@contextmanager
def local_pool(study: LoadedStudy, workers: int) -> Iterator[Run]:
    """Points computed by local processes; one that is killed costs time, no outcome.

    Parameters
    ----------
    study : LoadedStudy   [-]
    workers : int   Processes [-]
    Returns
    -------
    run : context of Run   [-]
    """
    pool = _Pool(study, workers)
    try:
        with _one_thread_each():
            yield pool.run
        pool.executor.shutdown()
    finally:
        pool.end()


class _Pool:
    def __init__(self, study: LoadedStudy, workers: int) -> None:
        self.study, self.workers, self.pack = study, workers, packed(study)
        self.before = {child.pid for child in mp.active_children()}
        self.executor = self._new()

    def _new(self) -> ProcessPoolExecutor:
        context = mp.get_context("spawn")
        return ProcessPoolExecutor(self.workers, mp_context=context, initializer=_prepare)

    def run(self, chunks: Iterator[Chunk]) -> Found:
        waiting: dict[Future[list[Outcome]], Chunk] = {}
        suspects: list[Point] = []
        while True:
            while len(waiting) < AHEAD * self.workers and (chunk := next(chunks, None)) is not None:
                try:
                    waiting[self.executor.submit(work, self.pack, chunk)] = chunk
                except BrokenProcessPool:
                    suspects += chunk
                    break
            if waiting:
                for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                    chunk = waiting.pop(future)
                    try:
                        yield future.result()
                    except BrokenProcessPool:
                        suspects += chunk
            if suspects and not waiting:
                for point in suspects:
                    yield self._alone(point)
                suspects = []
            elif not waiting:
                return

    def _alone(self, point: Point) -> list[Outcome]:
        """A point by itself, so that what kills its process is told from its neighbours."""
        for _ in range(TRIES):
            try:
                return self.executor.submit(work, self.pack, [point]).result()
            except BrokenProcessPool:
                self.executor.shutdown(wait=False)
                self.executor = self._new()
        return lost(self.study, point)

    def end(self) -> None:
        """Stop what still runs: nothing after a run that came to its end."""
        for child in mp.active_children():
            if child.pid not in self.before:
                child.terminate()
        self.executor.shutdown(wait=False, cancel_futures=True)


@contextmanager
def _one_thread_each() -> Iterator[None]:
    before = {name: os.environ.get(name) for name in THREADS}
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


def _prepare() -> None:
    """In a new process: Ctrl-C is the parent's to hear, and who outlives the parent ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = mp.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
