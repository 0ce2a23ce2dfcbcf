"""Entry point: the verbs, and errors turned into messages and exit codes."""

from __future__ import annotations

import os
import sys
from typing import Annotated, Any

import typer

from pulse1d import __version__
from pulse1d.cli import (
    bench,
    check,
    claim,
    compare,
    cycle,
    doctor,
    explain,
    fit,
    life,
    new,
    parts,
    pulse,
    reduce,
    report,
    search,
    sweep,
)

NAME, COMPLETION = "pulse1d", "_PULSE1D_COMPLETE"
EXITS = (
    "Exit status: 0 done, 1 an expectation failed, 2 bad input, 3 not converged or not finished, "
    "130 interrupted."
)

app = typer.Typer(
    name=NAME,
    help="1-D gas dynamics of exhaust runners: bench flow and pulses before the part exists.",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog=EXITS,
)
app.command("new", epilog=EXITS)(new.new)
app.command("check", epilog=EXITS)(check.check)
app.command("bench", epilog=EXITS)(bench.bench)
app.command("reduce", epilog=EXITS)(reduce.reduce)
app.command("parts", epilog=EXITS)(parts.parts)
app.command("claim", epilog=EXITS)(claim.claim)
app.command("compare", epilog=EXITS)(compare.compare)
app.command("fit", epilog=EXITS)(fit.fit)
app.command("cycle", epilog=EXITS)(cycle.cycle)
app.command("pulse", epilog=EXITS)(pulse.pulse)
app.command("life", epilog=EXITS)(life.life)
app.command("report", epilog=EXITS)(report.report)
app.command("sweep", epilog=EXITS)(sweep.sweep)
app.command("search", epilog=EXITS)(search.search)
app.command("explain", epilog=EXITS)(explain.explain)
app.command("doctor", epilog=EXITS)(doctor.doctor)


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
    command: Any = typer.main.get_command(app)
    if COMPLETION in os.environ:
        command(prog_name=NAME)
    try:
        with command.make_context(NAME, sys.argv[1:]) as context:
            command.invoke(context)
        sys.stdout.flush()
    except typer.Exit as leaving:
        sys.exit(leaving.exit_code)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except (Exception, KeyboardInterrupt) as error:
        from pulse1d.cli.failures import report

        sys.exit(report(error, list(command.commands)))
