"""Measured against predicted: flows with their bands above, the gaps by port below."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.case.shown import Shown
from pulse1d.compare.against import Comparison
from pulse1d.compare.faults import Verdict
from pulse1d.plots.look import NOTE, PANEL, canvas, fold, is_narrow, legend, title, unit
from pulse1d.plots.style import COLOURS, MARKS, PALE, WIDE, plain, styled, write

Z_95 = 1.96


def draw_comparison(
    comparison: Comparison,
    verdict: Verdict,
    path: Path,
    shown: Shown = Shown(),  # noqa: B008
) -> None:
    """Draw both to a file.

    Parameters
    ----------
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    path : Path   .png, .svg or .pdf [-]
    shown : Shown   Units [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(comparison_figure(comparison, verdict, shown=shown), path)


def comparison_figure(
    comparison: Comparison,
    verdict: Verdict,
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Flows against each other, and the gaps by port.

    Parameters
    ----------
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 8.2 if is_narrow(width) else 8.8)
        flows, gaps = figure.subplots(2, 1, height_ratios=(1.25, 1))
        draw_flows(flows, comparison, shown)
        draw_gaps(gaps, comparison, verdict)
        about = "Gap by port" + (f": {verdict.named[0].what}" if verdict.named else "")
        gaps.set_title(fold(about, width - 1.0, PANEL), loc="left", fontsize=PANEL)
        depression = shown.of_pressure(comparison.result.setup.bench.depression)
        at = f"{depression:.4g} {unit(shown.pressure)}"
        title(figure, f"{comparison.design.name}: measured against predicted at {at}, 95 % bands")
        legend(figure, [flows, gaps])
    return figure


def draw_flows(axes: Any, comparison: Comparison, shown: Shown) -> None:
    """Predicted flow across, measured up, each with its 95 % band, and the line of equality.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    comparison : Comparison   [SI]
    shown : Shown   Units [-]
    """
    x = np.array([shown.of_flow(gap.predicted) for gap in comparison.ports])
    y = np.array([shown.of_flow(gap.measured) for gap in comparison.ports])
    dx = Z_95 * x * [gap.u_predicted for gap in comparison.ports]
    dy = Z_95 * y * [gap.u_measured for gap in comparison.ports]
    low, high = min((x - dx).min(), (y - dy).min()), max((x + dx).max(), (y + dy).max())
    margin = 0.04 * (high - low)
    ends = (low - margin, high + margin)
    axes.plot(ends, ends, color="black", lw=1.0, zorder=1)
    axes.annotate(
        "equal", (ends[1], ends[1]), (-8, -22), textcoords="offset points", ha="right", va="top",
        fontsize=NOTE,
    )  # fmt: skip
    for k, gap in enumerate(comparison.ports):
        axes.errorbar(
            x[k], y[k], dy[k], dx[k], fmt=MARKS[k % 6], color=COLOURS[k % 6],
            ecolor=COLOURS[k % 6], elinewidth=1.2, capsize=3, label=plain(f"port {gap.port}"),
            zorder=2,
        )  # fmt: skip
    axes.set_xlim(ends)
    axes.set_ylim(ends)
    axes.set_xlabel(f"predicted flow [{unit(shown.flow)}]")
    axes.set_ylabel(f"measured flow [{unit(shown.flow)}]")


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
    axes.bar(at, 2.0 * model, 0.62, -model, color=COLOURS[0], alpha=PALE, zorder=1,
             label="prediction, 95 %")  # fmt: skip
    axes.axhline(0.0, color="black", lw=1.0, zorder=2)
    axes.errorbar(
        at,
        gap,
        bench,
        fmt="D",
        ms=5,
        mfc="white",
        color="black",
        capsize=3,
        zorder=3,
        label="measured, 95 %",
    )
    suspect = {named.port for named in verdict.named[:1] if named.port is not None}
    for k, found in enumerate(comparison.ports):
        axes.annotate(
            f"{gap[k]:+.1f} %" + (" ?" if found.port in suspect else ""),
            (at[k], gap[k]), (9, 0), textcoords="offset points", va="center", fontsize=NOTE,
        )  # fmt: skip
    axes.set_xticks(at, [plain(f"port {g.port}") for g in comparison.ports])
    axes.set_xlim(-0.6, len(at) - 0.2)
    axes.grid(False, axis="x")
    axes.set_ylabel("measured less predicted [%]")
