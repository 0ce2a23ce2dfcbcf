"""Outcomes on disk as they finish: append-only, and whole after a kill, a crash or a full disk."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any

from pulse1d import __version__
from pulse1d.case.document import FORBIDDEN
from pulse1d.errors import InputError, Problem, Pulse1dError
from pulse1d.study.outcome import Outcome

FORMAT = "pulse1d journal 1"
TABLES = (
    "CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL)",
    "CREATE TABLE outcomes (place INTEGER PRIMARY KEY, key BLOB NOT NULL, point TEXT NOT NULL, "
    "answers TEXT NOT NULL, failure TEXT NOT NULL, seconds REAL NOT NULL)",
)
PLACES = "SELECT key, place, failure != '' FROM outcomes"
READ = "SELECT key, point, answers, failure, seconds FROM outcomes"
WRITE = "INSERT INTO outcomes (key, point, answers, failure, seconds) VALUES (?, ?, ?, ?, ?)"


class JournalError(Pulse1dError):
    """A journal that cannot take more; what it has is kept."""


class Journal:
    """The outcomes of one study. One writer at a time; a later outcome of a point counts.

    No index is kept on disk, so that an append costs the same whatever is there; the places of the
    points are read once, and held in memory at some 200 bytes a point.
    """

    def __init__(self, path: Path, study_key: str, study: str = "") -> None:
        self.path = path
        wanted = {"format": FORMAT, "version": __version__, "study": study_key}
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            if path.is_symlink() or (path.exists() and not path.is_file()):
                raise OSError("it is a link or no plain file")
            self._db = sqlite3.connect(path, timeout=0.5, isolation_level=None)
        except (OSError, sqlite3.Error) as error:
            raise _refused(path, error) from error
        self._places: dict[bytes, int] = {}
        try:
            with self._reading():
                stated = self._stated()
                _check(path, stated, wanted)
                self._begin({**wanted, "name": study} if not stated else {})
                for key, place, bad in self._db.execute(PLACES):
                    self._places[_key(key)] = -place if bad else place
        except InputError:
            self._db.close()
            raise

    @contextmanager
    def _reading(self) -> Iterator[None]:
        """What a damaged file leads to, as an error that says so."""
        try:
            yield
        except (sqlite3.Error, ValueError, OverflowError, RecursionError) as error:
            raise _refused(self.path, error) from error

    def _stated(self) -> dict[str, str]:
        """What the file says it is of; empty for a new one. Nothing is written yet.

        A file made by others could hold views and triggers in place of the two tables.
        """
        self._db.execute("PRAGMA trusted_schema=OFF")
        self._db.execute("PRAGMA locking_mode=EXCLUSIVE")
        made = "SELECT sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_autoindex_about_%'"
        tables = {row[0] for row in self._db.execute(made)}
        if tables and tables != set(TABLES):
            raise sqlite3.DatabaseError("file is not a database of outcomes")
        return dict(self._db.execute("SELECT name, value FROM about")) if tables else {}

    def _begin(self, about: dict[str, str]) -> None:
        self._db.execute("PRAGMA journal_mode=WAL")
        self._db.execute("PRAGMA synchronous=FULL")
        self._db.execute("BEGIN IMMEDIATE")
        for statement in TABLES if about else ():
            self._db.execute(statement)
        self._db.executemany("INSERT INTO about VALUES (?, ?)", about.items())
        self._db.execute("COMMIT")

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._db.close()

    def __len__(self) -> int:
        """Points that have an outcome."""
        return len(self._places)

    def holds(self, key: str) -> bool:
        """Whether a point has an outcome, failed or not."""
        return bytes.fromhex(key) in self._places

    def failed(self, key: str) -> bool:
        """Whether a point's outcome is a failure."""
        return self._places.get(bytes.fromhex(key), 1) < 0

    def get(self, key: str) -> Outcome | None:
        """The outcome of a point, None when there is none."""
        place = self._places.get(bytes.fromhex(key))
        if place is None:
            return None
        with self._reading():
            return _outcome(self._db.execute(f"{READ} WHERE place = ?", (abs(place),)).fetchone())

    def __iter__(self) -> Iterator[Outcome]:
        """Every outcome as written, the one of a point that counts only."""
        counts = {abs(place) for place in self._places.values()}
        with self._reading():
            for place, *row in self._db.execute(READ.replace("SELECT", "SELECT place,")):
                if place in counts:
                    yield _outcome(row)

    def append(self, outcomes: Sequence[Outcome]) -> None:
        """Keep outcomes: all of them or none, on disk when this returns."""
        try:
            self._db.execute("BEGIN IMMEDIATE")
            places = [self._db.execute(WRITE, row).lastrowid or 0 for row in _rows(outcomes)]
            self._db.execute("COMMIT")
        except sqlite3.Error as error:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            raise JournalError(
                f"{self.path}: the journal cannot be written to ({error}); the {len(self)} points "
                "in it are kept\n    remedy: make room on the disk, then run the command again; it "
                "goes on from there"
            ) from error
        for outcome, place in zip(outcomes, places, strict=True):
            self._places[bytes.fromhex(outcome.key)] = -place if outcome.failure else place


def _check(path: Path, stated: dict[str, str], wanted: dict[str, str]) -> None:
    for name, value in wanted.items():
        if stated and stated.get(name) != value:
            there = FORBIDDEN.sub("?", str(stated.get(name)))
            message = (
                f"this journal is of another {name} ({there:.40}, here {value:.40}); "
                "it is left as it is"
            )
            remedy = "name another folder with --output, or move the journal away"
            raise InputError([Problem(message, remedy, str(path))])


def _rows(outcomes: Iterable[Outcome]) -> Iterator[tuple[bytes, str, str, str, float]]:
    for one in outcomes:
        point = json.dumps(dict(one.point), ensure_ascii=False)
        answers = json.dumps(one.answers, ensure_ascii=False, allow_nan=False)
        yield bytes.fromhex(one.key), point, answers, one.failure, one.seconds


def _outcome(row: Sequence[object] | None) -> Outcome:
    """A row as it was written; ValueError for one that was not written here."""
    if row is None:
        raise ValueError("a row is not there any more")
    key, point, answers, failure, seconds = row
    return Outcome(
        _key(key).hex(), _mapping(point, int | float | str), _mapping(answers, int | float),
        str(failure), float(str(seconds)),
    )  # fmt: skip


def _key(key: object) -> bytes:
    if not isinstance(key, bytes):
        raise ValueError("a key is not bytes")
    return key


def _mapping(text: object, kinds: Any) -> dict[str, Any]:
    found = json.loads(str(text))
    if not isinstance(found, dict) or not all(isinstance(v, kinds) for v in found.values()):
        raise ValueError("this is no mapping of names to values")
    return found


def _refused(path: Path, error: Exception) -> InputError:
    text = str(error)
    if "locked" in text:
        return InputError(
            [Problem("another run writes to this journal", "wait for it, or stop it", str(path))]
        )
    if "not a database" in text or not isinstance(error, OSError | sqlite3.OperationalError):
        message = "this is no journal of outcomes, or it is damaged; it is left as it is"
        return InputError([Problem(message, "move it away, or name another --output", str(path))])
    reason = getattr(error, "strerror", None) or text
    return InputError(
        [Problem(f"no journal can be kept here: {reason}", "name another --output", str(path))]
    )
