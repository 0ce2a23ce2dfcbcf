"""A wave run as a labelled dataset: traces at stations, pictures of one way through the part.

Dimensions: ``station`` and ``time`` of the traces; ``distance`` along the way and ``frame`` (a
time) of the pictures; ``mark``, what lies on the way. SI, units in each variable's attributes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from pulse1d.results.provenance import Provenance

if TYPE_CHECKING:
    from xarray import Dataset

    from pulse1d.waves.solve import WaveRun

FORMAT = "pulse1d results 1"

TRACES = {
    "p": ("Pa", "static pressure"),
    "u": ("m/s", "velocity, positive from port to outlet"),
    "rho": ("kg/m3", "density"),
    "Y": ("1", "mass fraction of burned gas"),
}


@dataclass(frozen=True)
class Mark:
    """A joint or a change of area on the way; ``start`` and ``stop`` are equal for a sudden one."""

    name: str
    start: float
    """Distance from the port [m]."""
    stop: float


@dataclass(frozen=True)
class Way:
    """One way through a net."""

    pipes: Sequence[tuple[str, float]]
    """Pipes in order, with their lengths [m]."""
    stations: Mapping[str, float]
    """Recorded stations with their distances from the start of the way [m]."""
    marks: Sequence[Mark] = ()


def wave_dataset(
    run: WaveRun,
    way: Way,
    provenance: Provenance,
    *,
    per_station: Mapping[str, tuple[Sequence[float], str, str]] | None = None,
    attributes: Mapping[str, Any] | None = None,
) -> Dataset:
    """A wave run with its labels and where it comes from.

    Parameters
    ----------
    run : WaveRun   [SI]
    way : Way   Pipes, stations and marks in order [m]
    provenance : Provenance   [-]
    per_station : mapping   Readings: name to (value of each station, unit, meaning) [SI]
    attributes : mapping   More plain numbers and text [-]
    Returns
    -------
    dataset : xarray.Dataset   [SI]
    """
    import xarray as xr

    names = list(way.stations)
    times = run.traces[names[0]].t if names else np.empty(0)
    x, pipe, p, u = _pictures(run, way)
    data: dict[str, Any] = {
        key: (
            ("station", "time"),
            np.array([getattr(run.traces[name], key) for name in names]).reshape(len(names), -1),
            {"units": unit, "long_name": meaning},
        )
        for key, (unit, meaning) in TRACES.items()
    }
    for key, (values, unit, meaning) in (per_station or {}).items():
        found = np.asarray(values, dtype=float)
        data[key] = ("station", found, {"units": unit, "long_name": meaning})
    places = ("frame", "distance")
    data["p_along"] = (places, p, {"units": "Pa", "long_name": "static pressure along the way"})
    data["u_along"] = (places, u, {"units": "m/s", "long_name": "velocity along the way"})
    for key in ("start", "stop"):
        ends = np.array([getattr(mark, key) for mark in way.marks], dtype=float)
        data[f"mark_{key}"] = ("mark", ends, {"units": "m", "long_name": f"{key} of the mark"})
    coordinates = {
        "station": ("station", _text(names)),
        "station_distance": ("station", np.array(list(way.stations.values()), float), _m("port")),
        "time": ("time", times, {"units": "s", "long_name": "time from the opening"}),
        "frame": ("frame", run.frames_t, {"units": "s", "long_name": "time of the picture"}),
        "distance": ("distance", x, _m("port, along the way to the outlet")),
        "pipe": ("distance", _text(pipe)),
        "mark": ("mark", _text([mark.name for mark in way.marks])),
    }
    about = {"format": FORMAT, **provenance.attributes(), **_run_attributes(run)}
    return xr.Dataset(data, coordinates, {**about, **(attributes or {})})


def _m(end: str) -> dict[str, str]:
    return {"units": "m", "long_name": f"distance from the {end}"}


def _text(names: Sequence[str]) -> Any:
    return np.array(names, dtype=object)


def _pictures(run: WaveRun, way: Way) -> tuple[Any, list[str], Any, Any]:
    """Cell centres, pipe of each, and pressure and velocity of each picture along the way.

    Pictures are kept in single precision: 0.01 Pa is below what a picture shows.
    """
    at, x, pipe, frames = 0.0, [np.empty(0)], [], [np.empty((len(run.frames_t), 2, 0))]
    for name, length in way.pipes:
        centres = run.profiles[name].x
        x.append(at + centres)
        pipe += [name] * len(centres)
        frames.append(run.frames[name])
        at += length
    whole = np.concatenate(frames, axis=2).astype(np.float32)
    return np.concatenate(x), pipe, whole[:, 0], whole[:, 1]


def _run_attributes(run: WaveRun) -> dict[str, Any]:
    return {
        "t_end_s": run.t,
        "steps": run.steps,
        "mode": run.mode,
        "fallbacks": run.fallbacks,
        "energy_defect_j": run.defect,
        "mass_start_kg": run.start.mass,
        "mass_end_kg": run.end.mass,
        "mass_left_kg": run.left.mass,
        "energy_start_j": run.start.energy,
        "energy_end_j": run.end.energy,
        "energy_left_j": run.left.energy,
    }
