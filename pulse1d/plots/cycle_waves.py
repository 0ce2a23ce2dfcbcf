"""The waves of one cycle along one cylinder's way to the outlet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from pulse1d.plots.look import NOTE, canvas, is_narrow, title
from pulse1d.plots.style import WIDE, plain, styled, write
from pulse1d.plots.wave_diagram import draw_field, draw_marks

if TYPE_CHECKING:
    from xarray import Dataset


def draw_cycle_waves(dataset: Dataset, path: Path) -> None:
    """Draw them to a file.

    Parameters
    ----------
    dataset : xarray.Dataset   From ``pulse1d.run.cycle_waves`` [SI]
    path : Path   .png, .svg or .pdf [-]
    Errors      InputError for a path that cannot be drawn to.
    """
    write(cycle_waves_figure(dataset), path)


def cycle_waves_figure(dataset: Dataset, *, width: float = WIDE) -> Any:
    """Distance against time over a cycle, coloured by pressure, exhaust openings (EVO) marked.

    Parameters
    ----------
    dataset : xarray.Dataset   From ``pulse1d.run.cycle_waves`` [SI]
    width : float   [in]
    Returns
    -------
    figure : matplotlib Figure   [-]
    """
    about = dataset.attrs
    degrees = 6e-3 * about["rev_per_min"]  # per ms
    with styled():
        figure = canvas(width, 7.0 if is_narrow(width) else 8.5)
        axes = figure.subplots()
        axes.grid(False)
        draw_field(figure, axes, dataset)
        draw_marks(axes, dataset)
        for name, angle in zip(dataset["cylinder"].values, dataset["opening"].values, strict=True):
            own = name == about["cylinder"]
            axes.plot(
                [0.0, 0.06 if own else 0.03], [angle / degrees] * 2, color="black",
                lw=2.0 if own else 1.2, transform=axes.get_yaxis_transform(), clip_on=False,
            )  # fmt: skip
            axes.annotate(
                plain(f"EVO {name}"), (0.07, angle / degrees),
                xycoords=axes.get_yaxis_transform(), fontsize=NOTE, va="center",
                weight="bold" if own else "normal",
                bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.7, "pad": 1.0},
            )  # fmt: skip
        axes.set_xlabel("distance from the port [mm]")
        axes.set_ylabel(plain(f"time from the firing of cylinder {about['first']} [ms]"))
        angle_axis = axes.secondary_yaxis(
            "right", functions=(lambda t: t * degrees, lambda angle: angle / degrees)
        )
        angle_axis.set_ylabel("crank angle [deg]")
        angle_axis.set_yticks(range(0, 721, 90))
        title(
            figure,
            f"{about['case']}: one cycle at {about['rev_per_min']:g} rev/min, "
            f"along the way of cylinder {about['cylinder']} to the outlet",
        )
    return figure
