"""``pulse1d new``: a commented starter case, or a starter file of bench readings."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def new(
    path: Annotated[Path, typer.Argument(help="File to write.")] = Path("case.yaml"),
    layout: Annotated[str, typer.Option(help="cast or tubular.")] = "tubular",
    readings: Annotated[
        bool, typer.Option("--readings", help="Write a file of bench readings instead.")
    ] = False,
    schema: Annotated[
        bool, typer.Option("--schema", help="Write the JSON Schema for editors instead.")
    ] = False,
) -> None:
    """Write a commented starter case, or starter file of bench readings, to fill in."""
    from importlib.resources import files

    from pulse1d.case.files import write_new
    from pulse1d.errors import InputError, Problem

    if layout not in ("cast", "tubular"):
        raise InputError([Problem(f"--layout: {layout!r} is neither cast nor tubular")])
    if readings and schema:
        raise InputError([Problem("--readings and --schema: choose one of them")])
    name = "case.schema.json" if schema else f"starter_{'readings' if readings else layout}.yaml"
    text = files("pulse1d.case").joinpath("shipped", name).read_text(encoding="utf-8")
    write_new(path, text)
    typer.echo(f"wrote {path}")
    if readings:
        typer.echo(f"next: pulse1d reduce {path}")
    elif not schema:
        typer.echo(f"next: pulse1d check {path}, then pulse1d bench {path}")
