"""``pulse1d claim``: what may be said of a comparison, and the test sheet behind it."""

from __future__ import annotations

import typer

from pulse1d.cli.flags import Base, Json, ManyReadings, Other, Quiet


def claim(
    readings: ManyReadings,
    base: Base,
    other: Other = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write the claim that readings bear, and its test sheet."""
    from pulse1d.case.readings import load_reduced
    from pulse1d.cli import claim_text
    from pulse1d.cli.telling import print_json
    from pulse1d.compare.claim import test_sheet
    from pulse1d.compare.parts import compare_parts

    reductions = [load_reduced(path) for path in readings]
    comparison = compare_parts(reductions, base, other)
    if json:
        print_json(test_sheet(comparison, reductions))
    else:
        typer.echo(claim_text.report(comparison, reductions))
