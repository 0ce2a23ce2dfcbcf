"""A reduced session of bench readings as tables."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from pulse1d.measure.exponent import Exponent
from pulse1d.measure.reduce import Reduced, Reduction
from pulse1d.results.sheet import Column, Sheet, count, flag, number, text
from pulse1d.results.table import Table
from pulse1d.run.session import At, PortMean, Sampled
from pulse1d.run.session_record import COVERAGE

PART: Column[Any] = text("part", "its key in the readings", lambda r: r[0])
PORT: Column[Any] = text("port", "port that was read", lambda r: r[1])

ROWS: Sheet[tuple[Reduced, float]] = Sheet(
    "rows",
    "Every reading, reduced",
    (
        count("order", "in which it was taken", lambda r: r[0].reading.order),
        count("line", "of the file", lambda r: r[0].reading.line),
        text("part", "its key in the readings", lambda r: r[0].reading.part),
        text("port", "port that was read", lambda r: r[0].reading.port),
        count("remount", "number of the mounting", lambda r: r[0].reading.remount),
        text("meter", "that was read", lambda r: r[0].reading.meter),
        number("test_pressure", "Pa", "across the part", lambda r: r[0].reading.test_pressure),
        number("mass_flow", "kg/s", "through the part", lambda r: r[0].mdot),
        number("flow_actual", "m3/s", "at the state in front of the part", lambda r: r[0].q_actual),
        number(
            "flow_standard", "m3/s", "mass flow over the reference density",
            lambda r: r[0].q_standard,
        ),
        number(
            "flow", "m3/s", "at exactly the stated test pressure, from reference air",
            lambda r: r[0].flow,
        ),
        number("CdA", "m2", "area of the ideal nozzle of the same flow", lambda r: r[0].cda),
        number(
            "u_relative", "1", "standard uncertainty of flow over flow: gauges and meters",
            lambda r: r[1],
        ),
        text("warnings", "one behind another", lambda r: "; ".join(r[0].warnings)),
    ),
)  # fmt: skip

MEANS: Sheet[tuple[str, str, PortMean, Sampled | None]] = Sheet(
    "means",
    "Mean flow of every part and port at the stated test pressure",
    (
        PART,
        PORT,
        count("mounts", "mountings behind it", lambda r: r[2].mounts),
        count("readings", "rows behind it", lambda r: len(r[2].rows)),
        number("flow", "m3/s", "at the reference state", lambda r: r[2].flow),
        number("mass_flow", "kg/s", "at the reference state", lambda r: r[2].mdot),
        number("CdA", "m2", "area of the ideal nozzle of the same flow", lambda r: r[2].cda),
        number("u_relative", "1", "standard uncertainty of flow over flow", lambda r: r[2].u),
        number(
            "expanded_relative", "1", f"{COVERAGE:g} times u_relative", lambda r: COVERAGE * r[2].u
        ),
        number(
            "degrees_of_freedom", "1", "of u_relative; empty: no limit", lambda r: r[2].freedom
        ),
        count("monte_carlo_samples", "of the check", lambda r: r[3] and r[3].samples),
        number(
            "monte_carlo_u", "1", "instruments and meters, by samples", lambda r: r[3] and r[3].u
        ),
        number("budget_u", "1", "the same by the budget", lambda r: r[3] and r[3].u_budget),
        number(
            "monte_carlo_low", "1", "2.5 % of the samples lie below, over the mean, less 1",
            lambda r: r[3] and math.expm1(r[3].low),
        ),
        number(
            "monte_carlo_high", "1", "97.5 % of the samples lie below, over the mean, less 1",
            lambda r: r[3] and math.expm1(r[3].high),
        ),
    ),
)  # fmt: skip

BUDGET: Sheet[tuple[str, str, str, float]] = Sheet(
    "budget",
    "What the uncertainty of every mean is made of",
    (
        PART,
        PORT,
        text("cause", "of doubt", lambda r: r[2]),
        number("u_relative", "1", "its part of the standard uncertainty", lambda r: r[3]),
    ),
)

EXPONENTS: Sheet[tuple[str, str, Exponent]] = Sheet(
    "exponents",
    "How flow grows with test pressure: flow as pressure to the power n",
    (
        PART,
        PORT,
        number("n", "1", "compressibility taken out", lambda r: r[2].n),
        number("u_n", "1", "standard uncertainty of n", lambda r: r[2].u_n),
        number("n_actual", "1", "compressibility left in", lambda r: r[2].n_actual),
        count("points", "readings behind it", lambda r: r[2].points),
        number("low", "Pa", "lowest test pressure read", lambda r: r[2].low),
        number("high", "Pa", "highest test pressure read", lambda r: r[2].high),
        flag("licensed", "whether it may be used to convert a flow", lambda r: r[2].licensed),
        text("reason", "for that", lambda r: r[2].reason),
    ),
)

CONVERTED: Sheet[At] = Sheet(
    "converted",
    "The means at another test pressure",
    (
        text("part", "its key in the readings", lambda r: r.mean.part),
        text("port", "port that was read", lambda r: r.mean.port),
        number("test_pressure", "Pa", "that was asked for", lambda r: r.pressure),
        number(
            "flow", "m3/s", "at the reference state; empty: refused",
            lambda r: r.converted.flow if r.converted else None,
        ),
        number("u_relative", "1", "standard uncertainty of flow over flow", lambda r: r.u),
        text("how", "it was converted", lambda r: r.converted.how if r.converted else ""),
        text("refusal", "why it was not", lambda r: r.refusal),
    ),
)  # fmt: skip

LEAKS: Sheet[tuple[str, str, float]] = Sheet(
    "leaks",
    "Leak that was taken off",
    (
        PART,
        PORT,
        number("mass_flow", "kg/s", "at the stated test pressure", lambda r: r[2]),
    ),
)

DRIFT: Sheet[tuple[int, float]] = Sheet(
    "drift",
    "Check plate through the session",
    (
        count("order", "of the reading", lambda r: r[0]),
        number("ratio", "1", "its flow over that of the first", lambda r: r[1]),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (ROWS, MEANS, BUDGET, EXPONENTS, CONVERTED, LEAKS, DRIFT)


def session_tables(
    reduction: Reduction,
    means: Sequence[PortMean],
    checks: Sequence[Sampled | None],
    exponents: Mapping[tuple[str, str], Exponent],
    at: Sequence[At] = (),
) -> list[Table]:
    """Everything that ``pulse1d reduce`` prints.

    Parameters
    ----------
    reduction, means, checks, exponents, at : as in ``session_record`` [SI]
    Returns
    -------
    tables : list of Table   Rows, means, budget; the others where there are any [SI]
    """
    u = [math.hypot(*some) for some in reduction.jacobian]
    pairs = zip(means, checks, strict=True)
    more = (
        EXPONENTS.table((*key, found) for key, found in exponents.items()),
        CONVERTED.table(at),
        LEAKS.table((*key, mdot) for key, mdot in reduction.leak.items()),
        DRIFT.table(reduction.drift),
    )
    return [
        ROWS.table(zip(reduction.rows, u, strict=True)),
        MEANS.table((mean.part, mean.port, mean, check) for mean, check in pairs),
        BUDGET.table((mean.part, mean.port, *line) for mean in means for line in mean.lines),
        *(table for table in more if table.rows),
    ]
