"""Speeds of one design as a labelled dataset, and back.

Dimensions: ``speed``; ``cylinder``; ``crank_angle``, one degree a step, of port pressures from the
cylinder's own firing top dead centre, of the outlet from the first firing; ``place``, the cells of
all pipes one behind another; ``cycle``, cycles marched. SI, units in each variable's attributes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from pulse1d.results.dataset import FORMAT
from pulse1d.results.provenance import Provenance
from pulse1d.run.cycle import CycleAnswer, CylinderAnswer
from pulse1d.run.cycle_summary import SpeedSummary

if TYPE_CHECKING:
    from xarray import Dataset

PER_CYLINDER = {
    "trapped": ("kg", "mass when burning starts"),
    "residual": ("1", "burned share of the trapped mass"),
    "fresh": ("kg", "mass taken in"),
    "volumetric_efficiency": ("1", "fresh mass kept over what the plenum's air would fill"),
    "imep": ("Pa", "net indicated mean effective pressure"),
    "pmep": ("Pa", "of the gas exchange, negative where it costs work"),
    "heat": ("J", "released by the fuel"),
    "lost": ("J", "to the cylinder's walls"),
    "back_pressure": ("Pa", "mean port pressure above the room's"),
}
TRACES = {
    "p_port": ("Pa", "pressure at the port's flange"),
    "u_port": ("m/s", "velocity there, positive to the outlet"),
    "T_port": ("K", "temperature there"),
}
PER_SPEED = {
    "cycles": ("1", "cycles marched"),
    "mass_gap": ("1", "air and injected fuel in less gas out, of the air in"),
    "energy_gap": ("1", "energy not accounted for, of the fuel's heat"),
    "turbine_power": ("W", "of all turbines together"),
}
OUTLET = {"outlet_p": ("Pa", "pressure at the outlet"), "outlet_mdot": ("kg/s", "flow out there")}
TOGETHER = {
    "T_gas": ("K", "of the flow past the ports, weighted by mass"),
    "residual_spread": ("1", "largest less smallest of the cylinders"),
}
TORQUE = {
    "brake": ("N m", "torque at the crankshaft of the cylinders modelled"),
    "power": ("W", "brake power of the cylinders modelled"),
    "bmep": ("Pa", "brake mean effective pressure"),
}


def cycle_dataset(
    summaries: Sequence[SpeedSummary], provenance: Provenance, about: dict[str, Any]
) -> Dataset:
    """Speeds with their labels and where they come from.

    Parameters
    ----------
    summaries : sequence of SpeedSummary   Of one design, speeds rising; at least one [SI]
    provenance : Provenance   [-]
    about : dict   More plain numbers and text for the attributes [-]
    Returns
    -------
    dataset : xarray.Dataset   [SI]
    """
    import xarray as xr

    answers = [summary.answer for summary in summaries]
    first = answers[0]
    longest = max(len(answer.changes) for answer in answers)
    changes = np.full((len(answers), longest), np.nan)
    for row, answer in zip(changes, answers, strict=True):
        row[: len(answer.changes)] = answer.changes
    data: dict[str, Any] = {
        "converged": ("speed", np.array([int(answer.converged) for answer in answers], np.int8)),
        "changes": (("speed", "cycle"), changes, _units("1", "change from cycle to cycle")),
        "T_wall": (
            ("speed", "place"),
            np.stack([np.concatenate(list(answer.T_wall.values())) for answer in answers]),
            _units("K", "wall temperature"),
        ),
    }
    for name, labels in {**PER_CYLINDER, **TRACES}.items():
        rows = [[getattr(one, name) for one in answer.cylinders] for answer in answers]
        dims = ("speed", "cylinder", "crank_angle")[: np.ndim(rows)]
        data[name] = (dims, np.array(rows), _units(*labels))
    torques = [summary.torque for summary in summaries]
    told: list[tuple[dict[str, tuple[str, str]], Sequence[Any]]] = [
        ({**PER_SPEED, **OUTLET}, answers), (TOGETHER, summaries), (TORQUE, torques)
    ]  # fmt: skip
    for names, found in told:
        for name, labels in names.items():
            values = np.array([getattr(one, name) for one in found])
            data[name] = (("speed", "crank_angle")[: values.ndim], values, _units(*labels))
    coordinates = {
        "speed": ("speed", np.array([a.speed for a in answers]), _units("1/s", "crankshaft")),
        "rev_per_min": (
            "speed",
            np.array([summary.rev_per_min for summary in summaries]),
            _units("1/min", "crankshaft"),
        ),
        "cylinder": ("cylinder", _text([one.cylinder for one in first.cylinders])),
        "port": ("cylinder", _text([one.port for one in first.cylinders])),
        "crank_angle": (
            "crank_angle",
            np.arange(float(len(first.outlet_p))),
            _units("deg", "after firing top dead centre"),
        ),
        "pipe": ("place", _text([name for name, T in first.T_wall.items() for _ in T])),
    }
    return xr.Dataset(data, coordinates, {"format": FORMAT, **provenance.attributes(), **about})


def _units(unit: str, meaning: str) -> dict[str, str]:
    return {"units": unit, "long_name": meaning}


def _text(names: Sequence[str]) -> Any:
    return np.array(names, dtype=object)


def figures(one: Dataset, j: int) -> dict[str, Any]:
    """What a dataset holds of one cylinder at one speed.

    Parameters
    ----------
    one : xarray.Dataset   At one speed [SI]
    j : int   Place of the cylinder [-]
    Returns
    -------
    figures : dict   Fields of ``CylinderAnswer``, names apart [SI]
    """
    plain = {key: float(one[key].values[j]) for key in PER_CYLINDER}
    return {**plain, **{key: one[key].values[j] for key in TRACES}}


def saved_answers(dataset: Dataset) -> dict[float, CycleAnswer]:
    """The answers that a dataset holds, to the last digit.

    Parameters
    ----------
    dataset : xarray.Dataset   From ``cycle_dataset`` [SI]
    Returns
    -------
    answers : dict   By speed [rev/s]
    Errors      KeyError for a dataset without all of its variables.
    """
    pipes = np.array([str(name) for name in dataset["pipe"].values])
    found = {}
    for k, speed in enumerate(dataset["speed"].values):
        one = dataset.isel(speed=k)
        cylinders = tuple(
            CylinderAnswer(
                cylinder=str(name),
                port=str(one["port"].values[j]),
                **figures(one, j),
            )
            for j, name in enumerate(dataset["cylinder"].values)
        )
        changes = one["changes"].values
        found[float(speed)] = CycleAnswer(
            float(speed),
            bool(one["converged"]),
            int(one["cycles"]),
            tuple(float(change) for change in changes[np.isfinite(changes)]),
            cylinders,
            float(one["mass_gap"]),
            float(one["energy_gap"]),
            {name: one["T_wall"].values[pipes == name] for name in dict.fromkeys(pipes.tolist())},
            one["outlet_p"].values,
            one["outlet_mdot"].values,
            float(one["turbine_power"]),
        )
    return found
