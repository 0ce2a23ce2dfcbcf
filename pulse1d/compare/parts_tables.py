"""A comparison of two parts as tables."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pulse1d.compare.parts import CHANCES, Gain, PartComparison
from pulse1d.compare.remounts import Remount
from pulse1d.results.sheet import Column, Sheet, count, flag, number, text
from pulse1d.results.table import Table


def _needed(chance: float) -> Callable[[Any], Any]:
    return lambda row: row[1].needed(chance)


PORT: Column[Any] = text("port", "port, or whole part", lambda r: r[1].port)

GAINS: Sheet[tuple[PartComparison, Gain]] = Sheet(
    "gains",
    "Flow of the other part over the base's at equal test pressure, port by port and whole",
    (
        text("base", "key of the base", lambda r: r[0].rows.base),
        text("other", "key of the other", lambda r: r[0].rows.other),
        PORT,
        number(
            "base_flow", "m3/s", "at the reference state; whole: sum of ports",
            lambda r: r[1].base_flow,
        ),
        number("other_flow", "m3/s", "the other's", lambda r: r[1].other_flow),
        number("gain", "1", "other over base, less 1", lambda r: r[1].gain),
        number("gain_low", "1", "lower end of its 95 % interval", lambda r: r[1].band[0]),
        number("gain_high", "1", "upper end of its 95 % interval", lambda r: r[1].band[1]),
        number("base_gain", "1", "base over other, less 1", lambda r: r[1].mirror),
        number(
            "less_loss", "1", "less pressure lost by the other at equal flow, of the base's",
            lambda r: r[1].less_loss,
        ),
        number("ln_ratio", "1", "ln of other over base", lambda r: r[1].ln_ratio),
        number("u", "1", "standard uncertainty of ln_ratio", lambda r: r[1].u),
        number("u_random", "1", "of it, from remounting", lambda r: r[1].u_random),
        number("u_systematic", "1", "of it, from the bench", lambda r: r[1].u_systematic),
        number("u_floor", "1", "of it, what no remount lowers", lambda r: r[1].floor),
        number("degrees_of_freedom", "1", "of u; empty: no limit", lambda r: r[1].free),
        count("base_remounts", "of the base; whole: fewest of a port", lambda r: r[1].remounts[0]),
        count("other_remounts", "of the other", lambda r: r[1].remounts[1]),
        count("readings", "rows behind it", lambda r: r[1].readings),
        flag("paired", "whether read in pairs", lambda r: r[1].paired),
        text("order", "of the mountings, A the base", lambda r: r[1].order),
        number(
            "scatter", "1", "standard deviation of a pair's difference, else of a remount",
            lambda r: r[1].s,
        ),
        text("scatter_from", "own, pooled or assumed", lambda r: r[1].origin),
        number("p", "1", "chance of such a difference between equal parts", lambda r: r[1].p),
        number("p_holm", "1", "corrected for the number of ports", lambda r: r[1].p_holm),
        text("verdict", "better, worse or not shown", lambda r: r[1].verdict),
        *(
            count(
                f"needed_{100 * chance:.0f}",
                f"remounts that would show this gain in {100 * chance:.0f} of 100 sessions; "
                "empty: none",
                _needed(chance),
            )
            for chance in CHANCES
        ),
    ),
)  # fmt: skip

CAUSES: Sheet[tuple[PartComparison, Gain, str, float]] = Sheet(
    "causes",
    "What the bench's part of the uncertainty is made of",
    (
        PORT,
        text("cause", "of doubt", lambda r: r[2]),
        number("u", "1", "its part of u_systematic", lambda r: r[3]),
    ),
)

MOUNTS: Sheet[tuple[str, Remount, str, str]] = Sheet(
    "mounts",
    "Every mounting, in the order read",
    (
        text("port", "port that was read", lambda r: r[0]),
        text("part", "key of the part", lambda r: r[2]),
        text("session", "file of readings", lambda r: r[3]),
        count("remount", "number of the mounting", lambda r: r[1].number),
        count("order", "of its first reading", lambda r: r[1].order),
        count("readings", "rows behind it", lambda r: len(r[1].rows)),
        number("flow", "m3/s", "geometric mean of its readings", lambda r: r[1].flow),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (GAINS, CAUSES, MOUNTS)


def parts_tables(comparison: PartComparison) -> list[Table]:
    """Everything that ``pulse1d parts`` prints or draws from.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    Returns
    -------
    tables : list of Table   Gains, causes, mounts [SI]
    """
    rows = comparison.rows
    gains = [(comparison, gain) for gain in (*comparison.ports, comparison.whole)]
    return [
        GAINS.table(gains),
        CAUSES.table((*one, *cause) for one in gains for cause in one[1].causes),
        MOUNTS.table(
            (port.port, mount, part, rows.sessions[mount.session].name)
            for port in comparison.samples
            for mount, part in port.in_order(rows.base, rows.other)
        ),
    ]
