"""``pulse1d new``: a commented starter case."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def new(
    path: Annotated[Path, typer.Argument(help="File to write.")] = Path("case.yaml"),
    layout: Annotated[str, typer.Option(help="cast or tubular.")] = "tubular",
    schema: Annotated[
        bool, typer.Option("--schema", help="Write the JSON Schema for editors instead.")
    ] = False,
) -> None:
    """Write a commented starter case to fill in."""
    from importlib.resources import files

    from pulse1d.errors import InputError, Problem

    if layout not in ("cast", "tubular"):
        raise InputError([Problem(f"--layout: {layout!r} is neither cast nor tubular")])
    name = "case.schema.json" if schema else f"starter_{layout}.yaml"
    text = files("pulse1d.case").joinpath("shipped", name).read_text(encoding="utf-8")
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise InputError(
            [Problem("the file exists already", "choose another name", str(path))]
        ) from error
    except OSError as error:
        raise InputError(
            [Problem(f"cannot be written: {error.strerror}", "check the folder", str(path))]
        ) from error
    typer.echo(f"wrote {path}")
    if not schema:
        typer.echo(f"next: pulse1d check {path}, then pulse1d bench {path}")
