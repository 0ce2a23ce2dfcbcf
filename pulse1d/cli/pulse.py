"""``pulse1d pulse``: one pulse from a vessel through a runner, station by station."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

CAUTIONS = (
    "A prediction, not a measurement. A vessel under pressure stores energy: use a rated vessel "
    "and valve, a relief, ear protection, and stand clear of the outlet."
)


def pulse(
    case: Annotated[Path, typer.Argument(help="Case file with a `pulse` section.")],
    cell: Annotated[
        str | None, typer.Option(help='Cell length in place of the case\'s, such as "5 mm".')
    ] = None,
    duration: Annotated[
        str | None, typer.Option(help='Of the record, in place of the case\'s, such as "80 ms".')
    ] = None,
    output: Annotated[
        Path | None, typer.Option(help="Folder of the results, in place of CASE.results.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None,
        typer.Option(help="Draw traces to this .png, .svg or .pdf, and to FILE-waves the waves."),
    ] = None,
) -> None:
    """Burst a vessel into one port and follow its pulse to the outlet."""
    from pulse1d.case.design import load
    from pulse1d.cli import pulse_text
    from pulse1d.cli.options import quantity_option
    from pulse1d.cli.progress import Watch
    from pulse1d.cli.text import paragraph
    from pulse1d.plots.style import drawing_path

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
        typer.echo("\n" + paragraph(CAUTIONS, 0))
    stored = store(result, dataset, output)
    if json:
        from json import dumps

        typer.echo(dumps(pulse_record(result, stored), indent=1, allow_nan=False))
    typer.echo(f"saved: {stored}", err=True)
    if plot is not None:
        from pulse1d.plots.trace import draw_traces
        from pulse1d.plots.wave_diagram import draw_waves

        draw_traces(dataset, plot)
        waves = plot.with_stem(plot.stem + "-waves")
        draw_waves(dataset, waves)
        typer.echo(f"drawn: {plot}, {waves}", err=True)
    if result.outcome == "interrupted":
        typer.echo(f"interrupted at {1e3 * result.run.t:.4g} ms; what was done is kept", err=True)
        raise typer.Exit(130)
    if result.outcome == "failed":
        typer.echo(f"not finished: {result.reason}", err=True)
        raise typer.Exit(3)
