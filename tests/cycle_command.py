"""``pulse1d cycle`` called as a user calls it, without a process of its own."""

from __future__ import annotations

from typer.testing import CliRunner, Result

from pulse1d.cli.main import app
from pulse1d.errors import InputError


def invoke(*arguments: object) -> Result:
    """The verb with its arguments."""
    return CliRunner().invoke(app, ["cycle", *map(str, arguments)])


def faults(result: Result) -> str:
    """What was wrong with the input."""
    assert isinstance(result.exception, InputError), result.output
    return str(result.exception)
