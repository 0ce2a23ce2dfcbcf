"""Every way to fail has its message and its exit status."""

from __future__ import annotations

import errno
import io
import sys
from typing import Any

import pytest
import typer

from pulse1d.cli import progress, telling
from pulse1d.cli.failures import report
from pulse1d.cli.usage import bad_value, nearest
from pulse1d.errors import ConvergenceError, InputError, Problem, UnitError


@pytest.mark.parametrize(
    ("error", "status", "words"),
    [
        (InputError([Problem("one"), Problem("two", "mend it", "a.yaml", 3)]), 2, "2 problems;"),
        (InputError([Problem("one", "mend it")]), 2, "    remedy: mend it"),
        (UnitError("28 has no unit"), 2, "28 has no unit"),
        (ConvergenceError("stalled"), 3, "not converged: stalled"),
        (KeyboardInterrupt(), 130, "interrupted"),
        (typer.Abort(), 130, "interrupted"),
        (OSError(errno.ENOSPC, "No space left on device", "out.nc"), 2, "out.nc: cannot be"),
        (OSError(errno.EACCES, "Permission denied", "x"), 2, "Permission denied"),
        (ZeroDivisionError("0"), 3, "a defect of pulse1d"),
    ],
)
def test_status_and_words(
    error: BaseException,
    status: int,
    words: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(telling, "_begun", [False])  # other tests of this process have run verbs
    assert report(error, ["bench"]) == status
    told = capsys.readouterr()
    assert words in told.err
    assert told.out == ""


def test_a_defect_keeps_its_trace(capsys: pytest.CaptureFixture[str]) -> None:
    try:
        raise RuntimeError("planted")
    except RuntimeError as error:
        report(error, [])
    assert "test_cli_failures.py" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("message", "said", "remedy"),
    [
        ("'blwn' is not one of 'blown', 'sucked'.", "'blwn' is no choice", "did you mean blown?"),
        ("Value error, 'x' is not one of 'a', 'b'", "'x' is no choice", "it takes a or b"),
        ("Input should be a valid integer", "should be a valid integer", "see help"),
    ],
)
def test_typer_s_words_become_ours(message: str, said: str, remedy: str) -> None:
    problem = bad_value("--direction", message, "see help")
    assert problem.message == f"--direction: {said}"
    assert problem.remedy.startswith(remedy)


def test_nothing_near_is_no_suggestion() -> None:
    assert nearest("--qqq", ["--json", "--plot"], "look") == "look"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(monkeypatch: pytest.MonkeyPatch, hushed: bool = False) -> str:
    """What a terminal sees of a run that compiles in between."""
    from numba import njit

    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr(progress, "DELAY", 0.0)
    telling.hush(hushed)
    try:
        with progress.Progress("solving", 4.0) as bar:
            if bar._timer is not None:
                bar._timer.join()
            bar.reach(2.0)
            njit(lambda x: x + 1.0)(1.0)
            bar.reach(4.0)
    finally:
        telling.hush(False)
    return screen.getvalue()


def test_a_long_run_shows_progress_and_that_it_compiles(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []
    refresh = progress.Progress._refresh

    def watched(self: Any) -> None:
        refresh(self)
        if self._bar is not None:
            told.append(self._bar.tasks[0].description)

    monkeypatch.setattr(progress.Progress, "_refresh", watched)
    assert "solving" in shown(monkeypatch)
    assert progress.COMPILING in told
    assert told[-1] == "solving"


def test_quiet_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert shown(monkeypatch, hushed=True) == ""


def test_no_terminal_no_progress(capsys: pytest.CaptureFixture[str]) -> None:
    with progress.Progress("solving") as bar:
        assert bar._timer is None
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("raised", "status", "words"),
    [
        (KeyboardInterrupt(), 130, "interrupted"),
        (ConvergenceError("stalled"), 3, "not converged: stalled"),
        (typer.Exit(3), 3, ""),
    ],
)
def test_the_program_leaves_with_it(
    raised: BaseException,
    status: int,
    words: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    from pulse1d.cli.main import run
    from pulse1d.losses import explain

    def fails() -> dict[str, str]:
        raise raised

    monkeypatch.setattr(explain, "names", fails)
    monkeypatch.setattr(sys, "argv", ["pulse1d", "explain"])
    with pytest.raises(SystemExit) as left:
        run()
    assert left.value.code == status
    told = capsys.readouterr()
    assert words in told.err
    assert (told.err == "") == (words == "")
