"""``pulse1d report``: one page that a customer can read."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.flags import Cases, Json, Quiet


def report(
    cases: Cases,
    output: Annotated[
        Path,
        typer.Option(help="The page to write, such as compared.html; an earlier one is renewed."),
    ],
    readings: Annotated[
        list[Path] | None,
        typer.Option(help="Bench readings whose parts name the cases; may be repeated."),
    ] = None,
    study: Annotated[
        list[Path] | None, typer.Option(help="A study that was swept; may be repeated.")
    ] = None,
    speeds: Annotated[
        str | None, typer.Option(help="Saved engine speeds to show, as in cycle; else all.")
    ] = None,
    at: Annotated[str | None, typer.Option(help="Speed of the port pressures, in rev/min.")] = None,
    downstream: Annotated[
        Path | None,
        typer.Option(help="Engine speeds that were run behind this case's downstream system."),
    ] = None,
    bare: Annotated[
        bool, typer.Option("--bare", help="Show engine speeds with the outlet open, too.")
    ] = False,
    results: Annotated[
        Path | None, typer.Option(help="Folder of the engine's results, in place of CASE.results.")
    ] = None,
    leave_out: Annotated[
        str | None, typer.Option(help="Sections not to write, such as engine,life.")
    ] = None,
    samples: Annotated[
        int | None, typer.Option(min=0, max=1_000_000, help="Samples of the bands; 0 for none.")
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write the page a customer reads: findings, bands, sources."""
    from pulse1d.case.design import load
    from pulse1d.cli.report_run import apart, gathered, said, section_names, speed_option, written
    from pulse1d.cli.speeds_option import speeds_option
    from pulse1d.cli.telling import print_json, told
    from pulse1d.report.write import page_path

    output = page_path(output)
    left_out = section_names(leave_out)
    speed = speed_option(at)
    wanted = speeds_option(speeds) if speeds is not None else None
    designs = [load(path) for path in cases]
    apart(designs)
    evidence, stopped = gathered(
        designs,
        readings or [],
        study or [],
        wanted,
        speed,
        downstream,
        bare,
        results,
        left_out,
        samples,
    )
    if stopped:
        typer.echo("interrupted; no page was written", err=True)
        raise typer.Exit(130)
    record = written(evidence, left_out, output)
    if json:
        print_json(record)
    else:
        typer.echo(said(record))
    told("written", [output])
