"""Results on disk: one NetCDF file a result, beside the case, named by verb and key."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pulse1d.errors import InputError, Problem
from pulse1d.results.dataset import FORMAT
from pulse1d.results.seal import seal, unbroken

if TYPE_CHECKING:
    from xarray import Dataset

SUFFIX = ".nc"
MOST_BYTES = 2_000_000_000
"""Largest result read into memory: a sweep of a million points of a hundred answers has 0.8 GB; a
few bytes of a file can claim any size [bytes]."""


def results_folder(case: Path, output: Path | None = None) -> Path:
    """Where the results of a case lie.

    Parameters
    ----------
    case : Path   The case file [-]
    output : Path or None   A folder in its place [-]
    Returns
    -------
    folder : Path   ``<case>.results`` beside the case unless ``output`` is given [-]
    """
    return output if output is not None else case.with_suffix(".results")


def result_path(folder: Path, verb: str, key: str, *, partial: bool = False) -> Path:
    """The file of one result.

    Parameters
    ----------
    folder : Path   [-]
    verb, key : str   Command, and hash of case and numerics [-]
    partial : bool   Whether the run did not come to its end [-]
    Returns
    -------
    path : Path   [-]
    """
    return folder / f"{verb}-{key}{'-partial' if partial else ''}{SUFFIX}"


def save(dataset: Dataset, path: Path) -> None:
    """Write a dataset whole or not at all: beside its place first, then renamed.

    Parameters
    ----------
    dataset : xarray.Dataset   [SI]
    path : Path   NetCDF file; its folder is made when it is not there [-]
    Errors      InputError when the place cannot be written to.
    """
    passing = path.with_name(f".{path.name}.{os.getpid()}")
    packed: dict[Any, Any] = {
        name: {"zlib": True, "complevel": 4}
        for name, found in dataset.data_vars.items()
        if found.ndim > 1 and found.size
    }
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        dataset.to_netcdf(passing, engine="h5netcdf", encoding=packed)
        seal(passing)
        passing.replace(path)
    except OSError as error:
        reason = error.strerror or "it cannot be written"
        remedy = "name another folder with --output"
        raise InputError([Problem(f"results not saved to {path}: {reason}", remedy)]) from error
    finally:
        with suppress(OSError):
            passing.unlink()


def load(path: Path) -> Dataset:
    """Read a result into memory.

    Parameters
    ----------
    path : Path   File that ``save`` wrote [-]
    Returns
    -------
    dataset : xarray.Dataset   [SI]
    Errors      InputError for a file that is not there, is no result of this format, is damaged or
                too large.
    Limits      MOST_BYTES
    """
    import xarray as xr

    path = Path(path)
    if not path.is_file():
        raise InputError([Problem("there is no such result", "run the command again", str(path))])
    try:
        if not unbroken(path):
            raise OSError("the seal is broken, or there is none")
        with xr.open_dataset(path, engine="h5netcdf", phony_dims="access") as opened:
            size = opened.nbytes
            dataset = opened.load() if size <= MOST_BYTES else opened
    except Exception as error:  # the readers of damaged files raise many kinds
        message = "this is not a file of results, or it is damaged"
        remedy = "delete it and run the command again, or name another --output"
        raise InputError([Problem(message, remedy, str(path))]) from error
    if size > MOST_BYTES:
        message = f"these results would fill {size / 1e9:.3g} GB, more than {MOST_BYTES / 1e9:g}"
        raise InputError([Problem(message, "run the command again", str(path))])
    stated = dataset.attrs.get("format")
    if stated != FORMAT:
        there = str(stated)[:60]
        message = f"results of format {there!r} are not read here; this version reads {FORMAT!r}"
        raise InputError([Problem(message, "run the command again", str(path))])
    return dataset
