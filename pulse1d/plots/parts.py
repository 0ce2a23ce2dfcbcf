"""Bars of two parts read on a bench: the base behind, the other in front, the gain above."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pulse1d.case.shown import Shown
from pulse1d.compare.parts import Gain, PartComparison
from pulse1d.compare.parts_record import name_of
from pulse1d.plots.bar_shapes import bar_look, bar_places
from pulse1d.plots.look import LEAST, NOTE, canvas, fold, is_narrow, legend, title, unit
from pulse1d.plots.style import WIDE, plain, styled, write


def draw_parts(
    comparison: PartComparison,
    path: Path,
    shown: Shown = Shown(),  # noqa: B008
) -> None:
    """Draw the bars to a file.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    path : Path   .png, .svg or .pdf [-]
    shown : Shown   Units [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(parts_figure(comparison, shown=shown), path)


def parts_figure(
    comparison: PartComparison,
    *,
    shown: Shown = Shown(),  # noqa: B008
    width: float = WIDE,
) -> Any:
    """Every port's flow of both parts, from zero, with the gain and its uncertainty.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    shown : Shown   Units [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 5.4)
        axes = figure.subplots()
        draw_pairs(axes, comparison, shown, width)
        set_up = comparison.rows.sessions[0].header.set_up
        pressure = f"{shown.of_pressure(set_up.test_pressure):.4g} {unit(shown.pressure)}"
        title(figure, f"Measured at {pressure}, {set_up.direction}\n{_whole(comparison)}")
        legend(figure, [axes])
    return figure


def draw_pairs(axes: Any, comparison: PartComparison, shown: Shown, width: float) -> None:
    """One wide bar of the base and one narrow bar of the other for each port.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    comparison : PartComparison   [SI]
    shown : Shown   Units [-]
    width : float   Of the figure [in]
    """
    ports, rows = comparison.ports, comparison.rows
    base, other = (
        [shown.of_flow(getattr(p, name)) for p in ports] for name in ("base_flow", "other_flow")
    )
    reach = [b * p.U for b, p in zip(base, ports, strict=True)]
    names = [name_of(comparison, part) for part in (rows.base, rows.other)]
    names[0] += " (base)"
    at = [float(k) for k in range(len(ports))]
    for k, (flow, place) in enumerate(zip((base, other), bar_places(2), strict=True)):
        axes.bar(
            [x + place[0] for x in at], flow, place[1], label=plain(names[k]), zorder=1 + k,
            **bar_look(k, k == 0),
        )  # fmt: skip
    at = [x + bar_places(2)[1][0] for x in at]
    axes.errorbar(
        at, other, reach, fmt="none", ecolor="black", elinewidth=1.2, capsize=3, zorder=4,
        label="U of the difference at 95 %",
    )  # fmt: skip
    for x, b, o, r, port in zip(at, base, other, reach, ports, strict=True):
        axes.annotate(
            _gain_text(port), (x, max(b, o + r)), (0, 5), textcoords="offset points",
            ha="center", va="bottom", fontsize=LEAST if is_narrow(width) else NOTE,
            linespacing=1.15,
        )  # fmt: skip
    axes.set_ylim(0.0, 1.16 * max(*base, *(o + r for o, r in zip(other, reach, strict=True))))
    axes.set_xlim(-0.6, len(ports) - 0.4)
    room = 0.92 * (width - 0.9) / len(ports)
    axes.set_xticks(range(len(ports)), [fold(f"port {port.port}", room, 11) for port in ports])
    axes.set_ylabel(f"flow at reference state [{unit(shown.flow)}]")
    axes.grid(False, axis="x")


def _gain_text(gain: Gain) -> str:
    if gain.verdict == "not shown":
        return f"not shown\n±{100 * gain.U:.1f} %"
    return f"{100 * gain.gain:+.1f} %\n±{100 * gain.U:.1f}"


def _whole(comparison: PartComparison) -> str:
    whole = comparison.whole
    if whole.verdict == "not shown":
        return f"whole part: no difference shown at ±{100 * whole.U:.1f} %"
    return f"whole part: {100 * whole.gain:+.1f} ± {100 * whole.U:.1f} % of the base"
