"""The journal: what is finished stays, whatever happens, and nobody else's is written to."""

from __future__ import annotations

import hashlib
import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from pulse1d.errors import InputError
from pulse1d.study.journal import Journal, JournalError
from pulse1d.study.outcome import Outcome


def outcome(k: int, failure: str = "") -> Outcome:
    key = hashlib.sha256(str(k).encode()).hexdigest()
    answers = {} if failure else {"mean flow": 0.1 + k / 3.0}
    return Outcome(key, {"length": 0.1 * k, "stock": "1.5 in"}, answers, failure, 0.25)


def test_what_was_appended_is_read_back_to_the_last_bit(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "journal.sqlite"
    with Journal(path, "study a") as journal:
        journal.append([outcome(1), outcome(2, "a bend is too tight")])
        journal.append([outcome(3)])
    with Journal(path, "study a") as journal:
        assert list(journal) == [outcome(1), outcome(2, "a bend is too tight"), outcome(3)]
        assert journal.get(outcome(3).key) == outcome(3)
        assert journal.failed(outcome(2).key)
        assert not journal.failed(outcome(3).key)
        assert journal.get(outcome(4).key) is None
        assert len(journal) == 3


def test_a_later_outcome_of_a_point_counts(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    for _ in range(2):  # as written, and as read back
        with Journal(path, "study a") as journal:
            if not len(journal):
                journal.append([outcome(1, "killed")])
                journal.append([outcome(1)])
            assert list(journal) == [outcome(1)]
            assert not journal.failed(outcome(1).key)


@pytest.mark.parametrize("change", ["study", "version", "format"])
def test_a_journal_of_another_study_or_version_is_refused_and_left(
    tmp_path: Path, change: str
) -> None:
    path = tmp_path / "journal.sqlite"
    with Journal(path, "study a") as journal:
        journal.append([outcome(1)])
    if change != "study":
        with closing(sqlite3.connect(path)) as db, db:
            db.execute("UPDATE about SET value = 'older' WHERE name = ?", (change,))
    before = path.read_bytes()
    with pytest.raises(InputError, match=f"another {change}"):
        Journal(path, "study b" if change == "study" else "study a")
    assert path.read_bytes() == before


def test_a_file_that_is_no_journal_is_refused_and_left(tmp_path: Path) -> None:
    text = tmp_path / "text.sqlite"
    text.write_text("length, flow\n" * 100)
    foreign = tmp_path / "foreign.sqlite"
    with closing(sqlite3.connect(foreign)) as db, db:
        db.execute("CREATE TABLE recipes (name TEXT)")
    for path in (text, foreign):
        before = path.read_bytes()
        with pytest.raises(InputError, match="no journal"):
            Journal(path, "study a")
        assert path.read_bytes() == before


def test_one_run_at_a_time(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    with Journal(path, "study a") as journal:
        journal.append([outcome(1)])
        with pytest.raises(InputError, match="another run"):
            Journal(path, "study a")
    with Journal(path, "study a") as journal:
        assert len(journal) == 1


def fill(journal: Journal) -> None:
    for k in range(0, 10_000, 10):
        journal.append([outcome(k + i) for i in range(10)])


def test_a_full_disk_keeps_what_is_finished(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    with Journal(path, "study a") as journal:
        pages = journal._db.execute("PRAGMA page_count").fetchone()[0]
        journal._db.execute(f"PRAGMA max_page_count = {pages + 5}")  # sqlite then says: full
        with pytest.raises(JournalError, match=r"full.*are kept\n.*room on the disk"):
            fill(journal)
        kept = len(journal)
        assert 0 < kept < 10_000
        assert kept % 10 == 0  # all of an append or none
    with Journal(path, "study a") as journal:
        assert [one.point["length"] for one in journal] == [0.1 * k for k in range(kept)]
        journal.append([outcome(kept)])  # there is room again
        assert len(journal) == kept + 1


def test_an_append_writes_the_same_whatever_is_there(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"

    def written(first: int) -> int:
        log = path.with_name(path.name + "-wal")
        before = log.stat().st_size
        for k in range(first, first + 10):
            journal.append([outcome(k)])
        return (log.stat().st_size - before) // 4096

    with Journal(path, "study a") as journal:
        journal._db.execute("PRAGMA wal_autocheckpoint = 0")  # so that the log only grows
        journal.append([outcome(k) for k in range(100)])
        early = written(100)
        journal.append([outcome(k) for k in range(200, 20_000)])
        late = written(20_000)
    # A page or two an append: the last of the table, a new one now and then and those above it.
    assert 10 <= early <= 20
    assert late <= early + 10


def test_a_kill_in_the_middle_loses_no_finished_append(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    code = (
        "import sys; sys.path[:0] = sys.argv[2:]\n"
        "from pathlib import Path\n"
        "from pulse1d.study.journal import Journal\n"
        "from test_study_journal import outcome\n"
        "with Journal(Path(sys.argv[1]), 'study a') as journal:\n"
        "    for k in range(1_000_000):\n"
        "        journal.append([outcome(k)])\n"
        "        print(k + 1, flush=True)\n"
    )
    arguments = [sys.executable, "-c", code, str(path), str(Path(__file__).parent)]
    with subprocess.Popen(arguments, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        for _ in range(20):
            writer.stdout.readline()
        time.sleep(0.01)
        os.kill(writer.pid, signal.SIGKILL)
        told = 20 + len(writer.stdout.read().split())
    with Journal(path, "study a") as journal:
        assert told <= len(journal) <= told + 1  # the last may have been kept but not yet told
        assert list(journal) == [outcome(k) for k in range(len(journal))]
