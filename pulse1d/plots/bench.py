"""Bench figure: every port's flow with its band, and the pressure along one runner."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pulse1d import units
from pulse1d.plots.pressure import draw_pressure
from pulse1d.plots.style import COLOURS, HATCHES, SETTINGS, drawing_path, plain
from pulse1d.run.bench import BenchResult, PortResult


def draw_bench(results: Sequence[BenchResult], path: Path) -> None:
    """Draw the bars above and the pressure profile of the first port below.

    Parameters
    ----------
    results : sequence of BenchResult   [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        figure = Figure(figsize=(8.0, 9.0), layout="constrained")
        bars, profile = figure.subplots(2, 1, height_ratios=(1, 1.15))
        draw_bars(bars, results)
        draw_pressure(profile, results)
        figure.savefig(path, dpi=150)


def draw_bars(axes: Any, results: Sequence[BenchResult]) -> None:
    """Zero-based bars of volume flow, one group a port, with 5-95 % bands.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    results : sequence of BenchResult   [SI]
    """
    names = list(dict.fromkeys(p.answer.port for result in results for p in result.ports))
    width = 0.8 / len(results)
    top = 0.0
    for k, result in enumerate(results):
        at = [
            names.index(p.answer.port) + (k - 0.5 * (len(results) - 1)) * width
            for p in result.ports
        ]
        flow = [_cfm(abs(p.answer.mdot), result) for p in result.ports]
        low, high = zip(*(_reach(p, result) for p in result.ports), strict=True)
        axes.bar(
            at, flow, 0.92 * width, color=COLOURS[k % 6], hatch=HATCHES[k % 6], edgecolor="white",
            label=plain(result.design.name), zorder=2,
        )  # fmt: skip
        axes.errorbar(at, flow, (low, high), fmt="none", ecolor="black", capsize=4, zorder=3)
        top = max(top, *(f + h for f, h in zip(flow, high, strict=True)))
        for x, f, h in zip(at, flow, high, strict=True):
            axes.annotate(
                f"{f:.0f}", (x, f + h), (0, 3), textcoords="offset points", ha="center", fontsize=9
            )
    bench = results[0].setup.bench
    axes.set_ylim(0.0, 1.12 * top)
    axes.set_xticks(range(len(names)), [plain(f"port {name}") for name in names])
    axes.set_ylabel("flow at reference state [CFM]")
    axes.set_title(
        f"Predicted flow at {units.to(bench.depression, 'inH2O', 'pressure'):.4g} inH2O, "
        "5-95 % bands",
        loc="left",
    )
    axes.grid(False, axis="x")
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, -0.08), ncols=2)


def _cfm(mdot: float, result: BenchResult) -> float:
    return units.to(mdot / result.setup.rho_ref, "CFM", "volume flow")


def _reach(port: PortResult, result: BenchResult) -> tuple[float, float]:
    if port.band is None:
        return 0.0, 0.0
    centre = _cfm(abs(port.answer.mdot), result)
    ends = sorted(_cfm(abs(m), result) for m in (port.band.p5, port.band.p95))
    return max(centre - ends[0], 0.0), max(ends[1] - centre, 0.0)
