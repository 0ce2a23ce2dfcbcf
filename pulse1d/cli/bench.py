"""``pulse1d bench``: predicted bench flow, port by port."""

from __future__ import annotations

from typing import Annotated

import typer

from pulse1d.cli.flags import Cases, Direction, Export, Json, Plot, Quiet
from pulse1d.run.cautions import BENCH


def bench(
    cases: Cases,
    depression: Annotated[
        str | None, typer.Option(metavar="PRESSURE", help='Across the part, such as "28 inH2O".')
    ] = None,
    ports: Annotated[
        str | None, typer.Option(metavar="PORTS", help="Ports to test, such as 1,3.")
    ] = None,
    together: Annotated[
        bool, typer.Option("--together", help="Open them at once, instead of each alone.")
    ] = False,
    direction: Annotated[
        Direction | None, typer.Option(help="Of the air, in place of the case's.")
    ] = None,
    lift: Annotated[
        str | None,
        typer.Option(
            metavar="LENGTHS",
            help='Put the head in series at these valve lifts, such as "3 mm, 9 mm".',
        ),
    ] = None,
    samples: Annotated[
        int | None,
        typer.Option(metavar="N", min=0, max=1_000_000, help="Samples of the band; 0 for none."),
    ] = None,
    seed: Annotated[
        int | None,
        typer.Option(metavar="N", min=0, help="The same seed gives the same samples again."),
    ] = None,
    budget: Annotated[
        bool, typer.Option("--budget", help="Show where all of the pressure goes.")
    ] = False,
    march: Annotated[
        bool,
        typer.Option("--march", help="Solve again by the wave solver, marched to steady flow."),
    ] = False,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Predict what every port flows on the bench, and how surely. It says what costs it, too."""
    from pulse1d.case.design import load
    from pulse1d.cli import bench_text, exporting
    from pulse1d.cli.options import names_option, quantities_option, quantity_option
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json, told
    from pulse1d.plots.style import drawing_path
    from pulse1d.run.bench import predict_bench
    from pulse1d.run.expect import failures
    from pulse1d.run.record import bench_record

    exporting.export_path(export, "bench")
    if plot is not None:
        plot = drawing_path(plot)
    pa = quantity_option("--depression", depression, "pressure")
    metres = quantities_option("--lift", lift, "length")
    names = names_option(ports)
    results = []
    with Progress("reading cases", reading=True):
        designs = [load(path) for path in cases]
    tests = [
        (design, height)
        for design in designs
        for height in metres or design.case.bench.lifts or (None,)
    ]
    with Progress("solving", float(len(tests)) if len(tests) > 1 else None) as progress:
        for design, height in tests:
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
            progress.reach(float(len(results)))
    marched = None
    if march:
        from pulse1d.run.march import march_all

        with Progress("marching to steady flow"):
            marched = march_all(results)
    if json:
        print_json(bench_record(results, marched))
    else:
        typer.echo(bench_text.report(results, budget, marched))
        typer.echo("\n" + bench_text.paragraph(BENCH, 0))
    if export is not None:
        from pulse1d.run.bench_tables import bench_tables

        exporting.export(bench_tables(results, marched), export, "bench", cases)
    if plot is not None:
        from pulse1d.case.shown import shown
        from pulse1d.plots.bench import draw_bench

        with Progress("drawing"):
            drawn = draw_bench(results, plot, shown(results[0].design.document))
        told("drawn", drawn)
    wrong = [line for result in results for line in failures(result)]
    for line in wrong:
        typer.echo(line, err=True)
    if not all(result.converged for result in results):
        raise typer.Exit(3)
    if wrong:
        raise typer.Exit(1)
