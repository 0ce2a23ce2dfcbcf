"""Measured against predicted: one figure of flows with bands, one of the gaps by port."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from pulse1d import units
from pulse1d.compare.against import Comparison
from pulse1d.compare.faults import Verdict
from pulse1d.plots.style import COLOURS, SETTINGS, drawing_path, plain

Z_95 = 1.96


def draw_comparison(comparison: Comparison, verdict: Verdict, path: Path) -> None:
    """Draw both.

    Parameters
    ----------
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        figure = Figure(figsize=(8.0, 8.6), layout="constrained")
        flows, gaps = figure.subplots(2, 1, height_ratios=(1.25, 1))
        draw_flows(flows, comparison)
        draw_gaps(gaps, comparison, verdict)
        figure.savefig(path, dpi=150)


def draw_flows(axes: Any, comparison: Comparison) -> None:
    """Predicted flow across, measured up, each with its 95 % band, and the line of equality.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    comparison : Comparison   [SI]
    """
    x = np.array([_cfm(gap.predicted) for gap in comparison.ports])
    y = np.array([_cfm(gap.measured) for gap in comparison.ports])
    dx = Z_95 * x * [gap.u_predicted for gap in comparison.ports]
    dy = Z_95 * y * [gap.u_measured for gap in comparison.ports]
    low, high = min((x - dx).min(), (y - dy).min()), max((x + dx).max(), (y + dy).max())
    margin = 0.04 * (high - low)
    ends = (low - margin, high + margin)
    axes.plot(ends, ends, color="black", lw=1.0, zorder=1)
    axes.annotate(
        "equal", (ends[1], ends[1]), (-8, -22), textcoords="offset points", ha="right", va="top",
        fontsize=9,
    )  # fmt: skip
    for k, gap in enumerate(comparison.ports):
        axes.errorbar(
            x[k], y[k], dy[k], dx[k], fmt="os^Dv<>p"[k % 8], color=COLOURS[k % 6],
            ecolor=COLOURS[k % 6], elinewidth=1.2, capsize=3, label=plain(f"port {gap.port}"),
            zorder=2,
        )  # fmt: skip
    axes.set_xlim(ends)
    axes.set_ylim(ends)
    axes.set_xlabel("predicted flow [CFM]")
    axes.set_ylabel("measured flow [CFM]")
    depression = units.to(comparison.result.setup.bench.depression, "inH2O", "pressure")
    axes.set_title(
        plain(f"{comparison.design.name} at {depression:.4g} inH2O, 95 % bands"), loc="left"
    )
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, -0.13), ncols=6)


def draw_gaps(axes: Any, comparison: Comparison, verdict: Verdict) -> None:
    """Measured over predicted by port, the model's band behind it.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    """
    at = np.arange(len(comparison.ports))
    gap = 100.0 * np.expm1(comparison.residual)
    model = 100.0 * Z_95 * np.array([g.u_predicted for g in comparison.ports])
    bench = 100.0 * Z_95 * np.array([g.u_measured for g in comparison.ports])
    axes.bar(at, 2.0 * model, 0.62, -model, color="0.85", label="prediction, 95 %", zorder=1)
    axes.axhline(0.0, color="black", lw=1.0, zorder=2)
    axes.errorbar(
        at, gap, bench, fmt="o", color=COLOURS[0], capsize=4, label="measured, 95 %", zorder=3
    )
    suspect = {named.port for named in verdict.named[:1] if named.port is not None}
    for k, found in enumerate(comparison.ports):
        axes.annotate(
            f"{gap[k]:+.1f} %" + (" ?" if found.port in suspect else ""),
            (at[k], gap[k]), (9, 0), textcoords="offset points", va="center", fontsize=9,
        )  # fmt: skip
    axes.set_xticks(at, [plain(f"port {g.port}") for g in comparison.ports])
    axes.set_xlim(-0.6, len(at) - 0.2)
    axes.grid(False, axis="x")
    axes.set_ylabel("measured over predicted, less 1 [%]")
    title = "Gap by port"
    if verdict.named:
        title += f": {verdict.named[0].what}"
    axes.set_title(plain(title), loc="left", fontsize=11)
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, -0.1), ncols=2)


def _cfm(flow: float) -> float:
    return units.to(flow, "CFM", "volume flow")
