"""Where the pressure goes: the account of each design, and the pressure along the runner."""

from __future__ import annotations

from functools import partial

from pulse1d.plots.pressure import pressure_figure
from pulse1d.plots.waterfall import waterfall_figure
from pulse1d.report.blocks import Block, Grid, Picture, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.run.bench import BenchResult


def budget(evidence: Evidence) -> Section:
    """A waterfall, its table and what the band is made of, for the first port of each design.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section   [-]
    """
    shown, blocks = evidence.shown, list[Block]()
    for result in evidence.bench:
        port = result.ports[0].answer.port
        blocks += [
            Picture(
                f"{result.design.name}, port {port}: the depression spent, element by element",
                f"Falling bars from the whole depression to nothing along port {port} of "
                f"{result.design.name}; the numbers stand in the table below.",
                partial(waterfall_figure, result, port, shown=shown),
            ),
            _account(evidence, result),
            *_doubts(result),
        ]
    port = evidence.bench[0].ports[0].answer.port
    blocks.append(
        Picture(
            f"Pressure along the way of port {port}: total bold, static thin",
            "Total and static pressure against distance from the bench's air to the room's, "
            "falling where the elements of the table above cost pressure.",
            partial(pressure_figure, evidence.bench, port, shown=shown),
        )
    )
    return Section("pressure", "Where the pressure goes", tuple(blocks))


def _account(evidence: Evidence, result: BenchResult) -> Grid:
    answer, shown = result.ports[0].answer, evidence.shown
    total = sum(entry.loss_pa for entry in answer.budget)
    rows = [
        (
            entry.element,
            f"{entry.loss_pa:.1f}",
            f"{shown.of_pressure(entry.loss_pa):.3f}",
            f"{100 * entry.loss_pa / total:.1f}",
            f"{entry.k:.3f}",
            entry.k_ref,
        )
        for entry in answer.budget
    ]
    rows.append(
        ("sum", f"{total:.1f}", f"{shown.of_pressure(total):.3f}", "100.0", "", "")
    )  # fmt: skip
    return Grid(
        f"{result.design.name}, port {answer.port}: the account",
        ("element", "Pa", shown.pressure, "%", "K", "K on"),
        tuple(rows),
        words=True,
        last_is_sum=True,
    )


def _doubts(result: BenchResult) -> list[Block]:
    shares = list(result.ports[0].shares.items())[:5]
    if not shares:
        return []
    named = ", ".join(f"{cause} {100 * share:.0f} %" for cause, share in shares)
    return [Words(f"What makes its band wide, share of the variance: {named}.", "note")]
