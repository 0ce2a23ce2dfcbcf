"""Is this installation sound: versions, the cache of compiled code, three known answers."""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from numba.core import event

import pulse1d
from pulse1d.run.doctor_checks import Check, fanno_check, shock_check, uncertainty_check

PACKAGES = (
    "numpy", "scipy", "numba", "llvmlite", "matplotlib", "fluids", "pint", "pydantic",
    "ruamel.yaml", "shapely", "xarray", "h5netcdf", "typer", "rich", "cantera",
)  # fmt: skip
EXTRAS = {"pyarrow": "parquet", "pymoo": "study", "SALib": "study", "distributed": "cluster"}
"""Packages that only an extra brings."""
CHECKS: tuple[Callable[[], Check], ...] = (fanno_check, shock_check, uncertainty_check)


@dataclass(frozen=True)
class Cache:
    """Where compiled code is kept."""

    folder: Path
    writable: bool
    functions: int
    """Compiled functions that lie there."""
    compiled: int
    """Functions that this run had to compile."""
    first_call: float
    """Time to the first answer, compiling or reading the cache included [s]."""


@dataclass(frozen=True)
class Examination:
    """What was found."""

    python: str
    platform: str
    cores: int
    packages: dict[str, str]
    """Version, or "not installed" with the extra that brings it."""
    cache: Cache
    checks: tuple[Check, ...]

    @property
    def sound(self) -> bool:
        """Whether every check keeps its tolerance."""
        return all(check.passed for check in self.checks)


def examine() -> Examination:
    """Look at versions, cache and known answers.

    Returns
    -------
    found : Examination   [SI]
    """
    compiled: list[str] = []

    class Counted(event.Listener):  # type: ignore[misc]
        def on_start(self, event: Any) -> None:
            compiled.append(str(event.kind))

        def on_end(self, event: Any) -> None:
            return

    start = time.perf_counter()
    with event.install_listener("numba:compile", Counted()):
        first = CHECKS[0]()
        spent = time.perf_counter() - start
        checks = (first, *(check() for check in CHECKS[1:]))
    return Examination(
        python=platform.python_version(),
        platform=platform.platform(),
        cores=os.cpu_count() or 1,
        packages=versions(),
        cache=cache(len(compiled), spent),
        checks=checks,
    )


def versions() -> dict[str, str]:
    """Versions of what pulse1d stands on.

    Returns
    -------
    versions : dict   By package; an extra's that is missing says how to get it [-]
    """
    found = {}
    for name in (*PACKAGES, *EXTRAS):
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            extra = EXTRAS.get(name)
            found[name] = f'missing; pip install "pulse1d[{extra}]"' if extra else "missing"
    return found


def cache(compiled: int, first_call: float) -> Cache:
    """Where compiled functions are kept, and how many.

    Parameters
    ----------
    compiled : int   Functions that were compiled just now [-]
    first_call : float   [s]
    Returns
    -------
    cache : Cache   [-]
    """
    from pulse1d.steady.path import solve_path

    own = Path(solve_path.stats.cache_path)
    package = Path(pulse1d.__file__).parent
    beside = package in own.parents
    folder = package if beside else own.parent
    files = list(folder.rglob("*.nbi"))
    return Cache(folder, os.access(own, os.W_OK), len(files), compiled, first_call)
