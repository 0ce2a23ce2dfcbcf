"""A comparison as text for a terminal of 80 columns."""

from __future__ import annotations

import numpy as np

from pulse1d import units
from pulse1d.cli.text import Column, paragraph, table
from pulse1d.compare.against import Comparison, PortGap
from pulse1d.compare.faults import Verdict
from pulse1d.compare.sayings import apart_sentences, judgement_sentences

GAPS = (
    Column("port", 5, left=True),
    Column("measured CFM", 12),
    Column("+-U %", 5),
    Column("predicted", 9),
    Column("5-95 % CFM", 15),
    Column("off %", 6),
    Column("in sigma", 8),
)


def report(comparison: Comparison, verdict: Verdict) -> str:
    """Everything ``pulse1d compare`` prints.

    Parameters
    ----------
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    Returns
    -------
    text : str   [-]
    """
    apart = [paragraph(line) for line in apart_sentences(comparison)]
    parts = [heading(comparison), gaps(comparison), "\n".join(apart), judgement(verdict)]
    return "\n\n".join(part for part in parts if part)


def judgement(verdict: Verdict) -> str:
    """Whether sensible coefficients explain the readings, and what else might.

    Parameters
    ----------
    verdict : Verdict   [-]
    Returns
    -------
    text : str   [-]
    """
    first, *further = judgement_sentences(verdict)
    return "\n".join([paragraph(first, 0), *(paragraph(line) for line in further)])


def heading(comparison: Comparison) -> str:
    """Which case, which part, which test.

    Parameters
    ----------
    comparison : Comparison   [SI]
    Returns
    -------
    text : str   [-]
    """
    bench, means = comparison.result.setup.bench, comparison.means
    reference = bench.reference
    calibrated = comparison.design.case.calibration.corrections
    scatter = (
        f"remounts scatter by {100 * means.scatter:.2f} %"
        if means.degrees
        else f"remounts taken to scatter by {100 * means.scatter:.2f} % (too few to tell)"
    )
    return paragraph(
        f"{comparison.design.name} against readings of part {means.part}: "
        f"{units.to(bench.depression, 'inH2O', 'pressure'):.4g} inH2O, {bench.direction} at the "
        f"{bench.fixed_end}, ports one at a time, others {bench.other_ports}. CFM at "
        f"{reference.pressure / 1e3:.6g} kPa, {reference.temperature - 273.15:.4g} degC. "
        f"{sum(means.remounts)} remounts; {scatter}."
        + (" The case is calibrated." if calibrated else ""),
        0,
    )


def gaps(comparison: Comparison) -> str:
    """Measured and predicted, port by port.

    Parameters
    ----------
    comparison : Comparison   [SI]
    Returns
    -------
    text : str   [-]
    """
    return table(GAPS, [_gap(gap, comparison) for gap in comparison.ports])


def _gap(gap: PortGap, comparison: Comparison) -> tuple[str, ...]:
    low, high = (
        _cfm(gap.predicted * float(np.exp(sign * 1.645 * gap.u_predicted))) for sign in (-1, 1)
    )
    return (
        gap.port,
        f"{_cfm(gap.measured):.1f}",
        f"{200 * gap.u_measured:.1f}",
        f"{_cfm(gap.predicted):.1f}",
        f"{low:.1f} to {high:.1f}",
        f"{100 * np.expm1(gap.residual):+.1f}",
        f"{gap.ratio:+.1f}",
    )


def _cfm(flow: float) -> float:
    return units.to(flow, "CFM", "volume flow")
