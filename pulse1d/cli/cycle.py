"""``pulse1d cycle``: the running engine, speed by speed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.flags import Cases, Export, Json, Output, Plot, Quiet
from pulse1d.run.cautions import CYCLE


def cycle(
    cases: Cases,
    speeds: Annotated[
        str,
        typer.Option(
            metavar="SPEEDS", help="In rev/min: 1500:6500:250, or 2000,3000, or one number."
        ),
    ],
    at: Annotated[
        str | None,
        typer.Option(metavar="SPEED", help="Speed of the details; the middle one if left out."),
    ] = None,
    interference: Annotated[
        bool, typer.Option("--interference", help="Show which cylinder disturbs which.")
    ] = False,
    waves: Annotated[
        bool, typer.Option("--waves", help="Show which waves come back, and from where.")
    ] = False,
    tuning: Annotated[
        bool, typer.Option("--tuning", help="Show classical tuned lengths beside.")
    ] = False,
    bands: Annotated[
        bool,
        typer.Option("--bands", help="Show how sure the answers are: a march for every doubt."),
    ] = False,
    downstream: Annotated[
        Path | None,
        typer.Option(
            metavar="CASE",
            help="Run every case behind what this case has downstream of its outlet.",
        ),
    ] = None,
    bare: Annotated[
        bool, typer.Option("--bare", help="Run every case with its outlet open, too.")
    ] = False,
    measured: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="A .csv file of port pressure by crank angle, or torque by speed."
        ),
    ] = None,
    cylinder: Annotated[
        str | None,
        typer.Option(
            metavar="CYLINDER", help="Of --measured and of the wave picture; else the first."
        ),
    ] = None,
    output: Output = None,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="March again speeds that are saved.")
    ] = False,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Run the engine behind the part: torque, filling, pulses. It tells who disturbs whom."""
    from pulse1d.case.design import load
    from pulse1d.case.measured_csv import read_measured
    from pulse1d.cli import exporting, telling
    from pulse1d.cli.cycle_draw import draw
    from pulse1d.cli.cycle_run import check, run_cases, warn
    from pulse1d.cli.cycle_say import say
    from pulse1d.cli.cycle_told import details
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.speeds_option import speed_at, speeds_option
    from pulse1d.plots.style import drawing_path
    from pulse1d.run.settings import settings

    exporting.export_path(export, "cycle")
    asked = speeds_option(speeds)
    chosen = speed_at(at, asked)
    if plot is not None:
        plot = drawing_path(plot)
    laid = read_measured(measured) if measured is not None else None
    designs = [load(path) for path in cases]
    source = load(downstream) if downstream is not None else None
    arranged = settings(designs, source, bare)
    check(designs, cylinder, interference or waves)
    warn(designs, asked)
    sweeps, stopped = run_cases(arranged, asked, output, fresh)
    told = details(
        sweeps, chosen, at is not None, cylinder, laid, stopped,
        waves=interference or waves, tuning=tuning, bands=bands, fresh=fresh,
    )  # fmt: skip
    say(sweeps, told, json, interference, waves, CYCLE)
    if export is not None:
        from pulse1d.cli.cycle_export import every_table

        exporting.export(every_table(sweeps, told), export, "cycle", cases)
    if plot is not None and told.cases:
        with Progress("drawing"):
            drawn = draw(sweeps, told, plot, interference, waves)
        telling.told("drawn", drawn)
    if told.outcome == "interrupted":
        typer.echo("interrupted; the speeds that were finished are kept", err=True)
        raise typer.Exit(130)
    if told.outcome != "done":
        raise typer.Exit(3)
