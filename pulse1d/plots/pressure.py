"""Pressure along the way of one port, of every design on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulse1d.case.shown import Shown
from pulse1d.plots.bar_shapes import case_name
from pulse1d.plots.labels import label_points
from pulse1d.plots.look import canvas, is_narrow, legend, title, unit
from pulse1d.plots.style import COLOURS, DASHES, WIDE, plain, styled
from pulse1d.run.bench import BenchResult
from pulse1d.steady.answer import Entry, Profile

NAMED = 2
"""Costliest elements that are named on each line."""


def pressure_figure(
    results: Sequence[BenchResult],
    port: str,
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Total and static pressure against distance, relative to the receiver.

    Parameters
    ----------
    results : sequence of BenchResult   [SI]
    port : str   Those without it are left out [-]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 5.2 if is_narrow(width) else 5.4)
        axes = figure.subplots()
        draw_pressure(axes, results, port, shown, width)
        title(figure, f"Port {port}: total (bold) and static pressure (thin) along the way")
        legend(figure, [axes])
    return figure


def draw_pressure(
    axes: Any, results: Sequence[BenchResult], port: str, shown: Shown, width: float
) -> None:
    """Draw them on axes.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    results : sequence of BenchResult   [SI]
    port : str   [-]
    shown : Shown   Units [-]
    width : float   Of the figure [in]
    """
    lines, places = [], []
    for k, result in enumerate(results):
        answer = next((p.answer for p in result.ports if p.answer.port == port), None)
        if answer is None or answer.profile is None:
            continue
        profile = answer.profile
        receiver = min(result.setup.air.p_port, result.setup.air.p_outlet)
        x = shown.of_length(1.0) * profile.x
        total, static = (shown.of_pressure(1.0) * (p - receiver) for p in (profile.p0, profile.p))
        look = {"color": COLOURS[k % 6], "ls": DASHES[k % 6]}
        axes.plot(x, total, lw=2.0, label=plain(case_name(result)), **look)
        axes.plot(x, static, lw=0.9, **look)
        lines += [(x, total), (x, static)]
        for entry in costliest(answer.budget, profile):
            at = [i for i, label in enumerate(profile.labels) if label == entry.element]
            places.append(
                (float(x[at].mean()), float(total[at].mean()), entry.element.rpartition(": ")[2])
            )
            axes.plot(*places[-1][:2], "o", ms=4, color=COLOURS[k % 6], mec="black", mew=0.6,
                      zorder=4)  # fmt: skip
    forward = results[0].setup.bench.port_to_outlet
    flow = "port to outlet" if forward else "outlet to port (reverse)"
    axes.axhline(0.0, color="black", lw=0.8, zorder=1)
    axes.set_xlabel(f"distance, {flow} [{shown.length}]")
    axes.set_ylabel(f"pressure above the receiver's [{unit(shown.pressure)}]")
    axes.margins(x=0.03, y=0.08)
    if lines:
        label_points(axes, places, lines, (width - 0.8, 3.6))


def costliest(budget: Sequence[Entry], profile: Profile) -> list[Entry]:
    """The elements that a line names: those that lose most and have a place on it.

    Parameters
    ----------
    budget : sequence of Entry   The exit last [Pa]
    profile : Profile   [SI]
    Returns
    -------
    entries : list of Entry   Costliest first [Pa]
    """
    inner = [e for e in budget[:-1] if e.loss_pa > 0.0 and e.element in profile.labels]
    return sorted(inner, key=lambda entry: -entry.loss_pa)[:NAMED]
