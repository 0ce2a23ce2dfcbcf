"""The waves themselves: pressure over distance and time along one way through the part."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pulse1d.plots.diverging import diverging
from pulse1d.plots.look import LEAST, NOTE, canvas, is_narrow, title
from pulse1d.plots.style import WIDE, plain, styled, write

if TYPE_CHECKING:
    from xarray import Dataset

SPREAD = 99.5
"""Percentile of the swing at which the colours end; what lies beyond has the end colour [%]."""
GAP = 0.04
"""Least distance of two slanting labels, of the width [-]."""
LABEL = 0.28
"""Least width of a slanting label on a narrow figure [in]."""
LEVELS = (0.1, 0.3, 0.6)
"""Contours, as shares of the colours' end."""


def draw_waves(dataset: Dataset, path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    dataset : xarray.Dataset   As ``pulse1d pulse`` stores it [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(waves_figure(dataset), path)


def waves_figure(dataset: Dataset, *, width: float = WIDE) -> Any:
    """Distance against time, coloured by pressure.

    Parameters
    ----------
    dataset : xarray.Dataset   As ``pulse1d pulse`` stores it [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    with styled():
        figure = canvas(width, 6.5 if is_narrow(width) else 8.0)
        axes = figure.subplots()
        axes.grid(False)
        draw_field(figure, axes, dataset)
        draw_marks(axes, dataset)
        axes.set_xlabel("distance from the port [mm]")
        axes.set_ylabel("time from the opening [ms]")
        title(figure, f"{dataset.attrs['case']}: waves from port {dataset.attrs['port']}")
    return figure


def draw_field(figure: Any, axes: Any, dataset: Dataset) -> None:
    """The pressure, its contours and its scale.

    Parameters
    ----------
    figure, axes : matplotlib Figure and Axes   Drawn on [-]
    dataset : xarray.Dataset   [SI]
    """
    x, t = 1e3 * dataset["distance"].values, 1e3 * dataset["frame"].values
    if len(x) < 2 or len(t) < 2:
        axes.text(0.5, 0.5, "too short a run to draw", transform=axes.transAxes, ha="center")
        return
    gauge = 1e-3 * (dataset["p_along"].values - dataset.attrs["room_p_pa"])
    end = float(np.percentile(np.abs(gauge), SPREAD)) or 1.0
    field = axes.pcolormesh(
        x, t, gauge, cmap=diverging(), vmin=-end, vmax=end, shading="nearest", rasterized=True
    )
    low, high = float(gauge.min()), float(gauge.max())
    shares = [*(-share for share in LEVELS[::-1]), *LEVELS]
    levels = [end * share for share in shares if low < end * share < high]
    if levels:
        axes.contour(
            x, t, gauge, levels, colors="black", linewidths=0.45, alpha=0.7,
            linestyles=["--" if level < 0.0 else "-" for level in levels],
        )  # fmt: skip
    beyond = {(True, True): "both", (True, False): "min", (False, True): "max"}
    beside = not is_narrow(figure.get_figwidth())
    bar = figure.colorbar(
        field, ax=axes, extend=beyond.get((low < -end, high > end), "neither"), pad=0.02,
        aspect=35, location="right" if beside else "bottom",
    )  # fmt: skip
    bar.set_label("pressure above the room's [kPa]\ncontours: solid above, dashed below")
    axes.set_xlim(0.0, None)
    axes.set_ylim(0.0, t[-1])


def draw_marks(axes: Any, dataset: Dataset) -> None:
    """Joints and changes of area above the field, stations as ticks inside it.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    dataset : xarray.Dataset   [SI]
    """
    if not dataset.sizes["distance"]:
        return
    starts, stops = 1e3 * dataset["mark_start"].values, 1e3 * dataset["mark_stop"].values
    for place in {*starts, *stops}:
        axes.axvline(place, color="black", lw=1.1)
    end = axes.get_xlim()[1]
    names = [str(name) for name in dataset["mark"].values]
    middles = [float(place) for place in 0.5 * (starts + stops)]
    order = sorted(range(len(names)), key=lambda k: middles[k])
    gap = max(GAP, LABEL / axes.figure.get_figwidth())
    at = spaced([middles[k] for k in order], gap * end, end)
    for k, label in zip(order, at, strict=True):
        axes.annotate(
            plain(names[k]), (middles[k], 1.0), (label, 1.02 + 0.02 * (label != middles[k])),
            xycoords=("data", "axes fraction"), textcoords=("data", "axes fraction"), fontsize=NOTE,
            rotation=35, ha="left", va="bottom", rotation_mode="anchor", annotation_clip=False,
            arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkA": 0.0, "shrinkB": 0.0},
        )  # fmt: skip
    for name, place in zip(
        dataset["station"].values, 1e3 * dataset["station_distance"].values, strict=True
    ):
        axes.axvline(place, color="black", lw=0.8, ls=(0, (1, 3)))
        axes.annotate(
            plain(str(name)), (place, 0.99), (3, 0), xycoords=("data", "axes fraction"),
            textcoords="offset points", fontsize=LEAST, rotation=90, ha="left", va="top",
            bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.7, "pad": 0.6},
        )  # fmt: skip


def spaced(places: Sequence[float], gap: float, end: float) -> list[float]:
    """Places for labels, moved apart where they would lie on each other.

    Parameters
    ----------
    places : sequence of float   Rising, up to the end [mm]
    gap, end : float   Least distance; last place [mm]
    Returns
    -------
    at : list of float   Rising; closer than the gap only where there is no room for it [mm]
    """
    gap = min(gap, end / max(len(places), 1))
    at: list[float] = []
    for place in places:
        at.append(max(place, at[-1] + gap) if at else place)
    for k in range(len(at) - 1, -1, -1):
        at[k] = min(at[k], end if k == len(at) - 1 else at[k + 1] - gap)
    return at
