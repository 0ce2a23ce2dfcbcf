"""Results: labelled, kept whole, read back as they were, refused when they are something else."""

from __future__ import annotations

import hashlib
import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from pulse1d.errors import InputError
from pulse1d.results.dataset import FORMAT, Mark, Way, wave_dataset
from pulse1d.results.provenance import Provenance, result_key
from pulse1d.results.store import load, result_path, results_folder, save
from pulse1d.run.readings import front, read_trace
from pulse1d.waves.pipes import Closed, Net, Open, Passage, Pipe
from pulse1d.waves.solve import WaveRun, solve

WHERE = Provenance(
    "pulse", "a case", {"a.yaml": "format: x\n# ü"}, "abc", {"cell_m": 0.01}, sources=("one", "two")
)
WAY = Way(
    [("narrow", 0.2), ("wide", 0.3)],
    {"first": 0.05, "second": 0.3},
    (Mark("step", 0.2, 0.2), Mark("outlet", 0.5, 0.5)),
)


@pytest.fixture(scope="module")
def run() -> WaveRun:
    net = Net(
        {
            "narrow": Pipe(0.2, 0.03, cells=8, p=lambda x: 101325.0 + 2e3 * (x < 0.1)),
            "wide": Pipe(0.3, 0.05, cells=12),
        },
        {("narrow", "start"): Closed(), ("wide", "stop"): Open()},
        (Passage((("narrow", "stop"), ("wide", "start"))),),
    )
    return solve(
        net, 2e-3, probes={"first": ("narrow", 0.05), "second": ("wide", 0.1)}, times=40, frames=10
    )


def test_a_dataset_has_labels_units_and_provenance(run: WaveRun) -> None:
    dataset = wave_dataset(run, WAY, WHERE, per_station={"top": ([1.0, 2.0], "Pa", "largest")})
    assert dict(dataset.sizes) == {
        "station": 2, "time": 40, "frame": 10, "distance": 20, "mark": 2,
    }  # fmt: skip
    assert all(found.attrs["units"] for found in dataset.data_vars.values())
    assert list(dataset["pipe"].values) == ["narrow"] * 8 + ["wide"] * 12
    # cells of 25 mm: centres half a cell from the ends; round-off only
    assert dataset["distance"].values[[0, 8, -1]] == pytest.approx([0.0125, 0.2125, 0.4875])
    assert dataset.attrs["format"] == FORMAT
    text = dataset.attrs["case_text"]
    assert json.loads(text) == WHERE.texts
    assert dataset.attrs["case_sha256"] == hashlib.sha256(text.encode()).hexdigest()
    assert json.loads(dataset.attrs["sources"]) == ["one", "two"]
    assert float(dataset["top"].sel(station="second")) == 2.0


def test_reads_back_as_it_was_and_leaves_nothing_beside(run: WaveRun, tmp_path: Path) -> None:
    dataset = wave_dataset(run, WAY, WHERE)
    path = result_path(results_folder(tmp_path / "mine.yaml"), "pulse", WHERE.key)
    assert path == tmp_path / "mine.results" / f"pulse-{WHERE.key}.nc"
    save(dataset, path)
    save(dataset, path)
    assert list(path.parent.iterdir()) == [path]
    assert load(path).identical(dataset)
    assert load(path)["p"].dtype == np.float64


def test_a_run_cut_off_at_once_is_kept_too(run: WaveRun, tmp_path: Path) -> None:
    from dataclasses import replace

    nothing = np.empty(0)
    traces = {k: replace(v, t=nothing, rho=nothing, u=nothing, p=nothing, Y=nothing)
              for k, v in run.traces.items()}  # fmt: skip
    frames = {name: found[:0] for name, found in run.frames.items()}
    short = replace(run, t=0.0, traces=traces, frames_t=nothing, frames=frames)
    path = result_path(tmp_path, "pulse", WHERE.key, partial=True)
    save(wave_dataset(short, WAY, WHERE), path)
    assert dict(load(path).sizes)["time"] == 0


def test_key_follows_case_and_numerics() -> None:
    assert WHERE.key == result_key("abc", {"cell_m": 0.01})
    assert len({WHERE.key, result_key("abd", {"cell_m": 0.01}), result_key("abc", {})}) == 3
    assert result_key("a", {"x": 1, "y": 2}) == result_key("a", {"y": 2, "x": 1})


def test_what_is_no_result_is_refused(run: WaveRun, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such result"):
        load(tmp_path / "none.nc")
    (tmp_path / "text.nc").write_text("not a result", encoding="utf-8")
    with pytest.raises(InputError, match="damaged"):
        load(tmp_path / "text.nc")
    old = wave_dataset(run, WAY, WHERE, attributes={"format": "pulse1d results 0"})
    save(old, tmp_path / "old.nc")
    with pytest.raises(InputError, match="results 0"):
        load(tmp_path / "old.nc")
    with pytest.raises(InputError, match="--output"):
        save(old, tmp_path / "text.nc" / "below.nc")


def test_importing_the_store_and_the_command_line_loads_nothing_heavy() -> None:
    code = (
        "import sys, pulse1d.cli.main; "
        "heavy = ('xarray', 'h5netcdf', 'h5py', 'pandas', 'numba'); "
        "print([m for m in (*heavy, 'numpy') if m in sys.modules]); "
        "import pulse1d.results.store; "
        "print([m for m in heavy if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[:2] == ["[]", "[]"]


def test_front_is_found_between_two_samples() -> None:
    t = np.linspace(0.0, 10.0, 101)
    ramp = np.clip(t - 2.0, 0.0, 4.0) * 1000.0  # from 2 s to a level of 4000 Pa
    arrival, peak = front(t, ramp)
    # a straight ramp: a tenth of 4000 Pa is passed at 2.4 s; round-off only
    assert (arrival, peak) == (pytest.approx(2.4), pytest.approx(4000.0))


def test_first_peak_is_the_first_waves_not_the_largest_nor_a_ripple() -> None:
    t = np.linspace(0.0, 10.0, 1001)
    first = 1000.0 * np.exp(-((t - 3.0) ** 2)) + 10.0 * np.sin(40.0 * t) * (t > 2.0)
    trace = first + 3000.0 * np.exp(-((t - 8.0) ** 2) / 0.1) - 500.0 * np.exp(-((t - 6.0) ** 2))
    found = read_trace("s", 1.0, t, trace)
    # within the 10 Pa ripple and the tail of the second bump
    assert found.first_peak == pytest.approx(1000.0, abs=15.0)
    assert found.peak == pytest.approx(3000.0, abs=15.0)
    assert found.trough_time == pytest.approx(6.0, abs=0.1)
    # exp(-(t - 3)^2) = 0.1 at 3 - sqrt(ln 10); the ripple moves it by less than 0.05
    assert found.arrival == pytest.approx(3.0 - math.sqrt(math.log(10.0)), abs=0.05)


def test_suction_is_a_front_too_and_silence_none() -> None:
    t = np.linspace(0.0, 1.0, 101)
    arrival, peak = front(t, -np.clip(t - 0.5, 0.0, 0.2) * 1000.0)
    assert (arrival, peak) == (pytest.approx(0.52), pytest.approx(-200.0))  # a tenth of the ramp
    silent = read_trace("s", 1.0, t, np.zeros(101))
    assert math.isnan(silent.arrival)
    assert math.isnan(silent.peak)
