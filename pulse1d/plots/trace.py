"""Pressure against time at every station, one above another, on one scale."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pulse1d.plots.look import NOTE, PANEL, canvas, is_narrow, legend, title
from pulse1d.plots.style import COLOURS, DASHES, WIDE, plain, styled, write

if TYPE_CHECKING:
    from xarray import Dataset

PANELS = 8
"""Most stations with a panel each; more are drawn over each other in one."""


def draw_traces(dataset: Dataset, path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    dataset : xarray.Dataset   As ``pulse1d pulse`` stores it [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(traces_figure(dataset), path)


def traces_figure(dataset: Dataset, *, width: float = WIDE) -> Any:
    """The traces of a wave run.

    Parameters
    ----------
    dataset : xarray.Dataset   As ``pulse1d pulse`` stores it [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    count = dataset.sizes["station"]
    panels = count if count <= PANELS else 1
    each = 1.8 if is_narrow(width) else 2.1
    with styled():
        figure = canvas(width, 1.2 + each * panels if panels > 1 else 5.0)
        axes = figure.subplots(panels, 1, sharex=True, sharey=True, squeeze=False)[:, 0]
        for k in range(count):
            alone = panels > 1 or count == 1
            draw_trace(axes[k if panels > 1 else 0], dataset.isel(station=k), k, alone)
        end = 1e3 * float(dataset["time"][-1]) if dataset.sizes["time"] else 1.0
        axes[-1].set_xlim(0.0, end)
        axes[-1].set_xlabel("time from the opening [ms]")
        if panels == 1 and count > 1:
            legend(figure, axes)
        figure.supylabel("pressure above the room's [kPa]", fontsize=PANEL)
        about = dataset.attrs
        title(figure, f"{about['case']}: pressure at the stations, fed at port {about['port']}")
    return figure


def draw_trace(axes: Any, station: Dataset, k: int, alone: bool) -> None:
    """One station's trace, its front and its extremes marked where it has a panel of its own.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    station : xarray.Dataset   The run at one station [SI]
    k : int   Number of the station [-]
    alone : bool   Whether the panel is its own [-]
    """
    t = 1e3 * station["time"].values
    gauge = 1e-3 * (station["p"].values - station.attrs["room_p_pa"])
    name = f"{station['station'].item()}, {1e3 * float(station['station_distance']):.0f} mm"
    colour = COLOURS[0] if alone else COLOURS[k % 6]
    axes.plot(
        t,
        gauge,
        color=colour,
        ls="-" if alone else DASHES[(k + k // 6) % 6],
        lw=1.4,
        label=plain(name),
    )
    axes.axhline(0.0, color="black", lw=0.8, zorder=1)
    axes.margins(y=0.16)
    if not alone:
        return
    axes.text(
        1.0, 0.97, plain(name), transform=axes.transAxes, ha="right", va="top", fontsize=NOTE,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.5}, zorder=5,
    )  # fmt: skip
    arrival = 1e3 * float(station["arrival"])
    if np.isfinite(arrival):
        axes.axvline(arrival, color="black", lw=0.9, ls=":", zorder=1)
        axes.annotate(
            f"{arrival:.2f} ms", (arrival, 0.03), (4, 0), xycoords=("data", "axes fraction"),
            textcoords="offset points", fontsize=NOTE, va="bottom",
        )  # fmt: skip
    for value, time, rise in (("peak", "peak_time", 5), ("trough", "trough_time", -5)):
        y, x = 1e-3 * float(station[value]), 1e3 * float(station[time])
        if np.isfinite(y) and y * rise > 0.0:
            axes.plot([x], [y], "o", ms=4, color="black")
            axes.annotate(
                f"{y:+.1f}",
                (x, y),
                (5, rise),
                textcoords="offset points",
                fontsize=NOTE,
                va="bottom" if rise > 0 else "top",
            )
