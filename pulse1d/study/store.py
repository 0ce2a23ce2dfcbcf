"""A sweep as a labelled dataset, its points in the order of the plan."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pulse1d.errors import InputError, Problem
from pulse1d.results.dataset import FORMAT
from pulse1d.results.provenance import Provenance
from pulse1d.results.store import load, result_path, results_folder, save
from pulse1d.run.cycle import TOLERANCE
from pulse1d.run.cycle_sweep import OWN_SOURCES
from pulse1d.run.origin import case_texts, citations
from pulse1d.study.answers import answer_infos
from pulse1d.study.axes import Point
from pulse1d.study.leaf import SI_UNIT
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.space import point_key
from pulse1d.study.targets import Target

if TYPE_CHECKING:
    from xarray import Dataset

VERB = "sweep"


def sweep_dataset(
    study: LoadedStudy,
    points: Sequence[Point],
    outcome: Callable[[str], Outcome],
    left_out: Mapping[str, int],
) -> Dataset:
    """The outcomes of points, one row each; equal for equal outcomes, however they were computed.

    Along ``point``: a variable for each parameter, one for each answer (not a number where it is
    missing), ``failure`` and ``key``. SI, units in each variable's attributes.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of Point   In the plan's order [SI]
    outcome : function   From a point's key to what became of it [SI]
    left_out : mapping   How many points each constraint took [-]
    Returns
    -------
    dataset : xarray.Dataset   [SI]
    """
    import xarray as xr

    infos, count = answer_infos(study), len(points)
    values = {info.name: np.full(count, np.nan) for info in infos}
    failures, keys = np.full(count, "", dtype=object), np.full(count, "", dtype=object)
    for k, point in enumerate(points):
        keys[k] = point_key(study, point)
        found = outcome(keys[k])
        failures[k] = found.failure
        for name, value in found.answers.items():
            if name in values:
                values[name][k] = value
    data: dict[str, Any] = {}
    for axis, target in zip(study.axes, study.targets, strict=False):
        column = [point[axis.name] for point in points]
        texts = any(isinstance(value, str) for value in column)
        about = {
            "units": "" if texts else unit_of(target),
            "long_name": f"parameter: {', '.join(study.spec.parameters[axis.name].path)}",
        }
        array = np.array(column, dtype=object if texts else float)
        data[column_name(axis.name, values)] = ("point", array, about)
    for info in infos:
        attributes = {"units": info.unit, "long_name": info.meaning, "better": info.better}
        data[info.name.replace("/", "|")] = ("point", values[info.name], attributes)
    data["failure"] = ("point", failures, {"long_name": "why answers are missing; empty: none is"})
    data["key"] = ("point", keys, {"long_name": "hash of the point and of all that decides it"})
    return xr.Dataset(data, attrs=attributes_of(study, points, left_out))


def column_name(parameter: str, answers: Container[str]) -> str:
    """What a parameter's variable is called: a file takes no slash, and no name twice.

    Parameters
    ----------
    parameter : str   Its name in the study [-]
    answers : container of str   Names of the answers [-]
    Returns
    -------
    name : str   [-]
    """
    taken = parameter in answers or parameter in ("failure", "key", "point")
    return f"parameter {parameter}".replace("/", "|") if taken else parameter.replace("/", "|")


def attributes_of(
    study: LoadedStudy, points: Sequence[Point], left_out: Mapping[str, int]
) -> dict[str, Any]:
    """Where a sweep comes from.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of Point   [SI]
    left_out : mapping   How many points each constraint took [-]
    Returns
    -------
    attributes : dict   Plain numbers and text [-]
    """
    numerics = study.base.case.numerics
    cycle = study.spec.compute.cycle is not None
    about = Provenance(
        verb=VERB,
        case=study.base.name,
        texts={study.path.name: study.document.text, **case_texts(study.base)},
        design=study.base.digest,
        numerics={**numerics.model_dump(mode="json"), "tolerance": TOLERANCE},
        sources=citations(study.base, *(OWN_SOURCES if cycle else ())),
    )
    return {
        "format": FORMAT,
        **about.attributes(),
        "study": study.name,
        "study_key": study.key,
        "plan": study.spec.plan.model_dump_json(),
        "objectives": json.dumps([one.model_dump() for one in study.spec.objectives]),
        "axes": json.dumps([asdict(axis) for axis in study.axes], ensure_ascii=False),
        "left_out": json.dumps(dict(left_out), ensure_ascii=False),
        "points": len(points),
    }


def store_path(study: LoadedStudy, points: Sequence[Point], output: Path | None) -> Path:
    """Where a sweep's dataset lies.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of Point   [SI]
    output : Path or None   A folder in place of ``STUDY.results`` [-]
    Returns
    -------
    path : Path   Named by the study, its points and its objectives' speeds [-]
    """
    what = hashlib.sha256(study.key.encode())
    for point in points:
        what.update(point_key(study, point).encode())
    for info in answer_infos(study):
        what.update(info.name.encode())
    return result_path(results_folder(study.path, output), VERB, what.hexdigest()[:12])


def keep(study: LoadedStudy, dataset: Dataset, path: Path) -> None:
    """Save a sweep's dataset; one of another study or version in its place is left alone.

    Parameters
    ----------
    study : LoadedStudy   [-]
    dataset : xarray.Dataset   From ``sweep_dataset`` [SI]
    path : Path   [-]
    Errors      InputError where something else has the name, or the place cannot be written to.
    """
    if path.exists():
        there = load(path)  # refuses what is no result of this format
        for name in ("study_key", "pulse1d_version"):
            if there.attrs.get(name) != dataset.attrs[name]:
                raise _another(path)
    save(dataset, path)


def _another(path: Path) -> InputError:
    message = "these are results of another study or version; they are left as they are"
    return InputError([Problem(message, "name another folder with --output", str(path))])


def unit_of(target: Target) -> str:
    """The unit in which a parameter is kept.

    Parameters
    ----------
    target : Target   [-]
    Returns
    -------
    unit : str   SI, "1" of what has no dimension [-]
    """
    if target.sets == "factor":
        return "1"
    return SI_UNIT.get(target.dimension, "").replace("^", "") or "1"
