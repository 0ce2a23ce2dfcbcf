"""A sweep gives one store, whoever computes it, in whatever order, and whatever dies in between."""

from __future__ import annotations

import multiprocessing as mp
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from pulse1d.errors import InputError, Pulse1dError
from pulse1d.results.store import save
from pulse1d.study import pool as pool_module
from pulse1d.study.axes import Point
from pulse1d.study.backend import KILLED
from pulse1d.study.evaluator import evaluator, journal_path
from pulse1d.study.journal import Journal, JournalError
from pulse1d.study.load import load_study
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.outcome import Outcome
from pulse1d.study.plan import chosen
from pulse1d.study.sweep import Swept, sweep
from pulse1d.study.work import work
from tests.pump_study import pump_study

PUMP = Path(__file__).parents[2] / "cases" / "pump"
STUDY = """\
format: pulse1d study 1
about: {name: tails and bends}
base: base.yaml
parameters:
  tail: {path: runners/*/tail/length, range: [70 mm, 130 mm], steps: 6}
  radius: {path: "runners/*/*/radius", values: [2.5 in, 0.5 in, 3 in]}
compute: {bench: {bands: true}}
objectives: [{answer: mean flow, aim: most}]
"""
BASE = """\
format: pulse1d case 1
based on: tubular.yaml
about: {name: few samples}
numerics: {samples: 25}
expect: ~
"""
POINTS, TOO_TIGHT = 18, 6
"""Of the plan; and those of them whose bends are tighter than half of their tube."""


@pytest.fixture(scope="module")
def study(tmp_path_factory: pytest.TempPathFactory) -> LoadedStudy:
    folder = tmp_path_factory.mktemp("study")
    (folder / "base.yaml").write_text(BASE)
    return load_study(pump_study(folder, STUDY))


def swept(study: LoadedStudy, output: Path, **how: object) -> Swept:
    return sweep(study, chosen(study), output=output, **how)  # type: ignore[arg-type]


def store(found: Swept) -> bytes:
    assert found.path is not None
    return found.path.read_bytes()


@pytest.fixture(scope="module")
def whole(study: LoadedStudy, tmp_path_factory: pytest.TempPathFactory) -> Swept:
    return swept(study, tmp_path_factory.mktemp("whole"), workers=1)


def once(act: Callable[[], object], after: int) -> Callable[[int, int, int], bool]:
    """A watch that does something when so many points are there."""
    left = [act]

    def watch(done: int, failed: int, asked: int) -> bool:
        if done >= after and left:
            left.pop()()
        return True

    return watch


def test_failing_designs_are_recorded_and_not_fatal(whole: Swept) -> None:
    assert whole.dataset is not None
    assert whole.dataset.sizes["point"] == whole.computed == POINTS
    assert sum(whole.failures.values()) == TOO_TIGHT
    bad = [str(text) != "" for text in whole.dataset["failure"].values]
    tight = whole.dataset["radius"].values < 0.02
    assert bad == tight.tolist()
    assert (whole.dataset["mean flow"].isnull().values == tight).all()
    assert all("radius" in reason for reason in whole.failures)


def test_a_second_sweep_computes_nothing_and_retry_only_failures(
    study: LoadedStudy, whole: Swept
) -> None:
    again = swept(study, whole.journal.parent, workers=1)
    assert again.computed == 0
    assert store(again) == store(whole)
    assert swept(study, whole.journal.parent, workers=1, retry=True).computed == TOO_TIGHT


def test_interrupted_and_resumed_it_is_the_same_store(
    study: LoadedStudy, whole: Swept, tmp_path: Path
) -> None:
    first = swept(study, tmp_path, workers=1, watch=lambda done, failed, asked: done < 8)
    assert first.stopped
    assert first.path is None
    with Journal(first.journal, study.key) as journal:
        assert len(journal) == first.computed == 8  # chunks of four: the second was finished
    second = swept(study, tmp_path, workers=1)
    assert second.computed == POINTS - 8
    assert store(second) == store(whole)


