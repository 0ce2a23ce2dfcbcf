"""``pulse1d fit``: the model's coefficients calibrated to bench readings."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def fit(
    case: Annotated[Path, typer.Argument(help="Case file of the part.")],
    readings: Annotated[Path, typer.Argument(help="File of bench readings.")],
    part: Annotated[
        str | None, typer.Option(help="Part in the readings; found by its case if left out.")
    ] = None,
    leave_out: Annotated[
        str | None, typer.Option("--leave-out", help="Ports not to calibrate to, such as 3.")
    ] = None,
    output: Annotated[
        Path | None, typer.Option(help="Calibration file to write; a case names it.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
) -> None:
    """Estimate what the loss coefficients of a case should be from bench readings of the part."""
    from pulse1d.case.files import write_new
    from pulse1d.cli.fit_text import fit_report
    from pulse1d.cli.options import names_option, not_there
    from pulse1d.compare.calibration import calibration_of, meanings
    from pulse1d.compare.calibration_file import calibration_text
    from pulse1d.compare.faults import judge
    from pulse1d.compare.fit import fit as fitted
    from pulse1d.compare.fit import sampled
    from pulse1d.compare.fit_record import fit_record
    from pulse1d.compare.pair import open_pair

    if output is not None:
        not_there(output)
    comparison = open_pair(case, readings, part, calibrated=False, left_out=names_option(leave_out))
    verdict = judge(comparison)
    found = fitted(comparison.response, comparison.means)
    check = sampled(found, comparison.means)
    source = (
        f"{readings.name}, part {comparison.means.part}, ports "
        f"{', '.join(comparison.means.ports)}; case {case.name}"
    )
    calibration = calibration_of(found, source)
    if json:
        from json import dumps

        record = fit_record(comparison, verdict, found, check, calibration)
        typer.echo(dumps(record, indent=1, allow_nan=False))
    else:
        typer.echo(fit_report(comparison, verdict, found, check, calibration))
    if output is not None:
        write_new(output, calibration_text(calibration, meanings(found.response, calibration)))
        typer.echo(f"saved: {output}; a case reads it by `calibration: {output.name}`", err=True)
