"""Bars of every port's flow: the base wide and pale behind, the others before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pulse1d.case.shown import Shown
from pulse1d.plots.bar_shapes import (
    SEEN,
    SLOT,
    bar_look,
    bar_places,
    case_name,
    flow_of,
    reach,
)
from pulse1d.plots.look import LEAST, NOTE, canvas, fold, is_narrow, legend, title, unit
from pulse1d.plots.style import WIDE, plain, styled
from pulse1d.run.bench import BenchResult

Flows = Mapping[str, Mapping[str, tuple[float, float]]]
"""By case and port: flow at the reference state and its U at 95 % [m^3/s]."""
CROWDED = 0.23
"""Width of a bar below which its value is written upright, below half of it not at all [in]."""


def bars_figure(
    results: Sequence[BenchResult],
    *,
    measured: Flows | None = None,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Predicted flow of every port and case, and what was measured, from zero.

    Parameters
    ----------
    results : sequence of BenchResult   The first is the base [SI]
    measured : mapping or None   By case and port: flow at reference and its U at 95 % [m^3/s]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 4.8 if is_narrow(width) else 5.2)
        axes = figure.subplots()
        draw_bars(axes, results, measured or {}, shown, width)
        title(figure, bars_title(results, shown))
        legend(figure, [axes])
    return figure


def bars_title(results: Sequence[BenchResult], shown: Shown) -> str:
    """What the bars show, at which depression.

    Parameters
    ----------
    results : sequence of BenchResult   [SI]
    shown : Shown   Units [-]
    Returns
    -------
    title : str   [-]
    """
    depression = shown.of_pressure(results[0].setup.bench.depression)
    bands = any(port.band is not None for result in results for port in result.ports)
    said = f"Predicted flow at {depression:.4g} {unit(shown.pressure)}"
    return said + (", 5-95 % bands" if bands else "")


def draw_bars(
    axes: Any, results: Sequence[BenchResult], measured: Flows, shown: Shown, width: float
) -> None:
    """One group of bars a port, with 5-95 % bands and readings.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    results : sequence of BenchResult   [SI]
    measured : mapping   As in ``bars_figure`` [m^3/s]
    shown : Shown   Units [-]
    width : float   Of the figure [in]
    """
    names = list(dict.fromkeys(p.answer.port for result in results for p in result.ports))
    slots = bar_places(len(results))
    wide = slots[-1][1] * (width - 0.9) / max(len(names), 1)
    thin = wide < CROWDED
    top = 0.0
    for k, (result, (shift, breadth, clear)) in enumerate(zip(results, slots, strict=True)):
        pale = k == 0 and len(results) > 1
        at = [names.index(p.answer.port) for p in result.ports]
        flow = [flow_of(p, result, shown) for p in result.ports]
        low, high = zip(*(reach(p, result, shown) for p in result.ports), strict=True)
        name = case_name(result) + (" (base)" if pale else "")
        axes.bar(
            [x + shift for x in at], flow, breadth, label=plain(name), zorder=1 if pale else 2,
            **bar_look(k, pale),
        )  # fmt: skip
        middle = [x + clear for x in at]
        if any(low) or any(high):
            axes.errorbar(
                middle, flow, (low, high), fmt="none", ecolor="black", elinewidth=1.2,
                capsize=3, zorder=4,
            )  # fmt: skip
        read = measured.get(result.design.name, {})
        aside = 0.25 * (SEEN * SLOT if pale else breadth)
        for x, f, h, port in zip(middle, flow, high, result.ports, strict=True):
            end = max(f + h, _reading(axes, x + aside, read.get(port.answer.port), shown))
            top = max(top, end)
            if wide < CROWDED / 2.0 and not pale:
                continue
            axes.annotate(
                f"{f:.0f}", (x, end), (0, 3), textcoords="offset points", ha="center",
                va="bottom", fontsize=LEAST if thin else NOTE, rotation=90 if thin else 0, zorder=5,
            )  # fmt: skip
    if any(result.design.name in measured for result in results):
        axes.errorbar([], [], [], fmt="D", ms=5, mfc="white", mec="black", ecolor="black",
                      capsize=3, label="measured, 95 %")  # fmt: skip
    axes.set_ylim(0.0, (1.2 if thin else 1.12) * (top or 1.0))
    axes.set_xlim(-0.55, len(names) - 0.45)
    room = 0.92 * (width - 0.9) / max(len(names), 1)
    axes.set_xticks(range(len(names)), [fold(f"port {name}", room, 11) for name in names])
    axes.set_ylabel(f"flow at reference state [{unit(shown.flow)}]")
    axes.grid(False, axis="x")


def _reading(axes: Any, x: float, read: tuple[float, float] | None, shown: Shown) -> float:
    """Mark a reading beside its bar's band; return where it ends."""
    if read is None:
        return 0.0
    flow, reach = (shown.of_flow(value) for value in read)
    axes.errorbar(
        [x], [flow], [reach], fmt="D", ms=5, mfc="white", mec="black", ecolor="black",
        elinewidth=1.0, capsize=3, zorder=5,
    )  # fmt: skip
    return flow + reach
