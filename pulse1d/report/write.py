"""The page on disk, and what is told of it."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from pulse1d import __version__
from pulse1d.errors import InputError, Problem
from pulse1d.report.blocks import Figures, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.report.page import MARK, page
from pulse1d.report.words import listed

SCHEMA = "pulse1d report 1"
SUFFIXES = (".html", ".htm")


def page_path(path: Path) -> Path:
    """The path, if a page can be written there.

    Parameters
    ----------
    path : Path   [-]
    Returns
    -------
    path : Path   [-]
    Errors      InputError for another suffix, a folder that is not there, or a file that is there
                already and is no page of this program.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise InputError([Problem(f"--output: {path} is no page", "end it in .html")])
    if not path.absolute().parent.is_dir():
        raise InputError([Problem(f"--output: there is no folder {path.parent}", "make it first")])
    if path.exists() and not _own(path):
        message = "this file exists already and is no earlier report"
        raise InputError([Problem(message, "choose another name", str(path))])
    return path


def _own(path: Path) -> bool:
    try:
        with path.open(encoding="utf-8", errors="replace") as there:
            return MARK in there.read(200)
    except OSError:
        return False


def write(
    evidence: Evidence,
    sections: Collection[Section],
    path: Path,
    told: Callable[[], None] | None = None,
) -> None:
    """Write the page whole or not at all.

    Parameters
    ----------
    evidence : Evidence   [SI]
    sections : collection of Section   In order [-]
    path : Path   From ``page_path`` [-]
    told : function   Called whenever a picture is drawn [-]
    Errors      InputError when the place cannot be written to.
    """
    names = [design.name for design in evidence.designs]
    title = names[0] if len(names) == 1 else f"{listed(names[1:])} against {names[0]}"
    beneath = f"Runner comparison by pulse1d {__version__}, {date.today().isoformat()}."
    text = page(title, beneath, list(sections), told)
    passing = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        passing.write_text(text, encoding="utf-8")
        passing.replace(path)
    except OSError as error:
        reason = error.strerror or "it cannot be written"
        raise InputError([Problem(f"{path}: {reason}", "name another place")]) from error
    finally:
        with suppress(OSError):
            passing.unlink()


def report_record(evidence: Evidence, sections: Collection[Section], path: Path) -> dict[str, Any]:
    """The object that ``pulse1d report --json`` prints.

    ``{"schema", "version", "file", "base", "cases": [{"case", "file", "digest"}], "sections":
    [...], "answer": {"text", "figures": [{"label", "value", "beneath"}]}}``

    Parameters
    ----------
    evidence : Evidence   [SI]
    sections : collection of Section   [-]
    path : Path   [-]
    Returns
    -------
    record : dict   [-]
    """
    blocks = next(one.blocks for one in sections if one.key == "answer")
    return {
        "schema": SCHEMA,
        "version": __version__,
        "file": str(path),
        "base": evidence.base.name,
        "cases": [
            {"case": design.name, "file": str(design.path), "digest": design.digest}
            for design in evidence.designs
        ],
        "sections": [one.key for one in sections],
        "answer": {
            "text": next(b.text for b in blocks if isinstance(b, Words)),
            "figures": [
                {"label": one.label, "value": one.value, "beneath": one.beneath}
                for b in blocks
                if isinstance(b, Figures)
                for one in b.items
            ],
        },
    }
