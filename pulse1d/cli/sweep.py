"""``pulse1d sweep``: every point of a study."""

from __future__ import annotations

from typing import Annotated

import typer

from pulse1d.cli.flags import Cluster, Export, Json, Output, Plot, Quiet, Study, Workers


def sweep(
    study: Study,
    workers: Workers = None,
    cluster: Cluster = None,
    output: Output = None,
    retry: Annotated[
        bool, typer.Option("--retry", help="Compute again what failed before.")
    ] = False,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Compute every point of a study. Stop it and run it again, and it goes on from there."""
    from pulse1d.cli import exporting
    from pulse1d.cli.sweep_text import record, report
    from pulse1d.cli.sweep_watch import SweepWatch
    from pulse1d.cli.telling import print_json, told
    from pulse1d.plots.style import drawing_path
    from pulse1d.study.load import load_study
    from pulse1d.study.plan import chosen
    from pulse1d.study.sweep import sweep as run

    plot = drawing_path(plot) if plot is not None else None
    exporting.export_path(export, "sweep")
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
        print_json(record(swept))
    else:
        typer.echo(report(swept))
    if swept.path is not None:
        told("saved", [swept.path])
    if export is not None:
        from pulse1d.study.study_tables import points_table

        exporting.export([points_table(swept.dataset)], export, "sweep", [study])
    if plot is not None:
        from pulse1d.cli.sweep_draw import draw

        draw(swept, plot)
    if sum(swept.failures.values()) == len(plan.points):
        raise typer.Exit(3)
