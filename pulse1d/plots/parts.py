"""Bars of two parts read on a bench: the base behind, the other in front, the gain above."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pulse1d import units
from pulse1d.compare.parts import Gain, PartComparison
from pulse1d.compare.parts_record import name_of
from pulse1d.plots.style import COLOURS, HATCHES, SETTINGS, drawing_path, plain

WIDE, NARROW = 0.76, 0.44


def draw_parts(comparison: PartComparison, path: Path) -> None:
    """Draw every port's flow of both parts, from zero, with the gain and its uncertainty.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        count = len(comparison.ports)
        figure = Figure(figsize=(max(6.5, 2.6 + 1.35 * count), 5.6), layout="constrained")
        axes = figure.subplots()
        draw_pairs(axes, comparison)
        figure.savefig(path, dpi=150)


def draw_pairs(axes: Any, comparison: PartComparison) -> None:
    """One wide bar of the base and one narrow bar of the other for each port.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    comparison : PartComparison   [SI]
    """
    ports, rows = comparison.ports, comparison.rows
    at = range(len(ports))
    base, other = ([_cfm(getattr(p, name)) for p in ports] for name in ("base_flow", "other_flow"))
    reach = [b * p.U for b, p in zip(base, ports, strict=True)]
    names = [name_of(comparison, part) for part in (rows.base, rows.other)]
    axes.bar(
        at, base, WIDE, color=COLOURS[1], hatch=HATCHES[1], edgecolor="white", zorder=2,
        label=plain(f"{names[0]} (base)"),
    )  # fmt: skip
    axes.bar(
        at, other, NARROW, color=COLOURS[0], edgecolor="white", zorder=3, label=plain(names[1])
    )
    axes.errorbar(
        at, other, reach, fmt="none", ecolor="black", elinewidth=1.4, capsize=5, zorder=4,
        label="U of the difference at 95 %",
    )  # fmt: skip
    for x, b, o, r, port in zip(at, base, other, reach, ports, strict=True):
        axes.annotate(
            _gain_text(port), (x, max(b, o + r)), (0, 5), textcoords="offset points",
            ha="center", va="bottom", fontsize=10, linespacing=1.15,
        )  # fmt: skip
    axes.set_ylim(0.0, 1.16 * max(*base, *(o + r for o, r in zip(other, reach, strict=True))))
    axes.set_xlim(-0.6, len(ports) - 0.4)
    axes.set_xticks(list(at), [plain(f"port {port.port}") for port in ports])
    header = rows.sessions[0].header
    pressure = units.to(header.set_up.test_pressure, "inH2O", "pressure")
    axes.set_ylabel("flow at reference state [CFM]")
    axes.set_title(
        plain(f"Measured at {pressure:.4g} inH2O, {header.set_up.direction}\n{_whole(comparison)}"),
        loc="left",
    )
    axes.grid(False, axis="x")
    long = sum(len(name) for name in names) > 14 * len(ports)
    axes.legend(loc="upper left", bbox_to_anchor=(0.0, -0.07), ncols=1 if long else 3)


def _gain_text(gain: Gain) -> str:
    if gain.verdict == "not shown":
        return f"not shown\n±{100 * gain.U:.1f} %"
    return f"{100 * gain.gain:+.1f} %\n±{100 * gain.U:.1f}"


def _whole(comparison: PartComparison) -> str:
    whole = comparison.whole
    if whole.verdict == "not shown":
        return f"whole part: no difference shown at ±{100 * whole.U:.1f} %"
    return f"whole part: {100 * whole.gain:+.1f} ± {100 * whole.U:.1f} % of the base"


def _cfm(flow: float) -> float:
    return units.to(flow, "CFM", "volume flow")
