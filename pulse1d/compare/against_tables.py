"""A case held against readings as tables, and a fit to them."""

from __future__ import annotations

from typing import Any

from pulse1d.case.schema import Calibration
from pulse1d.compare.against import Comparison, Explanation, PortGap
from pulse1d.compare.calibration import meanings
from pulse1d.compare.faults import Supposition, Verdict
from pulse1d.compare.fit import Fit
from pulse1d.results.sheet import Sheet, count, number, text
from pulse1d.results.table import Table

PORTS: Sheet[tuple[Comparison, PortGap, int]] = Sheet(
    "ports",
    "Measured and predicted flow, port by port, on the bench of the readings",
    (
        text("case", "name of the design", lambda r: r[0].design.name),
        text("part", "its key in the readings", lambda r: r[0].means.part),
        text("port", "port that was read", lambda r: r[1].port),
        number(
            "depression", "Pa", "stated test pressure", lambda r: r[0].result.setup.bench.depression
        ),
        number("measured_flow", "m3/s", "at the reference state", lambda r: r[1].measured),
        number("u_measured", "1", "standard uncertainty, relative", lambda r: r[1].u_measured),
        number("predicted_flow", "m3/s", "at the same state", lambda r: r[1].predicted),
        number("u_predicted", "1", "standard uncertainty, relative", lambda r: r[1].u_predicted),
        number("residual", "1", "ln of measured over predicted", lambda r: r[1].residual),
        number("in_sigma", "1", "residual over its standard deviation", lambda r: r[1].ratio),
        count("remounts", "behind the measured flow", lambda r: r[2]),
    ),
)

EXPLANATIONS: Sheet[tuple[str, Explanation]] = Sheet(
    "explanations",
    "Causes that would each by itself explain a difference",
    (
        text("port", "that it sets apart; empty: what all ports share", lambda r: r[0]),
        text("cause", "of doubt", lambda r: r[1].cause),
        number("sigmas", "1", "shift in its own standard deviations", lambda r: r[1].sigmas),
    ),
)

SUPPOSITIONS: Sheet[Supposition] = Sheet(
    "suppositions",
    "Faults that would explain the readings, likeliest first",
    (
        text("what", "in words", lambda r: r.what),
        text("look", "what to look at", lambda r: r.look),
        text("port", "that is concerned; empty: all", lambda r: r.port or ""),
        number("size", "1", "best size, relative", lambda r: r.size),
        number("gain", "1", "fall of -2 ln(likelihood), less its freedom's cost", lambda r: r.gain),
        number("p", "1", "p-value of what it leaves unexplained", lambda r: r.p_value),
    ),
)

FITTED: Sheet[tuple[str, float, float, float]] = Sheet(
    "fitted",
    "Error of the prediction before and after the fit: ln of measured over predicted",
    (
        text("port", "port that was read", lambda r: r[0]),
        number("before", "1", "with nothing shifted", lambda r: r[1]),
        number("after", "1", "calibrated", lambda r: r[2]),
        number("left_out", "1", "from a fit to the other ports", lambda r: r[3]),
    ),
)

CAUSES: Sheet[tuple[str, float, float, str]] = Sheet(
    "causes",
    "Causes of doubt as the readings leave them",
    (
        text("cause", "of doubt", lambda r: r[0]),
        number("sigmas", "1", "shift in its own standard deviations", lambda r: r[1]),
        number("left", "1", "what is left of its standard deviation", lambda r: r[2]),
        text("meaning", "on the numbers it moves; empty: not written to a file", lambda r: r[3]),
    ),
)

COMPARE_SHEETS: tuple[Sheet[Any], ...] = (PORTS, EXPLANATIONS, SUPPOSITIONS)
FIT_SHEETS: tuple[Sheet[Any], ...] = (FITTED, CAUSES, *COMPARE_SHEETS)


def compare_tables(comparison: Comparison, verdict: Verdict) -> list[Table]:
    """Everything that ``pulse1d compare`` prints or draws from.

    Parameters
    ----------
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    Returns
    -------
    tables : list of Table   Ports, explanations, suppositions [SI]
    """
    gaps = zip(comparison.ports, comparison.means.remounts, strict=True)
    explained = [("", one) for one in comparison.common_explanations]
    explained += [(gap.port, one) for gap in comparison.ports for one in gap.explanations]
    return [
        PORTS.table((comparison, gap, n) for gap, n in gaps),
        EXPLANATIONS.table(explained),
        SUPPOSITIONS.table(verdict.named),
    ]


def fit_tables(
    comparison: Comparison, verdict: Verdict, found: Fit, calibration: Calibration
) -> list[Table]:
    """Everything that ``pulse1d fit`` prints.

    Parameters
    ----------
    comparison, verdict, found, calibration : Comparison, Verdict, Fit, Calibration   [SI]
    Returns
    -------
    tables : list of Table   Fitted, causes, and those of ``compare_tables`` [SI]
    """
    said = dict(
        zip(
            [one.cause for one in calibration.corrections],
            meanings(found.response, calibration),
            strict=True,
        )
    )
    causes = zip(found.response.causes, found.z, found.spread, strict=True)
    return [
        FITTED.table(zip(found.ports, found.before, found.after, found.left_out, strict=True)),
        CAUSES.table((cause, z, left, said.get(cause, "")) for cause, z, left in causes),
        *compare_tables(comparison, verdict),
    ]
