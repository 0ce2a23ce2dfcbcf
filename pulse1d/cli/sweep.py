"""``pulse1d sweep``: every point of a study."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def sweep(
    study: Annotated[Path, typer.Argument(help="The study file.")],
    workers: Annotated[
        int | None, typer.Option(min=1, help="Processes; one for each core if left out.")
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(help="Scheduler of a cluster, such as tcp://host:8786, to compute there."),
    ] = None,
    output: Annotated[
        Path | None, typer.Option(help="Folder of journal and results, in place of STUDY.results.")
    ] = None,
    retry: Annotated[
        bool, typer.Option("--retry", help="Compute again what failed before.")
    ] = False,
    export: Annotated[
        Path | None, typer.Option(help="Write the table to a new .csv, .parquet or .nc file, too.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None,
        typer.Option(help="Draw the answers to this .png, .svg or .pdf, FILE-map and more."),
    ] = None,
) -> None:
    """Compute every point of a study; stop it and run it again, and it goes on from there."""
    from pulse1d.cli.sweep_text import record, report
    from pulse1d.cli.sweep_watch import SweepWatch
    from pulse1d.plots.style import drawing_path
    from pulse1d.study.export import export as write
    from pulse1d.study.export import export_path
    from pulse1d.study.load import load_study
    from pulse1d.study.plan import chosen
    from pulse1d.study.sweep import sweep as run

    plot = drawing_path(plot) if plot is not None else None
    export = export_path(export) if export is not None else None
    loaded = load_study(study)
    plan = chosen(loaded)
    watch = SweepWatch()
    with watch:
        swept = run(
            loaded, plan, workers=workers, cluster=cluster, output=output, watch=watch.told,
            retry=retry,
        )  # fmt: skip
    if swept.dataset is None:
        typer.echo(
            f"interrupted; {swept.computed} points were computed now and are kept in "
            f"{swept.journal}; the same command goes on from there",
            err=True,
        )
        raise typer.Exit(130)
    if json:
        from json import dumps

        typer.echo(dumps(record(swept), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        typer.echo(report(swept))
    typer.echo(f"saved: {swept.path}", err=True)
    if export is not None:
        write(swept.dataset, export)
        typer.echo(f"exported: {export}", err=True)
    if plot is not None:
        from pulse1d.cli.sweep_draw import draw

        draw(swept, plot)
    if sum(swept.failures.values()) == len(plan.points):
        raise typer.Exit(3)
