"""Bolts and sizes of a screening of durability as tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulse1d.durability.sensitivity import Sensitivity
from pulse1d.results.sheet import Column, Sheet, number, text
from pulse1d.results.table import Table
from pulse1d.run.life import LONGER, LifeResult
from pulse1d.run.life_bolts import PortBolts
from pulse1d.run.life_slip import Slip

CASE: Column[Any] = text("case", "name of the design", lambda r: r[0].design.name)

BOLTS: Sheet[tuple[LifeResult, str, PortBolts]] = Sheet(
    "bolts",
    "Force of one of a port's bolts through a start",
    (
        CASE,
        text("sleeves", f"as designed, or {1e3 * LONGER:.0f} mm longer", lambda r: r[1]),
        text("port", "that they hold", lambda r: r[2].port.removeprefix("port ")),
        number("temperature", "K", "hottest", lambda r: r[2].T_bolt),
        number("compliance", "m/N", "of bolt and clamped parts, cold",
               lambda r: r[2].state.compliance),
        number("preload", "N", "as tightened", lambda r: r[2].state.preload),
        number("settled", "N", "once surfaces have settled",
               lambda r: r[2].state.preload_after_embedding),
        number("hot", "N", "when most stretched", lambda r: r[2].state.hot),
        number("least", "N", "least of the start", lambda r: r[2].least),
        number("cold_again", "N", "after the start", lambda r: r[2].state.cold_again),
        text("notes", "one behind another", lambda r: "; ".join(r[2].state.notes)),
    ),
)  # fmt: skip

END_STUD: Sheet[tuple[LifeResult, Slip]] = Sheet(
    "end_stud",
    "The end stud of a flange",
    (
        CASE,
        number("span", "m", "between the outermost studs", lambda r: r[1].span),
        number("slip", "m", "of the flange at the end stud", lambda r: r[1].slip),
        number("clearance", "m", "of its hole, each side", lambda r: r[1].clearance),
        number("to_follow", "m", "that the stud has to follow", lambda r: r[1].rest),
        number("bending_strain", "1", "of the stud that follows", lambda r: r[1].strain),
    ),
)

SENSITIVITY: Sheet[tuple[LifeResult, Sensitivity]] = Sheet(
    "sensitivity",
    "What a size does to the middle life of the worst place",
    (
        CASE,
        text("size", "that is changed", lambda r: r[1].name),
        number("size_factor", "1", "changed over as designed", lambda r: r[1].changed / r[1].base),
        number("life_factor", "1", "life after over before", lambda r: r[1].factor),
    ),
)


def bolt_tables(results: Sequence[LifeResult]) -> list[Table]:
    """The tables of this file of which there is anything to tell.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    Returns
    -------
    tables : list of Table   [SI]
    """
    bolts = [
        (result, sleeves, one)
        for result in results
        for sleeves, some in (("as designed", result.bolts), ("longer", result.longer))
        for one in some
    ]
    tables = (
        BOLTS.table(bolts),
        END_STUD.table((result, result.slip) for result in results if result.slip is not None),
        SENSITIVITY.table((result, one) for result in results for one in result.sensitivity),
    )
    return [table for table in tables if table.rows]
