"""What a verb says: its object on stdout, and on stderr what it wrote, unless asked to be quiet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import typer

_quiet = [False]
"""Of this process, set when its command line is read."""
_begun = [False]
"""Of this process, set when something was computed, printed or written."""


def hush(asked: bool) -> bool:
    """Remember whether ``--quiet`` was asked for.

    Parameters
    ----------
    asked : bool   [-]
    Returns
    -------
    asked : bool   [-]
    """
    _quiet[0] = asked
    return asked


def quiet() -> bool:
    """Whether ``--quiet`` was asked for.

    Returns
    -------
    asked : bool   [-]
    """
    return _quiet[0]


def begin() -> None:
    """Remember that something was computed, printed or written, so that no error denies it."""
    _begun[0] = True


def begun() -> bool:
    """Whether something was computed, printed or written.

    Returns
    -------
    begun : bool   [-]
    """
    return _begun[0]


def print_json(record: Mapping[str, Any]) -> None:
    """The object of ``--json``, alone on stdout.

    Parameters
    ----------
    record : mapping   With a schema; no number that is not finite [SI]
    """
    from json import dumps

    begin()
    typer.echo(dumps(record, indent=1, allow_nan=False))


def told(what: str, paths: Sequence[Path | str]) -> None:
    """One line on stderr about files written.

    Parameters
    ----------
    what : str   Such as "drawn" [-]
    paths : sequence of Path or str   [-]
    """
    if paths and not quiet():
        typer.echo(f"{what}: {', '.join(map(str, paths))}", err=True)
