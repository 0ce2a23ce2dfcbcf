"""The running engine against speed: torque, volumetric efficiency, back pressure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.case.measured_csv import Measured
from pulse1d.plots.look import canvas, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, DASHES, MARKS, WIDE, plain, styled, write
from pulse1d.run.cycle_summary import SpeedSummary

Curve = tuple[str, Sequence[SpeedSummary]]
Setting = tuple[str, Sequence[Curve]]
"""What the cases stand in front of, and their curves."""


def draw_speeds(settings: Sequence[Setting], path: Path, measured: Measured | None = None) -> None:
    """Draw them to a file.

    Parameters
    ----------
    settings, measured : as in ``speeds_figure`` [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(speeds_figure(settings, measured), path)


def speeds_figure(
    settings: Sequence[Setting], measured: Measured | None = None, *, width: float = WIDE
) -> Any:
    """The cases over each other; several settings by dashes, the cases then by marks.

    Parameters
    ----------
    settings : sequence of (label, curves)   Speeds rising; a case has one place in each; one
        without speeds is not drawn [SI]
    measured : Measured or None   Torque to lay over [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 8.0 if is_narrow(width) else 9.0)
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
        figure.align_ylabels()
        back.set_xlabel("speed [rev/min]")
        every = [s for _, curves in settings for _, own in curves for s in own]
        counts = {len(s.answer.cylinders) for s in every}
        modelled = "/".join(map(str, sorted(counts)))
        title(figure, f"Predicted over speed, {modelled} cylinders modelled")
        if not all(s.answer.converged for s in every):
            back.plot([], [], "o", mfc="white", color="black", label="not converged")
        legend(figure, [torque, back])
    return figure


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
