"""``pulse1d new``: a commented starter case, file of bench readings, or study."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.flags import Json, Layout, Quiet

DEFAULT = Path("case.yaml")


def new(
    path: Annotated[Path, typer.Argument(metavar="FILE", help="File to write.")] = DEFAULT,
    layout: Annotated[Layout, typer.Option(help="Of the starter case.")] = Layout.tubular,
    readings: Annotated[
        bool, typer.Option("--readings", help="Write a file of bench readings instead.")
    ] = False,
    study: Annotated[
        bool, typer.Option("--study", help="Write a study instead: many designs around one case.")
    ] = False,
    base: Annotated[
        Path | None,
        typer.Option(
            metavar="CASE",
            help="Case that the --study is made around; it lists what can be varied.",
        ),
    ] = None,
    schema: Annotated[
        bool,
        typer.Option("--schema", help="Write the JSON Schema for editors instead: case or study."),
    ] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write a commented starter case, readings file or study."""
    from importlib.resources import files

    from pulse1d.case.files import write_new
    from pulse1d.cli.telling import print_json
    from pulse1d.errors import InputError, Problem

    if readings and (schema or study):
        other = "--schema" if schema else "--study"
        raise InputError([Problem(f"--readings and {other}: choose one of them")])
    if base is not None and (schema or not study):
        raise InputError([Problem("--base: only a study has one", "add --study, or drop --base")])
    if study and path == DEFAULT:
        path = Path("study.yaml")
    if study and base is not None:
        from pulse1d.study.starter import starter_for

        text = starter_for(base, path)
    else:
        package = "pulse1d.study" if study else "pulse1d.case"
        kind = "study" if study else "readings" if readings else layout
        name = f"{'study' if study else 'case'}.schema.json" if schema else f"starter_{kind}.yaml"
        text = files(package).joinpath("shipped", name).read_text(encoding="utf-8")
    write_new(path, text)
    verbs = ("sweep", "search") if study else ("reduce",) if readings else ("check", "bench")
    following = [] if schema else [f"pulse1d {verb} {path}" for verb in verbs]
    if json:
        print_json(record(path, following))
        return
    typer.echo(f"wrote {path}")
    if following:
        typer.echo(f"next: {', then '.join(following)}")


def record(path: Path, following: list[str]) -> dict[str, object]:
    """The object that ``pulse1d new --json`` prints.

    ``{"schema", "version", "wrote", "next": [...]}``; ``next`` are the commands that go on from
    the file, none behind a JSON Schema.

    Parameters
    ----------
    path : Path   That was written [-]
    following : list of str   [-]
    Returns
    -------
    record : dict   [-]
    """
    from pulse1d import __version__

    return {
        "schema": "pulse1d new 1",
        "version": __version__,
        "wrote": str(path),
        "next": following,
    }
