"""Pressure along the way of one port, of every design on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pulse1d import units
from pulse1d.plots.style import COLOURS, DASHES, plain
from pulse1d.run.bench import BenchResult
from pulse1d.steady.answer import Entry, Profile


def draw_pressure(axes: Any, results: Sequence[BenchResult]) -> None:
    """Total and static pressure against distance, relative to the receiver, first port of each.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    results : sequence of BenchResult   [SI]
    """
    for k, result in enumerate(results):
        answer = result.ports[0].answer
        profile = answer.profile
        if profile is None:
            continue
        receiver = min(result.setup.air.p_port, result.setup.air.p_outlet)
        colour = COLOURS[k % 6]
        name = plain(f"{result.design.name}, port {answer.port}")
        x = 1e3 * profile.x
        axes.plot(x, _inches(profile.p0 - receiver), color=colour, ls=DASHES[k % 6], label=name)
        axes.plot(
            x, _inches(profile.p - receiver), color=colour, ls=DASHES[k % 6], lw=0.9, alpha=0.7
        )
        for rank, entry in enumerate(_costliest(answer.budget)):
            _mark(axes, profile, entry, receiver, colour, 12 + 12 * ((rank + k) % 2))
    flow = "port to outlet" if results[0].setup.bench.port_to_outlet else "outlet to port (reverse)"
    axes.axhline(0.0, color="black", lw=0.8)
    axes.set_xlabel(f"distance along the path, {flow} [mm]")
    axes.set_ylabel("pressure above receiver [inH2O]")
    axes.set_title("Where the pressure goes: total (bold), static (thin)", loc="left")
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, -0.14), ncols=2)


def _inches(pressure: Any) -> Any:
    return pressure * units.to(1.0, "inH2O", "pressure")


def _costliest(budget: Sequence[Entry]) -> list[Entry]:
    inner = [entry for entry in budget[:-1] if entry.loss_pa > 0.0]
    return sorted(inner, key=lambda entry: -entry.loss_pa)[:3]


def _mark(
    axes: Any, profile: Profile, entry: Entry, receiver: float, colour: str, rise: int
) -> None:
    places = [i for i, label in enumerate(profile.labels) if label == entry.element]
    if not places:
        return
    x = 1e3 * float(np.mean(profile.x[places]))
    y = float(_inches(np.mean(profile.p0[places]) - receiver))
    axes.annotate(
        plain(entry.element.rpartition(": ")[2]), (x, y), (6, rise), textcoords="offset points",
        fontsize=8, color=colour, arrowprops={"arrowstyle": "-", "color": colour, "lw": 0.6},
    )  # fmt: skip
