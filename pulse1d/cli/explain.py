"""``pulse1d explain``: what is known of a loss element, a joint or a law."""

from __future__ import annotations

from typing import Annotated

import typer

from pulse1d.cli.flags import Export, Json, Quiet


def known(typed: str) -> list[str]:
    """Elements and laws whose name starts as typed, for the shell; hyphens stand for spaces.

    Parameters
    ----------
    typed : str   [-]
    Returns
    -------
    names : list of str   [-]
    """
    from pulse1d.losses.explain import names

    found = [name.replace(" ", "-") for name in names()]
    return [name for name in found if name.startswith(typed.casefold())]


def explain(
    element: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="ELEMENT",
            help="Such as bend, weld bead, or a word of the trade or a budget; all if left out.",
            autocompletion=known,
        ),
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
) -> None:
    """Explain a loss element, joint or law: formula, source, values."""
    from pulse1d.cli import exporting
    from pulse1d.cli.explain_text import list_text, record, report
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json
    from pulse1d.losses.explain import explain as explained
    from pulse1d.losses.explain import names

    exporting.export_path(export, "explain")
    named = " ".join(element or ())
    asked = [named] if named else list(names()) if json or export else []
    with Progress("working out values"):
        found = [explained(name) for name in asked]
    if json:
        print_json(record(found))
    elif not named:
        typer.echo(list_text(names()))
    else:
        typer.echo(report(found[0]))
    if export is not None:
        from pulse1d.run.explain_tables import explain_tables

        exporting.export(explain_tables(found), export, "explain", [])
