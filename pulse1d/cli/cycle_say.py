"""What ``pulse1d cycle`` prints: one object, or text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

import typer

from pulse1d.cli import cycle_details as detail
from pulse1d.cli.cycle_bands import band_lines
from pulse1d.cli.cycle_run import Details
from pulse1d.cli.cycle_text import report
from pulse1d.cli.text import paragraph
from pulse1d.run.cycle_record import cycle_record, number
from pulse1d.run.cycle_sweep import CaseSweep


def say(
    sweeps: Sequence[CaseSweep],
    told: Details,
    json: bool,
    interference: bool,
    waves: bool,
    cautions: str,
) -> None:
    """Print everything, and where it is saved.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    told : Details   [SI]
    json : bool   One object instead of text [-]
    interference, waves : bool   What is asked for [-]
    cautions : str   [-]
    """
    if json:
        from json import dumps

        typer.echo(dumps(as_record(sweeps, told), indent=1, allow_nan=False))
    else:
        parts = [report(sweeps), *detail_parts(told, interference, waves), paragraph(cautions, 0)]
        typer.echo("\n\n".join(parts))
    for one in sweeps:
        if one.answers:
            typer.echo(f"saved: {one.path}", err=True)


def detail_parts(told: Details, interference: bool, waves: bool) -> list[str]:
    """The details of one speed.

    Parameters
    ----------
    told : Details   [SI]
    interference, waves : bool   What is asked for [-]
    Returns
    -------
    parts : list of str   [-]
    """
    parts = []
    if not told.cases:
        parts.append(paragraph(f"No details: {60.0 * told.speed:g} rev/min was not finished.", 0))
    for one, summary in told.cases:
        parts.append(detail.cylinder_lines(one, summary))
        parts.append(detail.order_line(summary))
        parts += [band_lines(one, summary, band) for sweep, band in told.bands if sweep is one]
        for sweep, found in told.waves:
            if sweep is one:
                parts += [detail.matrix_lines(found)] if interference else []
                parts += [detail.wave_lines(found)] if waves else []
        parts += [
            detail.tuning_lines(lengths, told.speed)
            for sweep, lengths in told.lengths
            if sweep is one
        ]
    if told.reason:
        parts.append(paragraph(f"Waves not told apart: {told.reason}", 0))
    if told.measured is not None:
        kind = told.measured.kind
        where = f", port of cylinder {told.cylinder}" if kind == "pressure" else ""
        parts += [
            detail.overlay_line(
                f"{one.design.name}{where} against {told.measured.path.name}", found, kind
            )
            for one, found in told.overlays
        ]
    return parts


def as_record(sweeps: Sequence[CaseSweep], told: Details) -> dict[str, object]:
    """The object of ``--json``.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    told : Details   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    measured = [
        {
            "case": one.design.name,
            "file": str(told.measured.path) if told.measured else None,
            "kind": told.measured.kind if told.measured else None,
            "cylinder": told.cylinder,
            **({key: number(value) for key, value in asdict(found).items()} if found else {}),
        }
        for one, found in told.overlays
    ]
    return cycle_record(
        sweeps,
        told.speed,
        told.outcome,
        waves={str(one.design.path): found for one, found in told.waves} if told.waves else None,
        tuning={str(one.design.path): lengths for one, lengths in told.lengths} or None,
        measured=measured,
        bands={str(one.design.path): band for one, band in told.bands} or None,
    )