def test_killed_and_resumed_it_is_the_same_store(
    study: LoadedStudy, whole: Swept, tmp_path: Path
) -> None:
    code = (
        "import sys, time\n"
        "from pathlib import Path\n"
        "from pulse1d.study.load import load_study\n"
        "from pulse1d.study.plan import chosen\n"
        "from pulse1d.study.sweep import sweep\n"
        "def watch(done, failed, asked):\n"
        "    print(done, flush=True)\n"
        "    time.sleep(0.05)\n"  # so that the kill comes in mid-sweep, however fast the machine
        "    return True\n"
        "study = load_study(sys.argv[1])\n"
        "sweep(study, chosen(study), workers=1, output=Path(sys.argv[2]), watch=watch)\n"
    )
    arguments = [sys.executable, "-c", code, str(study.path), str(tmp_path)]
    with subprocess.Popen(arguments, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        done = [int(run.stdout.readline()) for _ in range(2)][-1]
        os.kill(run.pid, signal.SIGKILL)
    assert not list(tmp_path.glob("*.nc"))
    with Journal(journal_path(study, tmp_path), study.key) as journal:
        kept = len(journal)
        assert done <= kept < POINTS
    resumed = swept(study, tmp_path, workers=1)
    assert resumed.computed == POINTS - kept
    assert store(resumed) == store(whole)


def test_two_processes_one_of_them_killed_give_the_same_store(
    study: LoadedStudy, whole: Swept, tmp_path: Path
) -> None:
    before = {child.pid for child in mp.active_children()}

    def kill() -> None:
        next(child for child in mp.active_children() if child.pid not in before).kill()

    found = swept(study, tmp_path, workers=2, watch=once(kill, 4))
    assert found.computed == POINTS
    assert store(found) == store(whole)
    assert {child.pid for child in mp.active_children()} <= before  # none is left behind


DEADLY = 0.07
"""Tail length of a point that takes its process with it, in the next test [m]."""


def deadly(pack: bytes, points: Sequence[Point]) -> list[Outcome]:
    if any(point["tail"] == DEADLY for point in points):
        os._exit(9)
    return work(pack, points)


@pytest.mark.long
def test_a_point_that_kills_its_process_is_a_failure_of_its_own(
    study: LoadedStudy, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pool_module, "work", deadly)
    points = chosen(study).points[:6]
    with evaluator(study, workers=2, output=tmp_path) as evaluate:
        outcomes = evaluate(points)
    assert [one.failure == KILLED for one in outcomes] == [p["tail"] == DEADLY for p in points]


def test_disk_full_in_mid_sweep_keeps_what_is_there(
    study: LoadedStudy, whole: Swept, tmp_path: Path
) -> None:
    with evaluator(study, workers=1, output=tmp_path) as evaluate:
        db = evaluate.journal._db
        pages = db.execute("PRAGMA page_count").fetchone()[0]
        db.execute(f"PRAGMA max_page_count = {pages + 2}")  # sqlite then says: full
        with pytest.raises(JournalError, match="room on the disk"):
            evaluate(chosen(study).points)
    with Journal(journal_path(study, tmp_path), study.key) as journal:
        kept = len(journal)
    assert 0 < kept < POINTS
    found = swept(study, tmp_path, workers=1)
    assert found.computed == POINTS - kept
    assert store(found) == store(whole)


def test_a_journal_of_another_study_in_its_place_is_refused(
    study: LoadedStudy, tmp_path: Path
) -> None:
    path = journal_path(study, tmp_path)
    with Journal(path, "another study's key"):
        pass
    before = path.read_bytes()
    with pytest.raises(InputError, match="another study"):
        swept(study, tmp_path, workers=1)
    assert path.read_bytes() == before


def test_a_result_of_another_study_in_its_place_is_refused(
    study: LoadedStudy, whole: Swept, tmp_path: Path
) -> None:
    assert whole.dataset is not None
    assert whole.path is not None
    path = tmp_path / whole.path.name
    save(whole.dataset.assign_attrs(study_key="another"), path)
    before = path.read_bytes()
    (tmp_path / whole.journal.name).write_bytes(whole.journal.read_bytes())
    with pytest.raises(InputError, match="another study or version"):
        swept(study, tmp_path, workers=1)
    assert path.read_bytes() == before


def test_an_evaluator_answers_in_the_order_of_its_points(study: LoadedStudy, whole: Swept) -> None:
    points = chosen(study).points
    shuffled = [points[k] for k in (16, 3, 12, 3, 0)]
    with evaluator(study, workers=1, output=whole.journal.parent) as evaluate:
        outcomes = evaluate(shuffled)
        assert evaluate.done == 0
    assert [one.point for one in outcomes] == shuffled


@pytest.fixture(scope="module")
def cluster() -> Iterator[object]:
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=":0", silence_logs=50
    ) as found:
        yield found


