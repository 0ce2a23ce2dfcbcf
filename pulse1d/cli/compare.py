"""``pulse1d compare``: predicted against measured, port by port."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.bench import CAUTIONS


def compare(
    case: Annotated[Path, typer.Argument(help="Case file of the part.")],
    readings: Annotated[Path, typer.Argument(help="File of bench readings.")],
    part: Annotated[
        str | None, typer.Option(help="Part in the readings; found by its case if left out.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None, typer.Option(help="Draw measured against predicted to .png, .svg or .pdf.")
    ] = None,
) -> None:
    """Hold a prediction against bench readings, and say what could explain the difference."""
    from pulse1d.cli.compare_text import report
    from pulse1d.cli.text import paragraph
    from pulse1d.compare.faults import judge
    from pulse1d.compare.pair import open_pair
    from pulse1d.compare.record import compare_record
    from pulse1d.plots.style import drawing_path

    if plot is not None:
        plot = drawing_path(plot)
    comparison = open_pair(case, readings, part)
    verdict = judge(comparison)
    if json:
        from json import dumps

        typer.echo(dumps(compare_record(comparison, verdict), indent=1, allow_nan=False))
    else:
        typer.echo(report(comparison, verdict))
        typer.echo("\n" + paragraph(CAUTIONS, 0))
    if plot is not None:
        from pulse1d.plots.compare import draw_comparison

        draw_comparison(comparison, verdict, plot)
        typer.echo(f"drawn: {plot}", err=True)
