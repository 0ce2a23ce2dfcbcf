"""``--export``: the tables behind a verb's answer, for other programs."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from json import dumps
from pathlib import Path
from typing import TYPE_CHECKING

from pulse1d import __version__
from pulse1d.cli.telling import begin, told

if TYPE_CHECKING:
    from pulse1d.results.table import Table


def export_path(path: Path | None, verb: str) -> Path | None:
    """The path of an export, refused before anything is computed where it cannot become one.

    Parameters
    ----------
    path : Path or None   That the user named [-]
    verb : str   The command [-]
    Returns
    -------
    path : Path or None   [-]
    Errors      InputError as ``pulse1d.results.table_files.new_path``, and where a file that a
                table of this verb would become is there.
    """
    if path is None:
        return None
    from pulse1d.cli.catalogue import CATALOGUE
    from pulse1d.results.table_files import new_path, refuse_existing, target_paths

    new_path(path)
    refuse_existing(target_paths(path, [sheet.name for sheet in CATALOGUE[verb]]))
    return path


def export(tables: Sequence[Table], path: Path, verb: str, files: Sequence[Path]) -> list[Path]:
    """Write the tables to new files, with where they come from, and say so.

    Parameters
    ----------
    tables : sequence of Table   [SI]
    path : Path   [-]
    verb : str   The command [-]
    files : sequence of Path   That the user named for it [-]
    Returns
    -------
    paths : list of Path   [-]
    Errors      InputError as ``pulse1d.results.table.write_tables``.
    """
    from pulse1d.results.table import write_tables

    begin()
    about = {"pulse1d_version": __version__, "verb": verb, "files": dumps(_hashes(files))}
    paths = write_tables(tables, path, about)
    told("exported", paths)
    return paths


def _hashes(files: Sequence[Path]) -> list[dict[str, str]]:
    return [
        {"file": path.name, "sha256": hashlib.sha256(path.read_bytes()).hexdigest()}
        for path in files
    ]
