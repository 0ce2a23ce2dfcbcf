"""Files on disk: text that is safe to read, and names that stay inside the case's folder tree."""

from __future__ import annotations

import codecs
import os
import re
import stat
from pathlib import Path, PureWindowsPath

from pulse1d.case.document import (
    FORBIDDEN,
    SHOWN,
    line_at,
    listed,
    nearest,
    shown,
    source_line,
)
from pulse1d.errors import InputError, Problem

MAX_BYTES = 1_000_000
"""Largest text file read. A hundred-piece case is about 10 kB and an outline of a thousand points
about 20 kB; a megabyte is still parsed in seconds."""
MAX_LISTED = 2000
"""Files of a folder that are looked at for a likely name: keeps a huge folder from stalling."""
OTHERS = 5
"""Names offered when no name in the folder is alike: what one glance takes in."""
MAX_PEEK = 4000
"""Bytes of a file in which its format is looked for: past any comment at its top."""
_PART_OF_A_CASE = re.compile(rb"^format: *pulse1d (head|calibration) ", re.M)
_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_UNREADABLE = (OSError, RuntimeError, ValueError)
"""What a hostile name raises: no access, name too long, a ring of links, a zero byte in it."""


def read_text(path: Path) -> str:
    """The text of a UTF-8 file of sensible size.

    Parameters
    ----------
    path : Path   File to read, relative to the working folder or absolute [-]
    Returns
    -------
    text : str   The text without a byte-order mark [-]
    Errors      InputError with file, line, text and remedy: not there (nearest name offered), a
                folder, not a plain file, not readable, empty, larger than MAX_BYTES, not UTF-8,
                control characters.
    Limits      MAX_BYTES
    Source      YAML 1.2.2, section 5.1 (character set)
    """
    raw = _read_bytes(path)
    if raw.startswith(_UTF16):
        raise _refused(path, "the file is UTF-16", "save it as UTF-8")
    try:
        text = raw.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError([_not_utf8(path, raw, error.start)]) from error
    if not text.strip():
        raise _refused(path, "the file is empty", "write the case into it, or name another file")
    found = FORBIDDEN.search(text)
    if found:
        line = line_at(text, found.start())
        quoted = FORBIDDEN.sub("?", source_line(text, line))
        message = f"control character U+{ord(found[0]):04X} in the text"
        raise InputError([Problem(message, "delete it", shown(path), line, quoted)])
    return text


def inside(root: Path, base: Path, name: str, line: int | None = None) -> Path:
    """The file that another file names, refused when it leaves the folder tree.

    Parameters
    ----------
    root : Path   Folder that must hold the named file, links followed [-]
    base : Path   The file that names it; ``name`` is relative to the folder of ``base`` [-]
    name : str   The name as written, with / between folders [-]
    line : int or None   Line of ``base`` where it is written, for the error [-]
    Returns
    -------
    path : Path   The named file, a plain file that exists, relative when ``base`` is [-]
    Errors      InputError at ``base`` and ``line``: absolute, outside the root, not there (nearest
                name offered), a folder.
    Source      common practice, no source
    """

    def refused(message: str, remedy: str) -> InputError:
        return InputError([Problem(message, remedy, shown(base), line, name[:SHOWN])])

    if not name.strip():
        raise refused("the file name is empty", "name a file beside this one")
    if FORBIDDEN.search(name):
        raise refused(f"file name {name!r} holds control characters", "rename the file")
    windows = PureWindowsPath(name)
    if Path(name).is_absolute() or windows.drive or windows.root:
        raise refused(
            f"file {name!r} is named by an absolute path",
            "copy it into the folder of the case and name it relative to this file",
        )
    if "\\" in name:
        raise refused(f"file name {name!r} holds a backslash", "write / between folders")
    joined = base.parent / name
    if not contained(root, joined):
        raise refused(
            f"file {name!r} lies outside the folder of the case",
            "copy it into the folder of the case and name it relative to this file",
        )
    try:
        mode = joined.stat().st_mode
    except _UNREADABLE as error:
        raise refused(f"file {name!r} is not there", _others(joined)) from error
    if not stat.S_ISREG(mode):
        raise refused(f"{name!r} is not a plain file", "name a file, not a folder or device")
    return _tidy(joined)


