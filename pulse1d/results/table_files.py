"""Files of tables: their names, what writes them, and how they get to their place."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from pulse1d.errors import InputError, Problem
from pulse1d.results.table import Table

Writer = Callable[[Sequence[Table], Path, Mapping[str, str]], None]

SUFFIXES = (".csv", ".parquet", ".nc", ".json")
APART = (".csv", ".parquet")
"""Endings of which a file holds one table."""


def new_path(path: Path) -> Path:
    """A path that tables can be written to.

    Parameters
    ----------
    path : Path   That the user named [-]
    Returns
    -------
    path : Path   [-]
    Errors      InputError for another ending, a file that is there, a folder that is not, or a
                package that is not installed.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        message = f"--export: {path.name!r} ends in none of {', '.join(SUFFIXES)}"
        raise InputError([Problem(message, "end it in one of them")])
    if not path.absolute().parent.is_dir():
        raise InputError([Problem(f"--export: there is no folder {path.parent}", "make it first")])
    refuse_existing([path])
    if suffix == ".parquet":
        try:
            import pyarrow.parquet  # noqa: F401
        except ImportError as error:
            remedy = 'pip install "pulse1d[parquet]", or export .csv'
            raise InputError([Problem("--export: Parquet needs pyarrow", remedy)]) from error
    return path


def target_paths(path: Path, names: Sequence[str]) -> list[Path]:
    """The files that tables of these names become.

    Parameters
    ----------
    path : Path   That the user named [-]
    names : sequence of str   Of the tables [-]
    Returns
    -------
    paths : list of Path   FILE alone, or FILE-name for each where a file holds one table [-]
    """
    if path.suffix.lower() in APART and len(names) > 1:
        return [path.with_name(f"{path.stem}-{name}{path.suffix}") for name in names]
    return [path]


def writer_of(path: Path) -> Writer:
    """What writes the tables of a path.

    Parameters
    ----------
    path : Path   With one of ``SUFFIXES`` [-]
    Returns
    -------
    writer : function   Of tables, a file and what they come from [-]
    """
    suffix = path.suffix.lower()
    if suffix == ".csv":
        from pulse1d.results.table_csv import write_csv as writer
    elif suffix == ".parquet":
        from pulse1d.results.table_parquet import write_parquet as writer
    elif suffix == ".nc":
        from pulse1d.results.table_netcdf import write_netcdf as writer
    else:
        from pulse1d.results.table_json import write_json as writer
    return writer


def placed(targets: Sequence[Path], write: Callable[[Sequence[Path]], None]) -> None:
    """Write files beside their places, then give them their names; all of them or none.

    Parameters
    ----------
    targets : sequence of Path   None of which may be there [-]
    write : function   Writes one file for each target, under the names it is given [-]
    Errors      InputError where a target is there or cannot be written.
    """
    refuse_existing(targets)
    passing = [path.with_name(f".{path.name}.{os.getpid()}") for path in targets]
    done: list[Path] = []
    try:
        write(passing)
        for file, target in zip(passing, targets, strict=True):
            _name(file, target)
            done.append(target)
    except BaseException as error:
        for target in done:
            target.unlink(missing_ok=True)
        if not isinstance(error, OSError):
            raise
        message = f"not exported: {error.strerror or error}"
        remedy = "name another place"
        raise InputError([Problem(message, remedy, str(targets[len(done)]))]) from error
    finally:
        for file in passing:
            with suppress(OSError):
                file.unlink()


def refuse_existing(paths: Sequence[Path]) -> None:
    """Leave files alone that are there.

    Parameters
    ----------
    paths : sequence of Path   To be written [-]
    Errors      InputError naming those that exist, links that lead nowhere among them.
    """
    there = [path for path in paths if os.path.lexists(path)]
    if there:
        message, remedy = "the file exists already", "choose another name"
        raise InputError([Problem(message, remedy, str(path)) for path in there])


def _name(file: Path, target: Path) -> None:
    """Give a file its name; a link, unlike a rename, refuses a name that is taken by now."""
    try:
        os.link(file, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if os.path.lexists(target):
            raise FileExistsError(17, os.strerror(17)) from None
        file.replace(target)
