"""Legs, ports and joints of a part in one view of its sketch."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.plots.look import LETTER, NOTE, fold
from pulse1d.plots.placed import Placed, PlacedLeg
from pulse1d.plots.style import COLOURS, HATCHES, PALE
from pulse1d.plots.views import View

Array = NDArray[np.float64]
Line = tuple[Array, Array]
LABELS = ("runner", "behind a joint", "joint", "centre line")
LEAST_ROOM = 0.35
"""Width that a port's name has at least [in]."""


def draw_leg(
    axes: Any, leg: PlacedLeg, outline: Any, view: View, shift: Array, scale: float
) -> Line:
    """A leg's outline and its centre line.

    Parameters
    ----------
    axes : matplotlib Axes   Drawn on [-]
    leg : PlacedLeg   [m]
    outline : shapely geometry   Of the leg [m]
    view : View   [-]
    shift : (2,) array   Added to what is seen [m]
    scale : float   Units shown in a metre [-]
    Returns
    -------
    line : (x, y)   The centre line [as shown]
    """
    from matplotlib.colors import to_rgba

    k = 0 if leg.is_runner else 1
    for part in getattr(outline, "geoms", [outline]):
        points = scale * (np.array(part.exterior.coords) + shift)
        axes.fill(
            *points.T, facecolor=to_rgba(COLOURS[(4, 1)[k]], 1.5 * PALE), edgecolor="black",
            hatch=HATCHES[k], linewidth=0.8, label=LABELS[k], zorder=2 - k,
        )  # fmt: skip
    x, y = (scale * (view.flat(leg.points) + shift)).T
    axes.plot(x, y, color="black", lw=0.8, ls=(0, (6, 2, 1, 2)), label=LABELS[3], zorder=4)
    return x, y


def port_names(part: Placed, view: View, inch: float) -> dict[str, str]:
    """Names of ports in lines that fit between neighbours.

    Parameters
    ----------
    part : Placed   [m]
    view : View   [-]
    inch : float   What an inch shows [m]
    Returns
    -------
    names : dict   Leg to the name of its port, as printed [-]
    """
    runners = [leg for leg in part.legs if leg.is_runner]
    places = sorted(float(view.flat(leg.points[0])[0]) for leg in runners)
    apart = [b - a for a, b in pairwise(places) if b - a > 1e-6]
    room = max(0.8 * min(apart) / inch if apart else 1.5, LEAST_ROOM)
    return {leg.name: fold(leg.name.removeprefix("runner "), room, NOTE) for leg in runners}


def draw_port(
    axes: Any,
    leg: PlacedLeg,
    names: dict[str, str],
    view: View,
    shift: Array,
    inch: float,
    scale: float,
) -> Line:
    """The name of a runner's port, behind where it starts; above it where it is seen end on.

    Parameters
    ----------
    axes, leg, view, shift, scale : as in ``draw_leg`` [m]
    names : dict   As in ``port_names`` [-]
    inch : float   What an inch shows [m]
    Returns
    -------
    taken : (x, y)   Along the name [as shown]
    """
    line, name = view.flat(leg.points) + shift, names[leg.name]
    far = np.linalg.norm(leg.points - leg.points[0], axis=1) > 0.5 * leg.wide[0]
    way = line[int(np.argmax(far))] - line[0]
    length = float(np.linalg.norm(way))
    seen_on = length > 0.2 * leg.wide[0]
    way = way / length if seen_on else np.array([0.0, -1.0])
    at = scale * (line[0] - way * ((0.0 if seen_on else 0.5 * leg.wide[0]) + 0.06 * inch))
    lies = abs(way[0]) > 0.5
    across = ("right" if way[0] > 0.0 else "left") if lies else "center"
    axes.text(
        *at, name, fontsize=NOTE, weight="bold", zorder=6, ha=across, linespacing=1.0,
        va="center" if lies else "bottom" if way[1] < 0.0 else "top",
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 0.4},
    )  # fmt: skip
    rows = name.split("\n")
    em = NOTE / 72.0 * inch * scale
    wide, tall = LETTER * em * max(len(row) for row in rows), 1.2 * em * len(rows)
    start = at[0] - {"right": wide, "left": 0.0, "center": 0.5 * wide}[across]
    low = at[1] - 0.5 * tall if lies else at[1] if way[1] < 0.0 else at[1] - tall
    x = start + wide * np.array([0.0, 1.0, 1.0, 0.0, 0.0, 1.0])
    return x, low + tall * np.array([0.0, 0.0, 1.0, 1.0, 0.5, 0.5])


def draw_joints(
    axes: Any, part: Placed, view: View, shift: Array, scale: float
) -> list[tuple[float, float, str]]:
    """A ring at each joint.

    Parameters
    ----------
    axes, view, shift, scale : as in ``draw_leg`` [m]
    part : Placed   [m]
    Returns
    -------
    places : list of (x, y, name)   Those behind each other share one [as shown]
    """
    names: dict[tuple[float, float], list[str]] = {}
    for name, place in part.joints.items():
        x, y = scale * (view.flat(place) + shift)
        axes.plot([x], [y], "o", ms=6, mfc="white", mec="black", mew=1.4, zorder=5,
                  label=LABELS[2])  # fmt: skip
        names.setdefault((round(float(x), 3), round(float(y), 3)), []).append(name)
    return [(*at, ", ".join(own)) for at, own in names.items()]
