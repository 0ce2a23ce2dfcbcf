"""``pulse1d compare``: predicted against measured, port by port."""

from __future__ import annotations

import typer

from pulse1d.cli.flags import Case, Export, Json, Part, Plot, Quiet, Readings
from pulse1d.run.cautions import BENCH


def compare(
    case: Case,
    readings: Readings,
    part: Part = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Hold a prediction against readings, and say what is off."""
    from pulse1d.cli import exporting
    from pulse1d.cli.compare_text import report
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json, told
    from pulse1d.cli.text import paragraph
    from pulse1d.compare.faults import judge
    from pulse1d.compare.pair import open_pair
    from pulse1d.compare.record import compare_record
    from pulse1d.plots.style import drawing_path

    exporting.export_path(export, "compare")
    if plot is not None:
        plot = drawing_path(plot)
    with Progress("comparing"):
        comparison = open_pair(case, readings, part)
        verdict = judge(comparison)
    if json:
        print_json(compare_record(comparison, verdict))
    else:
        typer.echo(report(comparison, verdict))
        typer.echo("\n" + paragraph(BENCH, 0))
    if export is not None:
        from pulse1d.compare.against_tables import compare_tables

        tables = compare_tables(comparison, verdict)
        exporting.export(tables, export, "compare", [case, readings])
    if plot is not None:
        from pulse1d.case.shown import shown
        from pulse1d.plots.compare import draw_comparison

        with Progress("drawing"):
            draw_comparison(comparison, verdict, plot, shown(comparison.design.document))
        told("drawn", [plot])
