"""``pulse1d claim``: what may be said of a comparison, and the test sheet behind it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def claim(
    readings: Annotated[list[Path], typer.Argument(help="Files of readings, one or more.")],
    base: Annotated[
        str, typer.Option(help="Part that gains are relative to: its key under parts.")
    ],
    other: Annotated[str, typer.Option(help="Part that is compared with it: its key under parts.")],
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
) -> None:
    """Write the paragraph that the readings bear, and the test sheet behind it."""
    from pulse1d.case.readings import load_reduced
    from pulse1d.cli import claim_text
    from pulse1d.compare.claim import test_sheet
    from pulse1d.compare.parts import compare_parts

    reductions = [load_reduced(path) for path in readings]
    comparison = compare_parts(reductions, base, other)
    if json:
        from json import dumps

        typer.echo(dumps(test_sheet(comparison, reductions), indent=1, allow_nan=False))
    else:
        typer.echo(claim_text.report(comparison, reductions))
