"""Everything that a page stands on, and how it is brought together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pulse1d.case.design import Design
from pulse1d.case.reader import read_yaml
from pulse1d.case.readings import load_reduced
from pulse1d.case.rows_csv import find_rows
from pulse1d.case.shown import Shown, shown
from pulse1d.compare.against import Comparison, hold_against
from pulse1d.compare.faults import Verdict, judge
from pulse1d.compare.means import port_means
from pulse1d.compare.parts import PartComparison, compare_parts
from pulse1d.errors import InputError, Problem
from pulse1d.measure.reduce import Reduction
from pulse1d.results.store import load
from pulse1d.run.bench import BenchResult
from pulse1d.run.life import LifeResult
from pulse1d.run.saved_cycles import Cycles
from pulse1d.study.evaluator import journal_path
from pulse1d.study.load import load_study
from pulse1d.study.plan import chosen
from pulse1d.study.store import store_path
from pulse1d.study.sweep import Swept


@dataclass(frozen=True)
class Readings:
    """A file of bench readings, as far as it speaks of the cases."""

    path: Path
    files: tuple[Path, ...]
    """This file, and the table that it names."""
    reduction: Reduction
    parts: tuple[tuple[Design, str], ...]
    """Cases, and the part of each."""
    against: tuple[tuple[Comparison, Verdict], ...]
    """Prediction against measurement, a case each."""
    pairs: tuple[PartComparison, ...]
    """The base's part against each other one."""


@dataclass(frozen=True)
class Evidence:
    """What is known of some designs; the first is the base of every percentage."""

    designs: tuple[Design, ...]
    bench: tuple[BenchResult, ...]
    readings: tuple[Readings, ...] = ()
    cycles: Cycles | None = None
    speed: float | None = None
    """At which the engine is looked at closer [rev/s]."""
    life: tuple[LifeResult, ...] = ()
    studies: tuple[Swept, ...] = ()

    @property
    def base(self) -> Design:
        """The first design."""
        return self.designs[0]

    @property
    def shown(self) -> Shown:
        """Units of the base's case file."""
        return shown(self.base.document)


def readings_of(path: Path, designs: Sequence[Design]) -> Readings:
    """A readings file laid beside the cases whose parts it names.

    Parameters
    ----------
    path : Path   [-]
    designs : sequence of Design   The first is the base [-]
    Returns
    -------
    readings : Readings   [SI]
    Errors      InputError for a file that cannot be read or names none of the cases.
    """
    reduction = load_reduced(path)
    header = reduction.session.header
    parts = [
        (design, name)
        for design in designs
        for name, note in header.parts.items()
        if note.case is not None and (path.parent / note.case).resolve() == design.path.resolve()
    ]
    if not parts:
        message = "no part of these readings names one of the cases"
        remedy = "state `case: FILE` at a part, under `parts:`"
        raise InputError([Problem(message, remedy, str(path))])
    read = {reading.part for reading in reduction.session.readings}
    parts = [(design, name) for design, name in parts if name in read]
    against = [hold_against(design, header, port_means(reduction, name)) for design, name in parts]
    base = [name for design, name in parts if design is designs[0]]
    pairs = [
        compare_parts([reduction], base[0], name)
        for design, name in parts
        if base and design is not designs[0]
    ]
    table = find_rows(read_yaml(path, defer=True)).path
    return Readings(
        path=path,
        files=tuple(dict.fromkeys((path, table))),
        reduction=reduction,
        parts=tuple(parts),
        against=tuple((one, judge(one)) for one in against),
        pairs=tuple(pairs),
    )


def swept(path: Path) -> Swept:
    """A study's last sweep.

    Parameters
    ----------
    path : Path   The study file [-]
    Returns
    -------
    swept : Swept   [SI]
    Errors      InputError for a study that cannot be read, was not swept, or has changed since.
    """
    study = load_study(path)
    plan = chosen(study)
    place = store_path(study, plan.points, None)
    if not place.exists():
        older = any(place.parent.glob("sweep-*.nc"))
        message = (
            "the results of this study are of another state of it" if older
            else "there are no results of this study"
        )  # fmt: skip
        raise InputError([Problem(message, f"run: pulse1d sweep {path}", str(path))])
    return Swept(study, plan, 0, journal_path(study), load(place), place)
