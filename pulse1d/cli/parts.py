"""``pulse1d parts``: two parts read on a bench, and whether their difference is shown."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def parts(
    readings: Annotated[list[Path], typer.Argument(help="Files of readings, one or more.")],
    base: Annotated[
        str, typer.Option(help="Part that gains are relative to: its key under parts.")
    ],
    other: Annotated[str, typer.Option(help="Part that is compared with it: its key under parts.")],
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None, typer.Option(help="Draw bars of both parts to .png, .svg or .pdf.")
    ] = None,
) -> None:
    """Compare two parts from bench readings: gain, how sure it is, and what would settle it."""
    from pulse1d.case.readings import load_reduced
    from pulse1d.cli import parts_text
    from pulse1d.compare.parts import compare_parts
    from pulse1d.compare.parts_record import parts_record
    from pulse1d.plots.style import drawing_path

    if plot is not None:
        plot = drawing_path(plot)
    found = compare_parts([load_reduced(path) for path in readings], base, other)
    if json:
        from json import dumps

        typer.echo(dumps(parts_record(found), indent=1, allow_nan=False))
    else:
        typer.echo(parts_text.report(found))
    if plot is not None:
        from pulse1d.plots.parts import draw_parts

        draw_parts(found, plot)
        typer.echo(f"drawn: {plot}", err=True)
