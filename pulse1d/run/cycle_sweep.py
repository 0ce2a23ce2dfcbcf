"""A design over its speeds, what was marched before read back, what is marched kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from pulse1d import __version__
from pulse1d.case.design import Design
from pulse1d.errors import InputError
from pulse1d.results.provenance import Provenance
from pulse1d.results.store import load, result_path, results_folder, save
from pulse1d.run.cycle import TOLERANCE, CycleAnswer
from pulse1d.run.cycle_dataset import cycle_dataset, saved_answers
from pulse1d.run.cycle_summary import SpeedSummary, summarise
from pulse1d.run.engine_net import needs
from pulse1d.run.origin import case_texts, citations
from pulse1d.run.settings import STATED, Setting
from pulse1d.run.sweep_speeds import run_speeds
from pulse1d.run.watched import Stopped
from pulse1d.waves.solve import WaveError

VERB = "cycle"
DAMAGED = (LookupError, TypeError, ValueError, AttributeError, ArithmeticError)
"""What a file that can be read, but not as it was written, leads to."""
OWN_SOURCES = ("heywood1988",)
"""What the cylinders' laws and the friction come from."""


@dataclass(frozen=True)
class CaseSweep:
    """One design at the speeds that were asked for and reached."""

    design: Design
    answers: tuple[CycleAnswer, ...]
    """Speeds rising."""
    reused: int
    """How many of them were read from the file."""
    failed: tuple[tuple[float, str], ...]
    """Speeds at which the march broke down, and why [rev/s]."""
    path: Path
    """Where they lie."""
    provenance: Provenance
    setting: Setting = STATED
    """What the design stands in front of."""

    @cached_property
    def summaries(self) -> tuple[SpeedSummary, ...]:
        """Figures speed by speed."""
        return tuple(summarise(self.design, answer) for answer in self.answers)

    @property
    def complete(self) -> bool:
        """Whether every speed converged."""
        return not self.failed and all(answer.converged for answer in self.answers)


def by_setting(sweeps: Sequence[CaseSweep]) -> dict[Setting, list[CaseSweep]]:
    """Sweeps by what their designs stand in front of; the first of each is its base.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    Returns
    -------
    groups : dict   In the order given [SI]
    """
    groups: dict[Setting, list[CaseSweep]] = {}
    for one in sweeps:
        groups.setdefault(one.setting, []).append(one)
    return groups


def sweep(
    design: Design,
    speeds: Sequence[float],
    *,
    output: Path | None = None,
    fresh: bool = False,
    watch: Callable[[int, int], bool] | None = None,
    setting: Setting = STATED,
) -> CaseSweep:
    """March the speeds that are not saved yet; save all, also when stopped in between.

    Parameters
    ----------
    design : Design   With an engine [-]
    speeds : sequence of float   [rev/s]
    output : Path or None   Folder in place of the one beside the case [-]
    fresh : bool   March saved speeds again [-]
    watch : function   Told how many speeds are done and the cycle of the next; the sweep ends when
        it answers False [-]
    setting : Setting   What the design stands in front of, for what is told and saved [-]
    Returns
    -------
    sweep : CaseSweep   [SI]
    Errors      InputError where the case lacks what an engine needs, or results cannot be saved.
    """
    needs(design)
    about = provenance(design, setting)
    path = result_path(results_folder(design.path, output), VERB, about.key)
    known = {} if fresh else saved(path)
    done = dict(known)
    failed: list[tuple[float, str]] = []

    def told(k: int, cycle: int, change: float) -> None:
        if watch is not None and not watch(k, cycle):
            raise Stopped

    left = sorted(set(speeds))
    try:
        while True:
            try:
                run_speeds(design, left, done=done, watch=told)
                break
            except WaveError as error:
                broken = next(speed for speed in left if speed not in done)
                failed.append((broken, str(error)))
                left.remove(broken)
    except Stopped:
        pass
    finally:
        if done.keys() != known.keys() or fresh:
            keep(design, done, about, path)
    asked = tuple(done[speed] for speed in left if speed in done)
    reused = sum(answer.speed in known for answer in asked)
    return CaseSweep(design, asked, reused, tuple(failed), path, about, setting)


def keep(design: Design, answers: dict[float, CycleAnswer], about: Provenance, path: Path) -> None:
    """Save the speeds that are done.

    Parameters
    ----------
    design : Design   [-]
    answers : dict   By speed; none, nothing is saved [rev/s]
    about : Provenance   [-]
    path : Path   [-]
    Errors      InputError when the place cannot be written to.
    """
    if answers:
        rising = [summarise(design, answers[speed]) for speed in sorted(answers)]
        room = {"room_p_pa": design.case.bench.room.pressure}
        save(cycle_dataset(rising, about, room), path)


def saved(path: Path) -> dict[float, CycleAnswer]:
    """Speeds that an earlier run of this version left.

    Parameters
    ----------
    path : Path   [-]
    Returns
    -------
    answers : dict   By speed; empty where the file is not there or of no use [rev/s]
    """
    with suppress(InputError, *DAMAGED):
        dataset = load(path)
        if dataset.attrs.get("pulse1d_version") == __version__:
            return saved_answers(dataset)
    return {}


def provenance(design: Design, setting: Setting = STATED) -> Provenance:
    """What stands behind the speeds of a design.

    Parameters
    ----------
    design : Design   [-]
    setting : Setting   What it stands in front of [-]
    Returns
    -------
    provenance : Provenance   [-]
    """
    numerics = design.case.numerics
    return Provenance(
        verb=VERB,
        case=f"{design.name}{setting.spoken}",
        texts=case_texts(design),
        design=design.digest,
        numerics={
            "cell_m": numerics.cell,
            "cfl": numerics.cfl,
            "limiter": numerics.limiter,
            "tolerance": TOLERANCE,
        },
        sources=citations(design, *OWN_SOURCES),
    )
