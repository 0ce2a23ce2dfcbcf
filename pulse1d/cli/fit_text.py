"""A fit as text for a terminal of 80 columns."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.schema import Calibration
from pulse1d.cli.compare_text import heading, judgement
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.compare.against import Comparison
from pulse1d.compare.calibration import meanings
from pulse1d.compare.faults import Verdict
from pulse1d.compare.fit import Fit

CAUSES = (
    Column("cause", 44, left=True),
    Column("sigma", 6),
    Column("left", 5),
    Column("on its numbers", 18, left=True),
)
ERRORS = (
    Column("port", 5, left=True),
    Column("before %", 9),
    Column("calibrated %", 12),
    Column("predicted from the others %", 27),
)
SHOWN = 12
"""Causes shown: a terminal's half; the file holds all."""


def fit_report(
    comparison: Comparison,
    verdict: Verdict,
    found: Fit,
    check: tuple[NDArray[np.float64], float],
    calibration: Calibration,
) -> str:
    """Everything ``pulse1d fit`` prints.

    Parameters
    ----------
    comparison, verdict, found : Comparison, Verdict, Fit   [SI]
    check : (z, effective)   From ``sampled`` [-]
    calibration : Calibration   [-]
    Returns
    -------
    text : str   [-]
    """
    rows = [
        (
            shorten(correction.cause, CAUSES[0].width),
            f"{correction.sigmas:+.2f}",
            f"{100 * correction.spread:.0f} %",
            text,
        )
        for correction, text in zip(
            calibration.corrections, meanings(found.response, calibration), strict=True
        )
    ]
    more = len(rows) - SHOWN
    lines = [
        "Causes that the readings say most about; sigma is the shift in the cause's own",
        "standard deviations, left what remains of its spread.",
        table(CAUSES, rows[:SHOWN]),
    ]
    if more > 0:
        lines.append(f"  and {more} more, each less; the calibration file holds them")
    return "\n\n".join(
        [
            heading(comparison),
            judgement(verdict),
            "\n".join(lines),
            errors_table(found),
            identified(found),
            sampling_text(found, check),
        ]
    )


def errors_table(found: Fit) -> str:
    """Errors before, after, and for each port from a fit to the others.

    Parameters
    ----------
    found : Fit   [-]
    Returns
    -------
    text : str   [-]
    """

    def percent(value: float) -> str:
        return f"{100 * np.expm1(value):+.2f}" if np.isfinite(value) else "-"

    rows = [
        (port, percent(a), percent(b), percent(c))
        for port, a, b, c in zip(
            found.ports, found.before, found.after, found.left_out, strict=True
        )
    ]
    rms = [f"{100 * value:.2f}" if np.isfinite(value) else "-" for value in found.rms]
    rows.append(("rms", rms[0], rms[1], rms[2]))
    return "Measured over predicted, less 1:\n" + table(ERRORS, rows)


def identified(found: Fit) -> str:
    """How far the readings pin the causes down.

    Parameters
    ----------
    found : Fit   [-]
    Returns
    -------
    text : str   [-]
    """
    learned = 1.0 - found.spread**2
    loose = int(np.sum(learned < 0.1))
    return paragraph(
        f"Identifiability: {len(found.ports)} flows say as much as {learned.sum():.1f} fully known "
        f"causes out of {len(learned)}; of {loose} causes they say next to nothing (under a tenth "
        "of the variance), and these keep their bands. Shifts of causes that trade against each "
        "other are shared among them; the correlations are kept in the file.",
        0,
    )


def sampling_text(found: Fit, check: tuple[NDArray[np.float64], float]) -> str:
    """How well the Gaussian approximation stands up to sampling.

    Parameters
    ----------
    found : Fit   [-]
    check : (z, effective)   From ``sampled`` [-]
    Returns
    -------
    text : str   [-]
    """
    z, effective = check
    return paragraph(
        f"Checked by sampling the exact posterior: no shift differs by more than "
        f"{np.max(np.abs(z - found.z)):.2f} sigma ({100 * effective:.0f} % effective samples).",
        0,
    )