def contained(root: Path, path: Path) -> bool:
    """Whether a path lies in the tree of a folder once every link is followed."""
    try:
        return path.resolve().is_relative_to(root.resolve())
    except _UNREADABLE:
        return False


def write_new(path: Path, text: str) -> None:
    """Write a new file; an existing one is left as it is.

    Parameters
    ----------
    path : Path   [-]
    text : str   [-]
    Errors      InputError when it exists or cannot be written.
    """
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise InputError(
            [Problem("the file exists already", "choose another name", str(path))]
        ) from error
    except OSError as error:
        raise InputError(
            [Problem(f"cannot be written: {error.strerror}", "check the folder", str(path))]
        ) from error


def _read_bytes(path: Path) -> bytes:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _refused(path, "this is a folder, not a file", _others(path / "case.yaml"))
        if not stat.S_ISREG(status.st_mode):
            raise _refused(path, "this is not a plain file", "name a file on disk")
        if status.st_size > MAX_BYTES:
            raise _refused(
                path,
                f"the file has {status.st_size} bytes, more than {MAX_BYTES}",
                "a case is far smaller; check that this is the right file",
            )
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES)
    except FileNotFoundError as error:
        raise _refused(path, "the file is not there", _others(path, alone=True)) from error
    except _UNREADABLE as error:
        reason = (getattr(error, "strerror", None) or "bad name").lower()
        remedy = "check its name and that you may read it"
        raise _refused(path, f"the file cannot be read: {reason}", remedy) from error


def _refused(path: Path, message: str, remedy: str) -> InputError:
    return InputError([Problem(message, remedy, shown(path), None, shown(Path(path.name)))])


def _not_utf8(path: Path, raw: bytes, start: int) -> Problem:
    line = line_at(raw[:start].decode("utf-8"), start)
    text = raw.decode("utf-8", errors="backslashreplace")
    quoted = FORBIDDEN.sub("?", source_line(text, line))
    message = f"byte 0x{raw[start]:02X} is not UTF-8"
    remedy = "save the file as UTF-8; deg and um may stand for the degree and micro signs"
    return Problem(message, remedy, shown(path), line, quoted)


def _others(path: Path, alone: bool = False) -> str:
    """Remedy for a name that is not there: the nearest name in its folder, or some of them.

    Only names with the same ending count, and of files to be opened ``alone`` none that a case
    names.
    """
    folder = path.parent
    try:
        with os.scandir(folder) as entries:
            names = [entry.name for entry, _ in zip(entries, range(MAX_LISTED), strict=False)]
    except _UNREADABLE:
        return f"the folder {str(folder)!r} is not there either; check the path"
    names = sorted(name for name in names if not FORBIDDEN.search(name) and name[0] != ".")
    alike = [name for name in names if _ending(Path(name)) == _ending(path)]
    stems = {Path(name).stem: name for name in alike}
    near = nearest(path.stem, stems)
    if near and not (alone and _named_by_a_case(folder / stems[near])):
        return f"did you mean {stems[near]!r}?"
    alike = alike or names
    return f"its folder holds {listed(alike, OTHERS)}" if alike else "its folder is empty"


def _ending(path: Path) -> str:
    return ".yaml" if path.suffix == ".yml" else path.suffix


def _named_by_a_case(path: Path) -> bool:
    """Whether a file is a head or a calibration, which no verb reads by itself."""
    try:
        if not path.is_file():  # opening a pipe would wait for its writer
            return False
        with path.open("rb") as stream:
            return _PART_OF_A_CASE.search(stream.read(MAX_PEEK)) is not None
    except _UNREADABLE:
        return False


def _tidy(path: Path) -> Path:
    """Without ``..`` where that is the same file (links can make it another)."""
    tidy = Path(os.path.normpath(path))
    return tidy if tidy.resolve() == path.resolve() else path
