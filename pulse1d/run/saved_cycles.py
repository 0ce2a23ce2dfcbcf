"""Engine speeds that earlier runs left beside the cases; those of another state are refused."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.results.store import SUFFIX, load, result_path, results_folder
from pulse1d.run.attribution import Interference
from pulse1d.run.cycle_sweep import VERB, CaseSweep, by_setting, provenance, saved
from pulse1d.run.interference_store import saved_interference
from pulse1d.run.settings import Setting


@dataclass(frozen=True)
class Cycles:
    """Saved speeds of some designs."""

    sweeps: tuple[CaseSweep, ...]
    """Setting by setting, the base first."""
    without: tuple[str, ...]
    """Names of designs of which nothing is saved."""

    @property
    def groups(self) -> list[tuple[Setting, list[CaseSweep]]]:
        """Sweeps by what their designs stand in front of."""
        return list(by_setting(self.sweeps).items())

    @property
    def speeds(self) -> list[float]:
        """Speeds at which all designs of the first setting were marched, rising [rev/s]."""
        first = self.groups[0][1]
        return sorted(set.intersection(*({a.speed for a in one.answers} for one in first)))

    def interference(self, speed: float) -> list[tuple[str, Interference]]:
        """What is saved of who disturbs whom at a speed [rev/s], by the name of the design."""
        found = [(one, saved_interference(one, speed)) for one in self.groups[0][1]]
        return [(one.design.name, told) for one, told in found if told is not None]


def saved_cycles(
    settings: Sequence[tuple[Setting, Sequence[Design]]], output: Path | None = None
) -> Cycles | None:
    """Every speed that is saved of the designs as they are now.

    Parameters
    ----------
    settings : sequence of (Setting, designs)   [-]
    output : Path or None   Folder in place of the one beside each case [-]
    Returns
    -------
    cycles : Cycles or None   None where nothing was ever saved [SI]
    Errors      InputError naming the cases whose saved speeds are of another state of the case, of
                its numerics, or of another version, with the command that renews them.
    """
    sweeps, without, problems = [], [], []
    for setting, designs in settings:
        for design in designs:
            if design.case.engine is None:
                without.append(design.name)
                continue
            about = provenance(design, setting)
            folder = results_folder(design.path, output)
            path = result_path(folder, VERB, about.key)
            known = saved(path)
            if known:
                answers = tuple(known[speed] for speed in sorted(known))
                sweeps.append(
                    CaseSweep(design, answers, len(answers), (), path, about, setting)
                )  # fmt: skip
                continue
            without.append(f"{design.name}{setting.spoken}")
            older = _older(folder, about.case)
            if older:
                speeds = ",".join(f"{speed:g}" for speed in older)
                problems.append(
                    Problem(
                        "the saved engine speeds are of another state of this case",
                        f"run: pulse1d cycle {design.path} --speeds {speeds}",
                        str(design.path),
                    )
                )
    if problems:
        raise InputError(problems)
    return Cycles(tuple(sweeps), tuple(dict.fromkeys(without))) if sweeps else None


def _older(folder: Path, case: str) -> list[float]:
    """Speeds that were saved under the case's name, whatever its state was then."""
    found: set[float] = set()
    for path in sorted(folder.glob(f"{VERB}-*{SUFFIX}")):
        with suppress(InputError, KeyError):
            dataset = load(path)
            if dataset.attrs.get("case") == case:
                found |= {round(float(speed), 6) for speed in dataset["rev_per_min"].values}
    return sorted(found)
