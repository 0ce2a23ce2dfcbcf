"""The running engine against speed: torque, volumetric efficiency, back pressure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.case.measured_csv import Measured
from pulse1d.plots.style import COLOURS, DASHES, SETTINGS, drawing_path, plain
from pulse1d.run.cycle_summary import SpeedSummary

MARKS = ("o", "s", "^", "D", "v", "P")
Curve = tuple[str, Sequence[SpeedSummary]]
Setting = tuple[str, Sequence[Curve]]
"""What the cases stand in front of, and their curves."""


def draw_speeds(settings: Sequence[Setting], path: Path, measured: Measured | None = None) -> None:
    """Draw the cases over each other; several settings by dashes, the cases then by marks.

    Parameters
    ----------
    settings : sequence of (label, curves)   Speeds rising; a case has one place in each; one
        without speeds is not drawn [SI]
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
        for n, (label, curves) in enumerate(settings):
            for k, (name, own) in ((k, curve) for k, curve in enumerate(curves) if curve[1]):
                look: dict[str, Any] = {
                    "color": COLOURS[k % 6],
                    "ls": DASHES[(n if len(settings) > 1 else k) % 6],
                    "marker": MARKS[k % 6],
                    "label": plain(", ".join(filter(None, (name, label)))),
                }
                draw_curve(torque, own, [s.torque.brake for s in own], look)
                draw_curve(filling, own, [100.0 * s.volumetric_efficiency for s in own], look)
                draw_curve(back, own, [1e-3 * s.back_pressure for s in own], look)
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
        every = [s for _, curves in settings for _, own in curves for s in own]
        counts = {len(s.answer.cylinders) for s in every}
        torque.set_title(
            f"Predicted, {'/'.join(map(str, sorted(counts)))} cylinders modelled", loc="left"
        )
        if not all(s.answer.converged for s in every):
            back.plot([], [], "o", mfc="white", color="black", label="not converged")
        handles = {
            label: handle
            for axes in (torque, back)
            for handle, label in zip(*axes.get_legend_handles_labels(), strict=True)
        }
        figure.legend(
            list(handles.values()), list(handles), loc="outside lower left", ncols=2, fontsize=10
        )
        figure.savefig(path, dpi=150)


def draw_curve(
    axes: Any, own: Sequence[SpeedSummary], values: Sequence[float], look: dict[str, Any]
) -> None:
    """One case's line; speeds that did not converge are hollow and off the line.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    own : sequence of SpeedSummary   [SI]
    values : sequence of float   As drawn [any]
    look : dict   Colour, dashes, mark and label [-]
    """
    speeds = np.array([summary.rev_per_min for summary in own])
    y = np.array(values)
    good = np.array([summary.answer.converged for summary in own], dtype=bool)
    axes.plot(speeds[good], y[good], ms=4, **look)
    axes.plot(speeds[~good], y[~good], look["marker"], ms=6, mfc="white", color=look["color"])
