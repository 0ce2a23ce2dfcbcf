"""``pulse1d doctor``: is this installation sound?"""

from __future__ import annotations

import typer

from pulse1d.cli.flags import Json, Quiet


def doctor(json: Json = False, quiet: Quiet = False) -> None:
    """Check this installation: versions, cache, three exact answers."""
    from pulse1d.cli.doctor_text import record, report
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json
    from pulse1d.run.doctor import examine

    with Progress("checking"):
        found = examine()
    if json:
        print_json(record(found))
    else:
        typer.echo(report(found))
    if not found.sound:
        raise typer.Exit(1)
