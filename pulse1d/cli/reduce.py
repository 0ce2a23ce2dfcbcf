"""``pulse1d reduce``: bench readings to flows, each with its uncertainty."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from pulse1d.cli.flags import Export, Json, Quiet, Readings, Seed

if TYPE_CHECKING:
    from pulse1d.run.session import PortMean

CAUTIONS = (
    "At the bench: ear protection; a blower's noise hurts before it seems loud. A sucked part "
    "pulls in rags, hair and fingers: nothing loose near the openings, and never all openings "
    "blocked at full blower. Numbers of another bench may lie 3 to 10 % away."
)


def reduce(
    readings: Readings,
    budget: Annotated[
        bool, typer.Option("--budget", help="Show what the uncertainty of a mean is made of.")
    ] = False,
    part: Annotated[
        str | None, typer.Option(metavar="PART", help="Part whose budget is shown; else the first.")
    ] = None,
    port: Annotated[
        str | None, typer.Option(metavar="PORT", help="Port whose budget is shown; else the first.")
    ] = None,
    monte_carlo: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            min=1000,
            max=1_000_000,
            help="Show the budget, checked with so many samples.",
        ),
    ] = None,
    seed: Seed = 1,
    at: Annotated[
        str | None,
        typer.Option(
            metavar="PRESSURE",
            help='Convert to another test pressure, such as "25 inH2O", if readings bear it.',
        ),
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
) -> None:
    """Turn bench readings into flows, with their uncertainty."""
    from pulse1d.case.readings import load_reduced
    from pulse1d.cli import exporting, reduce_text
    from pulse1d.cli.options import quantity_option
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json
    from pulse1d.cli.text import paragraph
    from pulse1d.measure.exponent import exponents
    from pulse1d.run.session import at_pressure, port_means, sampled
    from pulse1d.run.session_record import session_record

    exporting.export_path(export, "reduce")
    pressure = quantity_option("--at", at, "pressure")
    reduction = load_reduced(readings)
    means = port_means(reduction)
    asked = _asked(means, part, port)
    if part is None and port is None and not json:
        asked = asked[:1]
    with Progress("sampling"):
        checks = [
            sampled(reduction, mean, monte_carlo, seed) if monte_carlo and mean in asked else None
            for mean in means
        ]
    found = exponents(reduction)
    converted = () if pressure is None else at_pressure(reduction, means, found, pressure)
    if json:
        print_json(session_record(reduction, means, checks, found, converted))
    else:
        parts = [reduce_text.report(reduction, means), reduce_text.exponents_text(found)]
        parts += [reduce_text.at_text(converted)] if converted else []
        if budget or monte_carlo:
            parts += [
                reduce_text.budget_text(mean, check)
                for mean, check in zip(means, checks, strict=True)
                if mean in asked
            ]
        parts.append(paragraph(CAUTIONS, 0))
        typer.echo("\n\n".join(text for text in parts if text))
    if export is not None:
        from pulse1d.run.session_tables import session_tables

        tables = session_tables(reduction, means, checks, found, converted)
        exporting.export(tables, export, "reduce", [readings])
    if any(item.refusal for item in converted):
        typer.echo("a flow was not converted, see above", err=True)
        raise typer.Exit(3)


def _asked(means: Sequence[PortMean], part: str | None, port: str | None) -> list[PortMean]:
    """The means that --part and --port ask for."""
    from pulse1d.errors import InputError, Problem

    found = [
        mean
        for mean in means
        if (part is None or mean.part == part) and (port is None or mean.port == port)
    ]
    if not found and (part is not None or port is not None):
        names = ", ".join(f"{mean.part} port {mean.port}" for mean in means) or "none"
        wanted = f"part {part or 'any'}, port {port or 'any'}"
        message = f"--part, --port: nothing was read of {wanted} at the stated test pressure"
        raise InputError([Problem(message, f"means are of {names}")])
    return found
