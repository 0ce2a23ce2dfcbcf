"""A seal behind a file: its own digest, by which damage is seen before a reader meets it.

The readers of the file format trust what they read; a few bytes overwritten can make them go round
for ever. The seal stands behind the last byte that the format knows, where readers do not look. It
guards against damage, not against malice.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

MARK = b"pulse1d."
"""Before the digest, so that a file that was never sealed is told from a damaged one."""
LENGTH = len(MARK) + hashlib.sha256().digest_size
BLOCK = 1 << 20
"""Bytes read at a time."""


def seal(path: Path) -> None:
    """Put the seal behind a file that is written.

    Parameters
    ----------
    path : Path   [-]
    Errors      OSError where it cannot be written.
    Source      FIPS 180-4 (SHA-256)
    """
    whole = _digest(path, path.stat().st_size)
    with path.open("ab") as file:
        file.write(MARK + whole)


def unbroken(path: Path) -> bool:
    """Whether a file is sealed and as it was then.

    Parameters
    ----------
    path : Path   [-]
    Returns
    -------
    unbroken : bool   [-]
    Errors      OSError where it cannot be read.
    """
    length = path.stat().st_size - LENGTH
    if length < 0:
        return False
    with path.open("rb") as file:
        file.seek(length)
        stated = file.read(LENGTH)
    return stated == MARK + _digest(path, length)


def _digest(path: Path, length: int) -> bytes:
    found, left = hashlib.sha256(), length
    with path.open("rb") as file:
        while left > 0 and (block := file.read(min(BLOCK, left))):
            found.update(block)
            left -= len(block)
    return found.digest()
