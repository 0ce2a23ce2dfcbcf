"""``pulse1d fit``: the model's coefficients calibrated to bench readings."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.flags import Case, Export, Json, Part, Quiet, Readings


def fit(
    case: Case,
    readings: Readings,
    part: Part = None,
    leave_out: Annotated[
        str | None,
        typer.Option("--leave-out", metavar="PORTS", help="Ports not to calibrate to, such as 3."),
    ] = None,
    output: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Calibration file to write; a case names it."),
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
) -> None:
    """Calibrate the loss coefficients to readings of the part."""
    from pulse1d.case.files import write_new
    from pulse1d.cli import exporting
    from pulse1d.cli.fit_text import fit_report
    from pulse1d.cli.options import names_option, not_there
    from pulse1d.cli.progress import Progress
    from pulse1d.cli.telling import print_json, told
    from pulse1d.compare.calibration import calibration_of, meanings
    from pulse1d.compare.calibration_file import calibration_text
    from pulse1d.compare.faults import judge
    from pulse1d.compare.fit import fit as fitted
    from pulse1d.compare.fit import sampled
    from pulse1d.compare.fit_record import fit_record
    from pulse1d.compare.pair import open_pair

    exporting.export_path(export, "fit")
    if output is not None:
        not_there(output)
    left_out = names_option(leave_out)
    with Progress("fitting"):
        comparison = open_pair(case, readings, part, calibrated=False, left_out=left_out)
        verdict = judge(comparison)
        found = fitted(comparison.response, comparison.means)
        check = sampled(found, comparison.means)
    source = (
        f"{readings.name}, part {comparison.means.part}, ports "
        f"{', '.join(comparison.means.ports)}; case {case.name}"
    )
    calibration = calibration_of(found, source)
    if json:
        print_json(fit_record(comparison, verdict, found, check, calibration))
    else:
        typer.echo(fit_report(comparison, verdict, found, check, calibration))
    if export is not None:
        from pulse1d.compare.against_tables import fit_tables

        tables = fit_tables(comparison, verdict, found, calibration)
        exporting.export(tables, export, "fit", [case, readings])
    if output is not None:
        write_new(output, calibration_text(calibration, meanings(found.response, calibration)))
        told("saved", [f"{output}; a case reads it by `calibration: {output.name}`"])
