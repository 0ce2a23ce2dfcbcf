"""``pulse1d pulse``: one pulse from a vessel through a runner, station by station."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.flags import Export, Json, Output, Plot, Quiet
from pulse1d.run.cautions import PULSE


def pulse(
    case: Annotated[Path, typer.Argument(metavar="CASE", help="Case file with a `pulse` section.")],
    cell: Annotated[
        str | None,
        typer.Option(metavar="LENGTH", help='Cell length in place of the case\'s, such as "5 mm".'),
    ] = None,
    duration: Annotated[
        str | None,
        typer.Option(
            metavar="TIME", help='Of the record, in place of the case\'s, such as "80 ms".'
        ),
    ] = None,
    output: Output = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Burst a vessel into one port and follow its pulse to the outlet."""
    from pulse1d.case.design import load
    from pulse1d.cli import exporting, pulse_text
    from pulse1d.cli.options import quantity_option
    from pulse1d.cli.progress import Progress, Watch
    from pulse1d.cli.telling import print_json, told
    from pulse1d.cli.text import paragraph
    from pulse1d.plots.style import drawing_path

    exporting.export_path(export, "pulse")
    metres = quantity_option("--cell", cell, "length")
    seconds = quantity_option("--duration", duration, "time")
    if plot is not None:
        plot = drawing_path(plot)
    design = load(case)

    from pulse1d.run import pulse as rig
    from pulse1d.run.pulse_record import pulse_dataset, pulse_record, store

    with Watch(design.name, rig.pulse_setup(design, seconds).duration) as watch:
        result = rig.pulse(design, cell=metres, duration=seconds, watch=watch)
    dataset = pulse_dataset(result)
    if not json:
        typer.echo(pulse_text.report(result))
        typer.echo("\n" + paragraph(PULSE, 0))
    stored = store(result, dataset, output)
    if json:
        print_json(pulse_record(result, stored))
    told("saved", [stored])
    if export is not None:
        from pulse1d.run.pulse_tables import pulse_tables

        exporting.export(pulse_tables(result), export, "pulse", [case])
    if plot is not None:
        from pulse1d.plots.trace import draw_traces
        from pulse1d.plots.wave_diagram import draw_waves

        waves = plot.with_stem(plot.stem + "-waves")
        with Progress("drawing"):
            draw_traces(dataset, plot)
            draw_waves(dataset, waves)
        told("drawn", [plot, waves])
    if result.outcome == "interrupted":
        typer.echo(f"interrupted at {1e3 * result.run.t:.4g} ms; what was done is kept", err=True)
        raise typer.Exit(130)
    if result.outcome == "failed":
        typer.echo(f"not finished: {result.reason}", err=True)
        raise typer.Exit(3)
