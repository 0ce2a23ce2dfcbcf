"""``pulse1d search``: the designs of a study that serve its objectives best."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def search(
    study: Annotated[Path, typer.Argument(help="The study file.")],
    points: Annotated[int, typer.Option(min=1, help="Most designs to compute.")] = 200,
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same search.")] = 1,
    robust: Annotated[
        bool,
        typer.Option("--robust", help="Aim at the worse end of each 5-95 % band, not the centre."),
    ] = False,
    slopes: Annotated[
        bool,
        typer.Option("--slopes", help="No search: what a small change of each parameter buys."),
    ] = False,
    shares: Annotated[
        str | None,
        typer.Option(help="No search: whose doing this answer's variance is. An answer's name."),
    ] = None,
    workers: Annotated[
        int | None, typer.Option(min=1, help="Processes; one for each core if left out.")
    ] = None,
    cluster: Annotated[
        str | None, typer.Option(help="Scheduler of a cluster, to compute there.")
    ] = None,
    output: Annotated[
        Path | None, typer.Option(help="Folder of the journal, in place of STUDY.results.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None, typer.Option(help="Draw the front, or bars, to .png, .svg or .pdf.")
    ] = None,
) -> None:
    """Search a study's designs for the best trade, or ask which dimension matters."""
    from pulse1d.cli.search_draw import draw
    from pulse1d.cli.search_run import run
    from pulse1d.cli.search_text import record, report
    from pulse1d.errors import InputError, Problem
    from pulse1d.plots.style import drawing_path

    plot = drawing_path(plot) if plot is not None else None
    if slopes and shares is not None:
        raise InputError([Problem("--slopes and --shares are two questions", "ask one at a time")])
    kind = "slopes" if slopes else "shares" if shares is not None else "search"
    if robust and kind != "search":
        message = f"--robust belongs to a search, not to --{kind}"
        raise InputError([Problem(message, "leave one of them out")])
    found = run(study, kind, points, seed, robust, shares, workers, cluster, output)
    if json:
        from json import dumps

        typer.echo(dumps(record(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        typer.echo(report(found))
    if plot is not None:
        drawn = draw(found, plot)
        if drawn:
            typer.echo(f"drawn: {', '.join(map(str, drawn))}", err=True)
    if found.stopped:
        typer.echo(
            "interrupted; every design computed is kept, the same command reads it", err=True
        )
        raise typer.Exit(130)
    if found.nothing:
        raise typer.Exit(3)
