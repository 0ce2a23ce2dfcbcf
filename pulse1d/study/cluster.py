"""Points computed by the workers of a ``distributed`` cluster."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from typing import Any

from pulse1d import __version__
from pulse1d.errors import InputError, Problem, Pulse1dError
from pulse1d.study.backend import AHEAD, Chunk, Found, Run, lost
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.work import packed, work

ANSWERS = 5.0
"""How long a scheduler may take to answer [s]."""
WORKERS = 60.0
"""How long a cluster may be without any worker [s]."""
LOOK = 2.0
"""Between two looks at the cluster while nothing finishes [s]."""
SCHEMES = ("tcp", "tls", "ws", "wss", "ucx", "inproc")
HERE = "leave out --cluster to compute on this machine"


@contextmanager
def cluster_run(study: LoadedStudy, address: str) -> Iterator[Run]:
    """Points computed by a cluster; workers may come and go.

    Parameters
    ----------
    study : LoadedStudy   [-]
    address : str   Of the scheduler, such as "tcp://10.0.0.5:8786" [-]
    Returns
    -------
    run : context of Run   [-]
    Errors      InputError when no scheduler answers, or its workers cannot run this version.
    """
    client = _connected(address)
    try:
        _check_workers(client, address)
        with client.as_current():
            yield _Cluster(study, client, address).run
    finally:
        client.close()


class _Cluster:
    def __init__(self, study: LoadedStudy, client: Any, address: str) -> None:
        self.study, self.client, self.address = study, client, address
        self.pack = packed(study)
        self.alone = 0.0

    def run(self, chunks: Iterator[Chunk]) -> Found:
        import distributed

        waiting: dict[Any, Chunk] = {}
        again: list[Chunk] = []
        while True:
            room = AHEAD * max(self._threads(), 1)
            while len(waiting) < room:
                chunk = again.pop() if again else next(chunks, None)
                if chunk is None:
                    break
                waiting[self.client.submit(work, self.pack, chunk, pure=False)] = chunk
            if not waiting:
                return
            try:
                done = list(
                    distributed.wait(  # type: ignore[no-untyped-call]
                        list(waiting), LOOK, "FIRST_COMPLETED"
                    ).done
                )
                self.alone = 0.0
            except TimeoutError:
                self._look()
                continue
            except (
                CancelledError,
                asyncio.CancelledError,
            ):  # it forgot them, or is gone
                done = [future for future in waiting if future.status != "pending"]
            for future in done:
                chunk = waiting.pop(future)
                outcomes = self._outcomes(future, chunk)
                if outcomes is None:
                    again += [chunk] if future.status != "error" else [[point] for point in chunk]
                else:
                    yield outcomes

    def _outcomes(self, future: Any, chunk: Chunk) -> list[Outcome] | None:
        """What a chunk gave; None when it must be computed again, point by point after an error."""
        from distributed import KilledWorker

        if future.status == "finished":
            found: list[Outcome] = future.result()
            return found
        if future.status == "error":
            error = future.exception()
            if not isinstance(error, KilledWorker):
                raise Pulse1dError(f"a worker of {self.address} cannot compute: {error}") from error
            return lost(self.study, chunk[0]) if len(chunk) == 1 else None
        self._look()
        return None

    def _threads(self) -> int:
        return sum(one["nthreads"] for one in self.client.scheduler_info()["workers"].values())

    def _look(self) -> None:
        """While nothing finishes: is there still somebody who could?"""
        if self.client.status != "running":
            raise Pulse1dError(f"the cluster at {self.address} is gone; what was finished is kept")
        self.alone = 0.0 if self._threads() else self.alone + LOOK
        if self.alone >= WORKERS:
            raise Pulse1dError(
                f"the cluster at {self.address} has had no worker for {WORKERS:g} s; what was "
                f"finished is kept\n    remedy: start workers and run again, or {HERE}"
            )


def _connected(address: str) -> Any:
    try:
        from distributed import Client
    except ImportError as error:
        remedy = f'pip install "pulse1d[cluster]", or {HERE}'
        raise InputError([Problem("--cluster needs the package distributed", remedy)]) from error
    scheme, separator, _ = address.partition("://")
    if separator and scheme not in SCHEMES:
        message = f"--cluster: {address!r} is no address of a scheduler"
        remedy = f"write it like tcp://host:8786, or {HERE}"
        raise InputError([Problem(message, remedy)])
    try:
        return Client(  # type: ignore[no-untyped-call]
            address, timeout=ANSWERS, set_as_default=False
        )
    except (OSError, ValueError, TimeoutError) as error:
        message = f"--cluster: no scheduler answers at {address!r}"
        raise InputError([Problem(message, f"check the address, or {HERE}")]) from error


def _check_workers(client: Any, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=ANSWERS)
        versions: dict[str, str] = client.run(_version)
    except TimeoutError as error:
        message = f"--cluster: the scheduler at {address} has no workers"
        raise InputError([Problem(message, f"start some, or {HERE}")]) from error
    except ImportError as error:
        message = f"--cluster: pulse1d is not installed on the workers of {address}"
        raise InputError([Problem(message, f"install it there, or {HERE}")]) from error
    other = {worker: found for worker, found in versions.items() if found != __version__}
    for worker, found in other.items():
        message = f"--cluster: worker {worker} has pulse1d {found}, this is {__version__}"
        raise InputError([Problem(message, f"install one version everywhere, or {HERE}")])


def _version() -> str:
    from pulse1d import __version__ as version

    return version
