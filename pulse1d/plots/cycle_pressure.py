"""Port pressure against crank angle, a panel a cylinder, cases over each other."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.case.design import Design
from pulse1d.case.measured_csv import Measured
from pulse1d.engine.valves import exhaust_events, inlet_events
from pulse1d.plots.look import NOTE, PANEL, canvas, fold, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, DASHES, WIDE, plain, styled, write
from pulse1d.run.cycle import CycleAnswer
from pulse1d.run.engine_net import needs

Told = tuple[Design, CycleAnswer]


def draw_port_pressure(
    told: Sequence[Told],
    path: Path,
    measured: Measured | None = None,
    cylinder: str = "",
    where: str = "",
) -> None:
    """Draw them to a file.

    Parameters
    ----------
    told, measured, cylinder, where : as in ``port_pressure_figure`` [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(port_pressure_figure(told, measured, cylinder, where), path)


def port_pressure_figure(
    told: Sequence[Told],
    measured: Measured | None = None,
    cylinder: str = "",
    where: str = "",
    *,
    width: float = WIDE,
) -> Any:
    """The ports of all cylinders at one speed.

    Parameters
    ----------
    told : sequence of (design, answer)   The first case's cylinders have the panels [SI]
    measured : Measured or None   Pressure to lay over [SI]
    cylinder : str   Where it was measured [-]
    where : str   What the cases stand in front of; empty: nothing to tell [-]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    names = [one.cylinder for one in told[0][1].cylinders]
    across = 1 if len(names) <= 4 or is_narrow(width) else 2
    down = -(-len(names) // across)
    with styled():
        figure = canvas(width, 1.6 + (1.7 if is_narrow(width) else 2.0) * down)
        panels = figure.subplots(down, across, sharex=True, sharey=True, squeeze=False)
        for axes, name in zip(panels.T.ravel(), names, strict=False):
            draw_panel(axes, told, name)
            if measured is not None and measured.kind == "pressure" and name == cylinder:
                axes.plot(
                    measured.x, 1e-3 * measured.y, ".", color="black", ms=3, zorder=4,
                    label=plain(f"measured, {measured.path.name}"),
                )  # fmt: skip
        for axes in panels.T.ravel()[len(names) :]:
            axes.set_axis_off()
        first = panels[0, 0]
        first.set_xlim(0.0, 720.0)
        first.set_xticks(range(0, 721, 180 if is_narrow(width) or across > 1 else 90))
        about = "crank angle after own firing top dead centre [deg]"
        for axes in panels[-1]:
            axes.set_xlabel(fold(about, width / across - 1.0, PANEL))
        figure.supylabel("port pressure [kPa abs]", fontsize=PANEL)
        speed = f"{60.0 * told[0][1].speed:g} rev/min"
        title(figure, f"Port pressure at {speed}{where and f', {where}'}")
        legend(figure, panels.ravel(), order=[plain(design.name) for design, _ in told])
    return figure


def draw_panel(axes: Any, told: Sequence[Told], cylinder: str) -> None:
    """One cylinder: its pressures, when its exhaust valve is open, and its overlap.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    told : sequence of (design, answer)   [SI]
    cylinder : str   [-]
    """
    engine = needs(told[0][0])
    assert engine.exhaust is not None
    assert engine.inlet is not None
    opens, closes = exhaust_events(engine.exhaust)
    axes.axvspan(opens, closes, color="black", alpha=0.06, lw=0, label="exhaust valve open")
    inlet = inlet_events(engine.inlet)[0]
    if inlet < closes:
        axes.axvspan(inlet, closes, color="black", alpha=0.16, lw=0, label="overlap")
    for k, (design, answer) in enumerate(told):
        one = next((c for c in answer.cylinders if c.cylinder == cylinder), None)
        if one is None:
            continue
        mark = "" if answer.converged else ", not converged"
        axes.plot(
            np.arange(721.0), 1e-3 * np.append(one.p_port, one.p_port[0]), color=COLOURS[k % 6],
            ls=DASHES[k % 6], lw=1.4, label=plain(design.name + mark), zorder=3,
        )  # fmt: skip
    room = told[0][0].case.bench.room.pressure
    axes.axhline(1e-3 * room, color="black", lw=0.8, zorder=1)
    axes.text(
        0.99, 0.95, plain(f"cylinder {cylinder}"), transform=axes.transAxes, ha="right", va="top",
        fontsize=NOTE, zorder=5,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.5},
    )  # fmt: skip
