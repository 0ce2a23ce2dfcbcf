"""A pulse run as one documented record of plain numbers, and as a labelled dataset."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pulse1d import __version__
from pulse1d.results.dataset import wave_dataset
from pulse1d.results.provenance import Provenance
from pulse1d.results.store import result_path, results_folder, save
from pulse1d.run.origin import case_texts, citations
from pulse1d.run.pulse import PulseResult
from pulse1d.run.readings import Reading

if TYPE_CHECKING:
    from xarray import Dataset

SCHEMA = "pulse1d pulse 1"
PER_STATION = (
    ("arrival", "s", "when the first wave passes a tenth of its peak"),
    ("first_peak", "Pa", "gauge pressure of the first wave's peak"),
    ("peak", "Pa", "highest gauge pressure"),
    ("peak_time", "s", "when it is highest"),
    ("trough", "Pa", "lowest gauge pressure"),
    ("trough_time", "s", "when it is lowest"),
)


def pulse_record(result: PulseResult, stored: Path | None = None) -> dict[str, Any]:
    """The object that ``pulse1d pulse --json`` prints.

    ``{"schema", "version", "case", "file", "digest", "key", "outcome" (done, interrupted or
    failed), "reason", "port", "room": {"p_pa", "t_k"}, "vessel": {...}, "duration_s", "t_end_s",
    "length_m", "mesh": {...}, "stations": [...], "balance": {...}, "notes", "sources",
    "results"}``; each station: ``station``, ``distance_m`` and the readings ``arrival_s``,
    ``first_peak_pa``, ``peak_pa``, ``peak_s``, ``trough_pa``, ``trough_s``, null where the record
    shows none. Pressures of readings are gauge.

    Parameters
    ----------
    result : PulseResult   [SI]
    stored : Path or None   Where the dataset lies [-]
    Returns
    -------
    record : dict   [SI]
    """
    setup, room, run = result.setup, result.room, result.run
    return {
        "schema": SCHEMA,
        "version": __version__,
        "case": result.design.name,
        "file": str(result.design.path),
        "digest": result.design.digest,
        "key": provenance(result).key,
        "outcome": result.outcome,
        "reason": result.reason,
        "port": setup.port,
        "room": {"p_pa": room.pressure, "t_k": room.temperature},
        "vessel": {
            "volume_m3": setup.volume,
            "p_pa": setup.pressure,
            "t_k": setup.temperature,
            "opening_s_m2": [list(row) for row in setup.opening],
        },
        "duration_s": setup.duration,
        "t_end_s": run.t,
        "length_m": result.length,
        "mesh": mesh_record(result),
        "stations": [station_record(reading) for reading in result.readings],
        "balance": {
            "mass_start_kg": run.start.mass,
            "mass_end_kg": run.end.mass,
            "mass_left_kg": run.left.mass,
            "mass_gap": result.mass_gap,
            "energy_left_j": run.left.energy,
            "energy_gap_j": result.energy_gap,
            "energy_defect_j": run.defect,
            "wall_heat": result.heated,
        },
        "notes": list(result.meshed.notes),
        "sources": citations(result.design),
        "results": None if stored is None else str(stored),
    }


def mesh_record(result: PulseResult) -> dict[str, Any]:
    """What the solver marched.

    Parameters
    ----------
    result : PulseResult   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    pipes = result.meshed.net.pipes
    return {
        "cell_m": result.cell,
        "cells": result.cells,
        "steps": result.run.steps,
        "fallbacks": result.run.fallbacks,
        "mode": result.run.mode,
        "pipes": {
            name: {"length_m": pipe.length, "cells": pipe.cells} for name, pipe in pipes.items()
        },
        "notes": list(result.meshed.notes),
    }


def station_record(reading: Reading) -> dict[str, Any]:
    """One station's readings.

    Parameters
    ----------
    reading : Reading   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    return {
        "station": reading.station,
        "distance_m": reading.distance,
        "arrival_s": _number(reading.arrival),
        "first_peak_pa": _number(reading.first_peak),
        "peak_pa": _number(reading.peak),
        "peak_s": _number(reading.peak_time),
        "trough_pa": _number(reading.trough),
        "trough_s": _number(reading.trough_time),
    }


def _number(value: float) -> float | None:
    return None if math.isnan(value) else value


def provenance(result: PulseResult) -> Provenance:
    """What stands behind the result.

    Parameters
    ----------
    result : PulseResult   [-]
    Returns
    -------
    provenance : Provenance   [-]
    """
    design, numerics = result.design, result.design.case.numerics
    return Provenance(
        verb="pulse",
        case=design.name,
        texts=case_texts(design),
        design=design.digest,
        numerics={
            "cell_m": result.cell,
            "cfl": numerics.cfl,
            "limiter": numerics.limiter,
            "duration_s": result.setup.duration,
        },
        mesh=mesh_record(result),
        sources=citations(design),
    )


def pulse_dataset(result: PulseResult) -> Dataset:
    """The run with its labels, readings and provenance.

    Parameters
    ----------
    result : PulseResult   [SI]
    Returns
    -------
    dataset : xarray.Dataset   [SI]
    """
    readings = {
        name: ([getattr(reading, name) for reading in result.readings], unit, meaning)
        for name, unit, meaning in PER_STATION
    }
    return wave_dataset(
        result.run,
        result.way,
        provenance(result),
        per_station=readings,
        attributes={
            "port": result.setup.port,
            "room_p_pa": result.room.pressure,
            "room_t_k": result.room.temperature,
            "outcome": result.outcome,
        },
    )


def store(result: PulseResult, dataset: Dataset, output: Path | None) -> Path:
    """Save the dataset where the results of its case lie.

    Parameters
    ----------
    result : PulseResult   [-]
    dataset : xarray.Dataset   From ``pulse_dataset`` [SI]
    output : Path or None   Folder in place of the one beside the case [-]
    Returns
    -------
    path : Path   [-]
    Errors      InputError when the place cannot be written to.
    """
    folder = results_folder(result.design.path, output)
    partial = result.outcome != "done"
    path = result_path(folder, "pulse", dataset.attrs["key"], partial=partial)
    save(dataset, path)
    return path
