"""Entry point: the verbs, and errors turned into messages and exit codes."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from pulse1d import __version__
from pulse1d.cli import (
    bench,
    check,
    claim,
    compare,
    cycle,
    fit,
    life,
    new,
    parts,
    pulse,
    reduce,
    search,
    sweep,
)

app = typer.Typer(
    name="pulse1d",
    help="1-D gas dynamics of exhaust runners: bench flow and pulses before the part exists.",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog="Exit status: 0 done, 1 an expectation failed, 2 bad input, 3 not converged, "
    "130 interrupted.",
)
app.command("new")(new.new)
app.command("check")(check.check)
app.command("bench")(bench.bench)
app.command("reduce")(reduce.reduce)
app.command("parts")(parts.parts)
app.command("claim")(claim.claim)
app.command("compare")(compare.compare)
app.command("fit")(fit.fit)
app.command("cycle")(cycle.cycle)
app.command("pulse")(pulse.pulse)
app.command("life")(life.life)
app.command("sweep")(sweep.sweep)
app.command("search")(search.search)


def _version(show: bool) -> None:
    if show:
        typer.echo(f"pulse1d {__version__}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Options of the program itself."""


def run() -> None:
    """Run the command line and leave with its exit status."""
    from pulse1d.errors import InputError, Pulse1dError

    try:
        app()
    except InputError as error:
        count = len(error.problems)
        print(error, file=sys.stderr)
        print(f"\n{count} problem{'s' if count != 1 else ''}; nothing was run.", file=sys.stderr)
        sys.exit(2)
    except Pulse1dError as error:
        print(error, file=sys.stderr)
        sys.exit(2)
    except KeyboardInterrupt:
        print("interrupted", file=sys.stderr)
        sys.exit(130)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
