"""Errors as messages of one form, and the exit status that goes with each."""

from __future__ import annotations

import sys
from collections.abc import Sequence

import typer

from pulse1d.cli.telling import begun
from pulse1d.cli.usage import UsageError, problem_of
from pulse1d.errors import ConvergenceError, InputError, Problem, Pulse1dError

BAD_INPUT, NOT_FINISHED, INTERRUPTED = 2, 3, 130


def report(error: BaseException, verbs: Sequence[str]) -> int:
    """Print what went wrong on stderr.

    Parameters
    ----------
    error : exception   That ended the run [-]
    verbs : sequence of str   Of the program [-]
    Returns
    -------
    status : int   With which the program leaves [-]
    """
    if type(error).__name__ == "NoArgsIsHelpError":
        print(error, file=sys.stderr)
        return BAD_INPUT
    if isinstance(error, UsageError):
        return _refused([problem_of(error, verbs)])
    if isinstance(error, InputError):
        return _refused(error.problems)
    if isinstance(error, (KeyboardInterrupt, typer.Abort)):
        print("interrupted", file=sys.stderr)
        return INTERRUPTED
    if isinstance(error, ConvergenceError):
        remedy = "`pulse1d check` shows whether the geometry is what was meant"
        print(Problem(f"not converged: {error}", remedy), file=sys.stderr)
        return NOT_FINISHED
    if isinstance(error, Pulse1dError):
        return _refused([Problem(str(error))])
    if isinstance(error, OSError):
        message = f"cannot be read or written: {error.strerror or error}"
        remedy = "see that its folder is there, that you may use it, and that the disk has room"
        print(Problem(message, remedy, str(error.filename or "")), file=sys.stderr)
        return BAD_INPUT
    return _defect(error)


def _refused(problems: list[Problem]) -> int:
    count = len(problems)
    print("\n".join(map(str, problems)), file=sys.stderr)
    nothing = "" if begun() else "; nothing was run"
    print(f"\n{count} problem{'s' if count != 1 else ''}{nothing}.", file=sys.stderr)
    return BAD_INPUT


def _defect(error: BaseException) -> int:
    """An error that nobody foresaw: all of it, for whoever mends it."""
    from traceback import print_exception

    print_exception(error)
    remedy = "a defect of pulse1d; keep this text, the command and the case, and report them"
    print(Problem(f"{type(error).__name__}: not foreseen", remedy), file=sys.stderr)
    return NOT_FINISHED
