"""Who disturbs whom, kept beside the speeds: one file a design and speed."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pulse1d import __version__
from pulse1d.errors import InputError
from pulse1d.results.dataset import FORMAT
from pulse1d.results.provenance import Provenance
from pulse1d.results.store import load, result_path, save
from pulse1d.run.attribution import Interference, ReturningWave, interference
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.watched import Watch

if TYPE_CHECKING:
    from xarray import Dataset

VERB = "interference"
PER_WAVE = {
    "arrives": ("deg", "when the wave arrives, after the exhaust valve opens"),
    "strength": ("Pa", "largest pressure that it adds or takes away"),
    "in_overlap": ("Pa", "mean over the overlap of the valves"),
}


def kept_interference(
    sweep: CaseSweep, speed: float, *, fresh: bool = False, watch: Watch | None = None
) -> Interference:
    """The attribution of one speed, read back where it was told before.

    Parameters
    ----------
    sweep : CaseSweep   Whose folder it lies in [-]
    speed : float   [rev/s]
    fresh : bool   Tell it again [-]
    watch : function   As in ``interference`` [-]
    Returns
    -------
    interference : Interference   [SI]
    Errors      As ``interference``; InputError when the place cannot be written to.
    """
    found = None if fresh else saved_interference(sweep, speed)
    if found is None:
        found = interference(sweep.design, speed, watch=watch)
        about = _about(sweep, speed)
        save(interference_dataset(found, about), _place(sweep, speed))
    return found


def saved_interference(sweep: CaseSweep, speed: float) -> Interference | None:
    """What an earlier run of this version left.

    Parameters
    ----------
    sweep : CaseSweep   [-]
    speed : float   [rev/s]
    Returns
    -------
    interference : Interference or None   None where there is none of use [SI]
    """
    with suppress(InputError, KeyError, TypeError, ValueError):
        dataset = load(_place(sweep, speed))
        if dataset.attrs.get("pulse1d_version") == __version__:
            return read_interference(dataset)
    return None


def interference_dataset(found: Interference, about: Provenance) -> Dataset:
    """An attribution with its labels and where it comes from.

    Dimensions: ``cylinder``, at whose port; ``other``, whose blow-down; ``source`` of a wave, by
    its place in the cylinder's list; ``crank_angle`` after the exhaust valve opens.

    Parameters
    ----------
    found : Interference   [SI]
    about : Provenance   [-]
    Returns
    -------
    dataset : xarray.Dataset   [SI]
    """
    import xarray as xr

    lists = [found.waves[name] for name in found.cylinders]
    waves = ("cylinder", "source")
    data: dict[str, Any] = {
        "matrix": (
            ("cylinder", "other"),
            found.matrix,
            {"units": "Pa", "long_name": "mean pressure added over the overlap of the valves"},
        ),
        "what": (waves, np.array([[w.source for w in own] for own in lists], dtype=object)),
        "pressure": (
            (*waves, "crank_angle"),
            np.array([[w.pressure for w in own] for own in lists]),
            {"units": "Pa", "long_name": "what the source adds to the port's pressure"},
        ),
    }
    for name, (unit, meaning) in PER_WAVE.items():
        values = np.array([[getattr(w, name) for w in own] for own in lists])
        data[name] = (waves, values, {"units": unit, "long_name": meaning})
    names = np.array(found.cylinders, dtype=object)
    coordinates = {"cylinder": ("cylinder", names), "other": ("other", names)}
    return xr.Dataset(data, coordinates, {"format": FORMAT, **about.attributes()})


def read_interference(dataset: Dataset) -> Interference:
    """The attribution that a dataset holds.

    Parameters
    ----------
    dataset : xarray.Dataset   From ``interference_dataset`` [SI]
    Returns
    -------
    interference : Interference   [SI]
    Errors      KeyError for a dataset without all of its variables.
    """
    names = tuple(str(name) for name in dataset["cylinder"].values)
    waves = {
        name: tuple(
            ReturningWave(
                source=str(dataset["what"].values[i, j]),
                pressure=dataset["pressure"].values[i, j],
                **{key: float(dataset[key].values[i, j]) for key in PER_WAVE},
            )
            for j in range(dataset.sizes["source"])
        )
        for i, name in enumerate(names)
    }
    return Interference(names, dataset["matrix"].values, waves)


def _about(sweep: CaseSweep, speed: float) -> Provenance:
    numerics = {**sweep.provenance.numerics, "speed_rev_s": speed}
    return replace(sweep.provenance, verb=VERB, numerics=numerics)


def _place(sweep: CaseSweep, speed: float) -> Path:
    return result_path(sweep.path.parent, VERB, _about(sweep, speed).key)
