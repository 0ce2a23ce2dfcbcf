"""A comparison as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pulse1d import units
from pulse1d.cli.text import Column, paragraph, table
from pulse1d.compare.against import Comparison, Explanation, PortGap
from pulse1d.compare.faults import Verdict

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
    parts = [heading(comparison), gaps(comparison), *apart(comparison), *judgement(verdict)]
    return "\n\n".join(parts)


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


def apart(comparison: Comparison) -> list[str]:
    """What could explain the common part of the gap, and what sets a port apart.

    Parameters
    ----------
    comparison : Comparison   [SI]
    Returns
    -------
    paragraphs : list of str   [-]
    """
    lines = []
    if comparison.common_explanations:
        lines.append(
            paragraph(
                f"The ports' median lies {100 * np.expm1(comparison.common):+.1f} % from the "
                f"prediction. Would explain it, each by itself: "
                f"{_causes(comparison.common_explanations)}"
            )
        )
    for gap in comparison.ports:
        own = gap.residual - comparison.common
        if len(comparison.ports) > 1 and abs(own) > comparison.own_noise:
            text = _causes(gap.explanations) if gap.explanations else "no single cause within reach"
            lines.append(
                paragraph(
                    f"port {gap.port} lies {100 * np.expm1(own):+.1f} % apart from the ports' "
                    f"median: {text}"
                )
            )
    return ["\n".join(lines)] if lines else []


def _causes(found: Sequence[Explanation]) -> str:
    return ", ".join(f"{e.cause} ({e.sigmas:+.1f} sigma)" for e in found)


def judgement(verdict: Verdict) -> list[str]:
    """Whether sensible coefficients explain the readings, and what else might.

    Parameters
    ----------
    verdict : Verdict   [-]
    Returns
    -------
    paragraphs : list of str   [-]
    """
    if verdict.explained:
        head = (
            f"Sensible coefficients explain these readings (p {verdict.p_value:.2f} that chance "
            "gives gaps as large)."
        )
    else:
        head = (
            "No sensible set of coefficients explains these readings "
            f"(p {verdict.p_value:.1g}): look for a fault before calibrating to them."
        )
    lines = [paragraph(head, 0)]
    for k, named in enumerate(verdict.named):
        lead = "Likeliest: " if k == 0 else "Nearly as likely: "
        lines.append(paragraph(f"{lead}{named.what}. Look at {named.look}."))
    if not verdict.explained and not verdict.named:
        lines.append(paragraph("None of the usual faults gives this pattern either."))
    return ["\n".join(lines)]
