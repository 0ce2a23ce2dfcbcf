"""``pulse1d check``: is the case sound, and what geometry does it describe?"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def check(
    cases: Annotated[list[Path], typer.Argument(help="Case files.")],
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
) -> None:
    """Validate a case and print the geometry it resolves to, so that a slip is seen."""
    from pulse1d.case.design import Design, load
    from pulse1d.cli.check_text import report
    from pulse1d.errors import InputError
    from pulse1d.run.geometry import geometry_record

    designs: list[Design] = []
    problems = []
    for path in cases:
        try:
            designs.append(load(path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    if json:
        from json import dumps

        typer.echo(dumps([geometry_record(design) for design in designs], indent=1))
        return
    typer.echo("\n\n".join(report(design) for design in designs))