def test_a_cluster_that_loses_a_worker_gives_the_same_store(
    study: LoadedStudy, whole: Swept, tmp_path: Path, cluster: object
) -> None:
    pids = [nanny.pid for nanny in cluster.workers.values()]  # type: ignore[attr-defined]
    found = swept(
        study, tmp_path, cluster=cluster.scheduler_address,  # type: ignore[attr-defined]
        watch=once(lambda: os.kill(pids[0], signal.SIGKILL), 4),
    )  # fmt: skip
    assert pids[0] not in [nanny.pid for nanny in cluster.workers.values()]  # type: ignore[attr-defined]
    assert found.computed == POINTS
    assert store(found) == store(whole)


@pytest.mark.long
def test_a_cluster_that_goes_in_mid_sweep_is_told_and_nothing_finished_is_lost(
    study: LoadedStudy, whole: Swept, tmp_path: Path
) -> None:
    distributed = pytest.importorskip("distributed")
    cluster = distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, dashboard_address=":0", silence_logs=50
    )
    with pytest.raises(Pulse1dError, match="is gone; what was finished is kept"):
        swept(study, tmp_path, cluster=cluster.scheduler_address, watch=once(cluster.close, 4))
    with Journal(journal_path(study, tmp_path), study.key) as journal:
        assert 4 <= len(journal) < POINTS
    assert store(swept(study, tmp_path, workers=1)) == store(whole)


def test_a_cluster_that_is_not_there_is_told_and_local_offered(
    study: LoadedStudy, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed")
    from pulse1d.study import cluster as module

    monkeypatch.setattr(module, "ANSWERS", 0.3)
    with pytest.raises(InputError, match="no scheduler answers") as caught:
        swept(study, tmp_path, cluster="tcp://127.0.0.1:9")
    assert "leave out --cluster" in caught.value.problems[0].remedy
    with pytest.raises(InputError, match="no address"):
        swept(study, tmp_path, cluster="nonsense://x")


@pytest.mark.long
def test_marched_cycles_are_the_same_by_one_process_and_by_two(tmp_path: Path) -> None:
    for name in ("plain.yaml", "head.yaml"):
        (tmp_path / name).write_text((PUMP.parent / "single" / name).read_text())
    path = tmp_path / "study.yaml"
    path.write_text(
        "format: pulse1d study 1\nabout: {name: pipes}\nbase: plain.yaml\n"
        "parameters: {tail: {path: runners/*/tail/length, values: [250 mm, 350 mm, 450 mm]}}\n"
        "compute: {bench: {}, cycle: {speeds: [2500, 3500]}}\n"
    )
    study = load_study(path)
    stores = [swept(study, tmp_path / str(n), workers=n) for n in (1, 2)]
    assert not stores[0].failures
    assert stores[0].dataset is not None
    assert (stores[0].dataset["torque at 2500"].diff("point") != 0.0).all()
    assert store(stores[0]) == store(stores[1])
