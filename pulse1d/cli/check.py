"""``pulse1d check``: is the case sound, and what geometry does it describe?"""

from __future__ import annotations

from typing import Annotated

import typer

from pulse1d.cli.flags import Cases, Export, Json, Plot, Quiet


def check(
    cases: Cases,
    drawing_notes: Annotated[
        bool,
        typer.Option("--drawing-notes", help="Suggest notes for the pattern shop or fabricator."),
    ] = False,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Check a case and print the geometry that it describes."""
    from pulse1d.case.design import Design, load
    from pulse1d.cli import exporting
    from pulse1d.cli.check_text import report
    from pulse1d.cli.notes_text import notes_text
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import begin, print_json, told
    from pulse1d.errors import InputError
    from pulse1d.plots.style import drawing_path
    from pulse1d.run.geometry import check_record

    exporting.export_path(export, "check")
    if plot is not None:
        plot = drawing_path(plot)
    designs: list[Design] = []
    problems = []
    with Progress("reading cases", reading=True):
        for path in cases:
            try:
                designs.append(load(path))
            except InputError as error:
                problems += error.problems
    if problems:
        raise InputError(problems)
    notes = []
    if drawing_notes:
        from pulse1d.run.drawing_notes import drawing_notes as suggested

        with Progress("pricing details"):
            notes = [suggested(design) for design in designs]
    if json:
        print_json(check_record(designs, notes))
    else:
        texts = [report(design) for design in designs]
        for k, own in enumerate(notes):
            texts[k] += "\n\n" + notes_text(own)
        typer.echo("\n\n".join(texts))
        begin()
    if export is not None:
        from pulse1d.plots.placed_tables import placed_tables
        from pulse1d.run.geometry_tables import geometry_tables

        tables = [*geometry_tables(designs), *placed_tables(designs)]
        exporting.export(tables, export, "check", cases)
    if plot is not None:
        from pulse1d.case.shown import shown
        from pulse1d.plots.geometry import draw_geometry

        with Progress("drawing"):
            drawn = draw_geometry(designs, plot, shown(designs[0].document))
        told("drawn", drawn)
