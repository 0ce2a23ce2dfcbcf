"""A screening of durability as tables. A ranking, never a certificate."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pulse1d.durability.rank import Assessed
from pulse1d.durability.transient import peak_difference
from pulse1d.results.sheet import Column, Sheet, count, number, text
from pulse1d.results.table import Table
from pulse1d.run.life import LifeResult
from pulse1d.run.life_bolt_tables import BOLTS, END_STUD, SENSITIVITY, bolt_tables
from pulse1d.run.life_record import peaks

CASE: Column[Any] = text("case", "name of the design", lambda r: r[0].design.name)

PLACES: Sheet[tuple[LifeResult, int, Assessed]] = Sheet(
    "places",
    "Places of a design, the first to crack on top; lives are full starts from cold to a crack",
    (
        CASE,
        count("rank", "from 1", lambda r: r[1]),
        text("place", "in words", lambda r: r[2].place.name),
        text("metal", "of the place", lambda r: r[2].place.material.name),
        number("temperature", "K", "at the worst moment", lambda r: r[2].place.T),
        text("other_metal", "of what it meets", lambda r: r[2].place.other.name),
        number("other_temperature", "K", "at that moment", lambda r: r[2].place.T_other),
        number("hottest", "K", "of the whole start", lambda r: r[2].place.T_hottest),
        number("mismatch", "1", "strain if nothing held it", lambda r: r[2].mismatch),
        number("restraint", "1", "share of the mismatch that is held", lambda r: r[2].place.eta),
        number("from_legs", "1", "strain that legs add", lambda r: r[2].place.extra),
        number("strain_range", "1", "of a start, without weld factor",
               lambda r: r[2].strain_range),
        text("weld", "its state", lambda r: r[2].place.weld),
        number("life_low", "1", "shortest rule, worst weld, scatter", lambda r: r[2].band.low),
        number("life_middle", "1", "mean of the rules, or measured curve",
               lambda r: r[2].band.mid),
        number("life_high", "1", "longest rule, best weld", lambda r: r[2].band.high),
        text("refused", "why no life is told", lambda r: r[2].band.refused),
        text("reason", "of the strain, and what would help most", lambda r: r[2].reason),
        text("notes", "one behind another", lambda r: "; ".join(r[2].band.notes)),
    ),
)  # fmt: skip

METHODS: Sheet[tuple[LifeResult, Assessed, str, float]] = Sheet(
    "methods",
    "Life of every place by each rule, at the middle weld factor",
    (
        CASE,
        text("place", "in words", lambda r: r[1].place.name),
        text("method", "rule of life", lambda r: r[2]),
        number("life", "1", "full starts to a crack; empty: without end", lambda r: r[3]),
    ),
)

HEAT: Sheet[tuple[LifeResult, str, tuple[float, float]]] = Sheet(
    "heat",
    "Hottest metal of a start, runner by runner, and the greatest difference",
    (
        CASE,
        text("runner", "as the case names it", lambda r: r[1]),
        number("wall", "K", "hottest", lambda r: _hottest(r[0], r[1])),
        number("weld_zone", "K", "hottest", lambda r: _hottest(r[0], f"{r[1]} weld zone")),
        number("flange", "K", "hottest", lambda r: _hottest(r[0], f"{r[1]} flange")),
        number("sleeve", "K", "hottest; empty: has none",
               lambda r: _hottest(r[0], f"{r[1]} sleeve")),
        number("bolt", "K", "hottest; empty: has none", lambda r: _hottest(r[0], f"{r[1]} bolt")),
        number("difference", "K", "wall less flange, greatest", lambda r: r[2][0]),
        number("difference_at", "s", "from the start", lambda r: r[2][1]),
    ),
)  # fmt: skip

TEMPERATURES: Sheet[tuple[LifeResult, str, int]] = Sheet(
    "temperatures",
    "Metal over one start",
    (
        CASE,
        text("node", "of the metal", lambda r: r[1]),
        number("time", "s", "from the start", lambda r: r[0].heat.t[r[2]]),
        number("temperature", "K", "mean of the node", lambda r: r[0].heat.at(r[1])[r[2]]),
    ),
)

GAS: Sheet[tuple[LifeResult, str]] = Sheet(
    "gas",
    "The gas that heats each leg",
    (
        CASE,
        text("leg", "runner or trunk", lambda r: r[1]),
        number("temperature", "K", "mean at the wall", lambda r: r[0].gas[r[1]].T),
        number("h", "W/m2/K", "mean heat transfer coefficient", lambda r: r[0].gas[r[1]].h),
        text("from", "where it comes from", lambda r: r[0].gas_origin),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (
    PLACES, METHODS, HEAT, TEMPERATURES, GAS, BOLTS, END_STUD, SENSITIVITY
)  # fmt: skip


def life_tables(results: Sequence[LifeResult]) -> list[Table]:
    """Everything that ``pulse1d life`` prints or draws from.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    Returns
    -------
    tables : list of Table   Places, methods, heat, temperatures, gas; bolts, end stud and
        sensitivity where there are any [SI]
    """
    places = [(result, k, one) for result in results for k, one in enumerate(result.places, 1)]
    return [
        PLACES.table(places),
        METHODS.table(
            (result, one, *life) for result, _, one in places for life in one.band.methods.items()
        ),
        HEAT.table(row for result in results for row in _heat(result)),
        TEMPERATURES.table(
            (result, node, k)
            for result in results
            for node in result.heat.names
            for k in range(len(result.heat.t))
        ),
        GAS.table((result, leg) for result in results for leg in result.gas),
        *bolt_tables(results),
    ]


def _heat(result: LifeResult) -> Iterator[tuple[LifeResult, str, tuple[float, float]]]:
    for wall, flange in peaks(result):
        yield result, wall, peak_difference(result.heat, wall, flange)


def _hottest(result: LifeResult, node: str) -> float | None:
    return float(result.heat.at(node).max()) if node in result.heat.names else None
