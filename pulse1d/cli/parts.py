"""``pulse1d parts``: two parts read on a bench, and whether their difference is shown."""

from __future__ import annotations

import typer

from pulse1d.cli.flags import Base, Export, Json, ManyReadings, Other, Plot, Quiet


def parts(
    readings: ManyReadings,
    base: Base,
    other: Other = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Compare two parts from bench readings: gain, and how surely. It says what would settle it."""
    from pulse1d.case.readings import load_reduced
    from pulse1d.cli import exporting, parts_text
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json, told
    from pulse1d.compare.parts import compare_parts
    from pulse1d.compare.parts_record import parts_record
    from pulse1d.plots.style import drawing_path

    exporting.export_path(export, "parts")
    if plot is not None:
        plot = drawing_path(plot)
    with Progress("comparing"):
        found = compare_parts([load_reduced(path) for path in readings], base, other)
    if json:
        print_json(parts_record(found))
    else:
        typer.echo(parts_text.report(found))
    if export is not None:
        from pulse1d.compare.parts_tables import parts_tables

        exporting.export(parts_tables(found), export, "parts", readings)
    if plot is not None:
        from pulse1d.plots.parts import draw_parts

        with Progress("drawing"):
            draw_parts(found, plot)
        told("drawn", [plot])
