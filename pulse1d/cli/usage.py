"""A command line that cannot be read, told like every other error: what, and what to do."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any

import typer

from pulse1d.errors import Problem

UsageError: Any = typer.BadParameter.__mro__[1]
"""What typer raises for any command line that it cannot read."""


def problem_of(error: Any, verbs: Sequence[str]) -> Problem:
    """A usage error in the form of all errors.

    Parameters
    ----------
    error : UsageError   As typer raises it [-]
    verbs : sequence of str   Of the program [-]
    Returns
    -------
    problem : Problem   With a remedy [-]
    """
    program = _program(error, verbs)
    help_shows = f"`{program} --help` shows what it takes"
    text, kind = _seen(error.format_message()), type(error).__name__
    if kind == "NoSuchOption":
        typed = _seen(error.option_name)
        options = [name for one in error.ctx.command.params for name in one.opts]
        remedy = nearest(typed, options, f"`{program} --help` lists its options")
        return Problem(f"{typed}: {program} has no such option", remedy)
    if wanted := re.match(r"No such command '([^']*)'", text):
        remedy = nearest(wanted[1], verbs, "`pulse1d --help` lists them")
        return Problem(f"{wanted[1]}: pulse1d has no such verb", remedy)
    if wanted := re.match(r"Option '([^']*)' requires an argument", text):
        return Problem(f"{wanted[1]}: its value is missing", help_shows)
    if wanted := re.match(r"Got unexpected extra argument(?:s|\(s\))? \((.*)\)", text):
        return Problem(f"{wanted[1]}: more than {program} takes", help_shows)
    if kind == "MissingParameter":
        return Problem(f"{_name(error)} is missing: {program} needs it", help_shows)
    if kind == "BadParameter":
        return bad_value(_name(error), _seen(str(error.message)), help_shows)
    return Problem(f"{program}: {_lower(text)}", help_shows)


def bad_value(name: str, message: str, otherwise: str) -> Problem:
    """A value that an option cannot take.

    Parameters
    ----------
    name : str   Of the option [-]
    message : str   Typer's own [-]
    otherwise : str   Remedy where nothing better is known [-]
    Returns
    -------
    problem : Problem   [-]
    """
    message = re.sub(r"^(value error, |input )", "", _lower(message), flags=re.I)
    if choice := re.match(r"'(.*?)' is not (?:one of )?('.*')$", message):
        values = re.findall(r"'([^']*)'", choice[2])
        listed = f"it takes {' or '.join(values)}"
        return Problem(f"{name}: {choice[1]!r} is no choice", nearest(choice[1], values, listed))
    return Problem(f"{name}: {message}", otherwise)


def nearest(typed: str, known: Sequence[str], otherwise: str) -> str:
    """A remedy that suggests what was meant.

    Parameters
    ----------
    typed : str   [-]
    known : sequence of str   [-]
    otherwise : str   What else to do [-]
    Returns
    -------
    remedy : str   [-]
    """
    found = get_close_matches(typed, known, n=2, cutoff=0.6)
    return f"did you mean {' or '.join(found)}? {otherwise}" if found else otherwise


def _program(error: Any, verbs: Sequence[str]) -> str:
    """The program with the verb that was being read."""
    verb = ""
    if error.ctx is None:
        verb = next((word for word in sys.argv[1:] if word in verbs), "")
    elif error.ctx.parent is not None:
        verb = error.ctx.info_name
    return f"pulse1d {verb}".strip()


def _name(error: Any) -> str:
    """How the user writes the parameter: --depression, or CASES."""
    parameter = error.param
    if parameter is None:
        return str(error.param_hint or "the command line").strip("'")
    longest = max(parameter.opts, key=len)
    return longest if longest.startswith("-") else str(parameter.metavar or parameter.name).upper()


def _lower(text: str) -> str:
    text = text.rstrip(".")
    return text[:1].lower() + text[1:]


def _seen(text: str) -> str:
    """Text without characters that would steer a terminal."""
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
