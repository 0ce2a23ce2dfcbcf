"""What ``pulse1d cycle`` prints: one object, or text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

import typer

from pulse1d.cli import cycle_details as detail
from pulse1d.cli.cycle_bands import DIFFERENCE_NOTE, band_lines, difference_band_lines
from pulse1d.cli.cycle_text import report
from pulse1d.cli.cycle_told import Details
from pulse1d.cli.telling import print_json
from pulse1d.cli.telling import told as told_of
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
        print_json(as_record(sweeps, told))
    else:
        parts = [report(sweeps), *detail_parts(told, interference, waves), paragraph(cautions, 0)]
        typer.echo("\n\n".join(parts))
    for path in dict.fromkeys(one.path for one in sweeps if one.answers):
        told_of("saved", [path])


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
    parts: list[str] = []

    def add(text: str, note: str) -> None:
        """A table, and its note where it has not been given yet."""
        known = any(note in part for part in parts)
        parts.append(text if known else f"{text}\n{note}")

    if not told.cases:
        parts.append(paragraph(f"No details: {60.0 * told.speed:g} rev/min was not finished.", 0))
    for one, summary in told.cases:
        add(detail.cylinder_lines(one, summary), paragraph(detail.CYLINDER_NOTE))
        parts.append(detail.order_line(summary))
        parts += [band_lines(one, summary, band) for sweep, band in told.bands if sweep is one]
        for sweep, found in told.waves:
            if sweep is one:
                if interference:
                    add(detail.matrix_lines(found), paragraph(detail.MATRIX_NOTE))
                if waves:
                    add(detail.wave_lines(found), paragraph(detail.WAVES_NOTE))
        for sweep, lengths in told.lengths:
            if sweep is one:
                add(detail.tuning_lines(lengths, told.speed), paragraph(detail.TUNED_NOTE))
    summaries = {id(one): summary for one, summary in told.cases}
    banded = [(one, summaries[id(one)], band) for one, band in told.bands]
    if banded and banded[0][0] is told.cases[0][0]:
        for other in banded[1:]:
            add(difference_band_lines(banded[0], other), paragraph(DIFFERENCE_NOTE))
    if told.reason:
        parts.append(paragraph(f"Not told: {told.reason}", 0))
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
        waves={one.provenance.key: found for one, found in told.waves} if told.waves else None,
        tuning={one.provenance.key: lengths for one, lengths in told.lengths} or None,
        measured=measured,
        bands={one.provenance.key: band for one, band in told.bands} or None,
    )
