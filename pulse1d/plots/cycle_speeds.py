"""The running engine against speed: torque, volumetric efficiency, back pressure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.case.measured_csv import Measured
from pulse1d.plots.style import COLOURS, DASHES, SETTINGS, drawing_path, plain
from pulse1d.run.cycle_summary import SpeedSummary

Curve = tuple[str, Sequence[SpeedSummary]]


def draw_speeds(curves: Sequence[Curve], path: Path, measured: Measured | None = None) -> None:
    """Draw the cases over each other.

    Parameters
    ----------
    curves : sequence of (case, summaries)   Speeds rising [SI]
    path : Path   .png, .svg or .pdf [-]
    measured : Measured or None   Torque to lay over [SI]
    Errors      InputError for a path that cannot be drawn to.
    """
    path = drawing_path(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(SETTINGS):
        figure = Figure(figsize=(8.0, 9.0), layout="constrained")
        torque, filling, back = figure.subplots(3, 1, sharex=True)
        for k, curve in enumerate(curves):
            draw_curve(torque, curve, [s.torque.brake for s in curve[1]], k)
            draw_curve(filling, curve, [100.0 * s.volumetric_efficiency for s in curve[1]], k)
            draw_curve(back, curve, [1e-3 * s.back_pressure for s in curve[1]], k)
        if measured is not None and measured.kind == "torque":
            torque.plot(
                60.0 * measured.x, measured.y, "x", color="black", ms=6,
                label=plain(f"measured, {measured.path.name}"),
            )  # fmt: skip
        back.axhline(0.0, color="black", lw=0.8, zorder=1)
        torque.set_ylabel("torque [N m]")
        filling.set_ylabel("volumetric efficiency [%]")
        back.set_ylabel("mean back pressure [kPa]")
        back.set_xlabel("speed [rev/min]")
        counts = {len(s.answer.cylinders) for _, curve in curves for s in curve}
        torque.set_title(
            f"Predicted, {'/'.join(map(str, sorted(counts)))} cylinders modelled", loc="left"
        )
        if any(not s.answer.converged for _, curve in curves for s in curve):
            back.plot([], [], "o", mfc="white", color="black", label="not converged")
        for axes in (torque, back):
            labels = axes.get_legend_handles_labels()[1]
            if axes is torque or "not converged" in labels:
                axes.legend(fontsize=10, loc="best")
        figure.savefig(path, dpi=150)


def draw_curve(axes: Any, curve: Curve, values: Sequence[float], k: int) -> None:
    """One case's line; speeds that did not converge are hollow and off the line.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    curve : (case, summaries)   [SI]
    values : sequence of float   As drawn [any]
    k : int   Number of the case [-]
    """
    speeds = np.array([summary.rev_per_min for summary in curve[1]])
    y = np.array(values)
    good = np.array([summary.answer.converged for summary in curve[1]], dtype=bool)
    colour = COLOURS[k % 6]
    axes.plot(
        speeds[good], y[good], color=colour, ls=DASHES[k % 6], marker="o", ms=4,
        label=plain(curve[0]),
    )  # fmt: skip
    axes.plot(speeds[~good], y[~good], "o", ms=6, mfc="white", color=colour)
