"""``pulse1d search``: the designs of a study that serve its objectives best."""

from __future__ import annotations

from typing import Annotated

import typer

from pulse1d.cli.flags import (
    Cluster,
    Export,
    Json,
    Output,
    Plot,
    Quiet,
    Seed,
    Study,
    Workers,
)


def search(
    study: Study,
    points: Annotated[int, typer.Option(metavar="N", min=1, help="Most designs to compute.")] = 200,
    seed: Seed = 1,
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
        typer.Option(
            metavar="ANSWER",
            help="No search: whose doing this answer's variance is. An answer's name.",
        ),
    ] = None,
    workers: Workers = None,
    cluster: Cluster = None,
    output: Output = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Search a study for the best trade, or for what matters."""
    from pulse1d.cli import exporting
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.search_draw import draw
    from pulse1d.cli.search_run import run
    from pulse1d.cli.search_text import record, report
    from pulse1d.cli.telling import print_json, told
    from pulse1d.errors import InputError, Problem
    from pulse1d.plots.style import drawing_path

    plot = drawing_path(plot) if plot is not None else None
    exporting.export_path(export, "search")
    if slopes and shares is not None:
        raise InputError([Problem("--slopes and --shares are two questions", "ask one at a time")])
    kind = "slopes" if slopes else "shares" if shares is not None else "search"
    if robust and kind != "search":
        message = f"--robust belongs to a search, not to --{kind}"
        raise InputError([Problem(message, "leave one of them out")])
    found = run(study, kind, points, seed, robust, shares, workers, cluster, output)
    if json:
        print_json(record(found))
    else:
        typer.echo(report(found))
    if export is not None:
        from pulse1d.cli.search_export import search_tables

        exporting.export(search_tables(found), export, "search", [study])
    if plot is not None:
        with Progress("drawing"):
            drawn = draw(found, plot)
        told("drawn", drawn)
    if found.stopped:
        typer.echo(
            "interrupted; every design computed is kept, the same command reads it", err=True
        )
        raise typer.Exit(130)
    if found.nothing:
        raise typer.Exit(3)
