"""``pulse1d bench``: predicted bench flow, port by port."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

CAUTIONS = (
    "A prediction, not a measurement. At the bench: ear protection, no loose rags or fingers at "
    "the openings, never all openings blocked at full blower."
)


def bench(
    cases: Annotated[list[Path], typer.Argument(help="Case files; the first is the base.")],
    depression: Annotated[
        str | None, typer.Option(help='Across the part, such as "28 inH2O".')
    ] = None,
    ports: Annotated[str | None, typer.Option(help="Ports to test, such as 1,3.")] = None,
    together: Annotated[
        bool, typer.Option("--together", help="Open them at once, instead of each alone.")
    ] = False,
    direction: Annotated[str | None, typer.Option(help="blown or sucked.")] = None,
    lift: Annotated[
        str | None,
        typer.Option(help='Put the head in series at these valve lifts, such as "3 mm, 9 mm".'),
    ] = None,
    samples: Annotated[
        int | None, typer.Option(min=0, max=1_000_000, help="Samples of the band; 0 for none.")
    ] = None,
    seed: Annotated[int | None, typer.Option(min=0, help="Seed of the samples.")] = None,
    budget: Annotated[
        bool, typer.Option("--budget", help="Show where all of the pressure goes.")
    ] = False,
    march: Annotated[
        bool,
        typer.Option("--march", help="Solve again by the wave solver, marched to steady flow."),
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None, typer.Option(help="Draw bars and pressure profiles to .png, .svg or .pdf.")
    ] = None,
) -> None:
    """Predict what every port flows on the bench, how sure that is, and what costs it."""
    from pulse1d.case.design import load
    from pulse1d.cli import bench_text
    from pulse1d.cli.options import names_option, quantities_option, quantity_option
    from pulse1d.errors import InputError, Problem
    from pulse1d.run.bench import predict_bench
    from pulse1d.run.expect import failures
    from pulse1d.run.record import bench_record

    if direction not in (None, "blown", "sucked"):
        raise InputError([Problem(f"--direction: {direction!r} is neither blown nor sucked")])
    pa = quantity_option("--depression", depression, "pressure")
    metres = quantities_option("--lift", lift, "length")
    names = names_option(ports)
    results = []
    for design in [load(path) for path in cases]:
        for height in metres or design.case.bench.lifts or (None,):
            results.append(
                predict_bench(
                    design,
                    depression=pa,
                    ports=names,
                    together=together,
                    direction=direction,
                    lift=height,
                    samples=samples,
                    seed=seed,
                )
            )
    marched = None
    if march:
        from pulse1d.run.march import march_all

        marched = march_all(results)
    if json:
        from json import dumps

        typer.echo(dumps(bench_record(results, marched), indent=1, allow_nan=False))
    else:
        typer.echo(bench_text.report(results, budget, marched))
        typer.echo("\n" + bench_text.paragraph(CAUTIONS, 0))
    if plot is not None:
        from pulse1d.plots.bench import draw_bench

        draw_bench(results, plot)
        typer.echo(f"drawn: {plot}", err=True)
    wrong = [line for result in results for line in failures(result)]
    for line in wrong:
        typer.echo(line, err=True)
    if not all(result.converged for result in results):
        raise typer.Exit(3)
    if wrong:
        raise typer.Exit(1)
