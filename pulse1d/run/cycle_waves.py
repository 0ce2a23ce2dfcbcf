"""Pictures of one cycle along one cylinder's way to the outlet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from pulse1d.case.design import Design
from pulse1d.engine.phases import firing_angle
from pulse1d.engine.valves import exhaust_events
from pulse1d.run.cycle import CycleAnswer, march_cycle
from pulse1d.run.engine_net import engine_net, needs
from pulse1d.run.pulse import way_marks

if TYPE_CHECKING:
    from xarray import Dataset

FRAMES = 144
"""Pictures of a cycle, one every 5 deg."""


def waves_dataset(design: Design, answer: CycleAnswer, cylinder: str) -> Dataset:
    """One more cycle of a speed, with pictures along a cylinder's way.

    Parameters
    ----------
    design : Design   [-]
    answer : CycleAnswer   Whose walls the march starts from [SI]
    cylinder : str   One of the answer's [-]
    Returns
    -------
    dataset : xarray.Dataset   As ``pulse1d.plots.wave_diagram`` draws it: frame, distance [SI]
    """
    import xarray as xr

    engine, room, speed = needs(design), design.case.bench.room, answer.speed
    again = march_cycle(design, speed, frames=FRAMES, walls=answer.T_wall)
    built = engine_net(design, speed)
    port = built.owner(cylinder)
    offset = built.offsets[cylinder]
    at, x, pictures = -offset, [], []
    for name, length in built.ways[cylinder]:
        cells = built.net.pipes[name].cells
        x.append(at + (np.arange(cells) + 0.5) * length / cells)
        pictures.append(again.frames[name])
        at += length
    inside = np.concatenate(x) >= 0.0  # from the flange on
    marks = way_marks(design.network, port, built.meshed, offset)
    assert engine.exhaust is not None
    opens = exhaust_events(engine.exhaust)[0]
    first = engine.firing_order[0]
    names = [one.cylinder for one in answer.cylinders]
    angles = [(firing_angle(engine, name) + opens) % 720.0 for name in names]
    return xr.Dataset(
        {
            "p_along": (
                ("frame", "distance"),
                np.concatenate(pictures, axis=1)[:, inside],
                {"units": "Pa"},
            ),
            "mark_start": ("mark", [mark.start for mark in marks], {"units": "m"}),
            "mark_stop": ("mark", [mark.stop for mark in marks], {"units": "m"}),
            "opening": ("cylinder", angles, {"units": "deg"}),
            "station_distance": ("station", np.empty(0), {"units": "m"}),
        },
        {
            "frame": ("frame", np.linspace(0.0, 2.0 / speed, FRAMES + 1)[1:], {"units": "s"}),
            "distance": ("distance", np.concatenate(x)[inside], {"units": "m"}),
            "mark": ("mark", np.array([mark.name for mark in marks], dtype=object)),
            "station": ("station", np.array([], dtype=object)),
            "cylinder": ("cylinder", np.array(names, dtype=object)),
        },
        {
            "case": design.name,
            "port": port,
            "cylinder": cylinder,
            "first": first,
            "rev_per_min": 60.0 * speed,
            "room_p_pa": room.pressure,
        },
    )
