"""Engine speeds that earlier runs left beside the cases; those of another state are refused."""

from __future__ import annotations

from collections.abc import Collection, Sequence
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
    settings: Sequence[tuple[Setting, Sequence[Design]]],
    speeds: Collection[float] | None = None,
    output: Path | None = None,
) -> Cycles | None:
    """Speeds that are saved of the designs as they are now.

    Parameters
    ----------
    settings : sequence of (Setting, designs)   [-]
    speeds : collection of float or None   Those wanted; None: all [rev/s]
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
            missing = sorted(set(speeds or ()) - set(known))
            if known and missing:
                problems.append(_to_run("speeds that are asked for are not saved", design, missing))
                continue
            if known:
                answers = tuple(known[s] for s in sorted(known) if speeds is None or s in speeds)
                sweeps.append(
                    CaseSweep(design, answers, len(answers), (), path, about, setting)
                )  # fmt: skip
                continue
            without.append(f"{design.name}{setting.spoken}")
            older = _older(folder, about.case)
            if older:
                told = "the saved engine speeds are of another state of this case"
                problems.append(_to_run(told, design, older))
    if problems:
        raise InputError(problems)
    return Cycles(tuple(sweeps), tuple(dict.fromkeys(without))) if sweeps else None


def _to_run(message: str, design: Design, speeds: Sequence[float]) -> Problem:
    text = ",".join(f"{60.0 * speed:.6g}" for speed in speeds)
    remedy = f"run: pulse1d cycle {design.path} --speeds {text}"
    return Problem(message, remedy, str(design.path))


def _older(folder: Path, case: str) -> list[float]:
    """Speeds [rev/s] that were saved under the case's name, whatever its state was then."""
    found: set[float] = set()
    for path in sorted(folder.glob(f"{VERB}-*{SUFFIX}")):
        with suppress(InputError, KeyError):
            dataset = load(path)
            if dataset.attrs.get("case") == case:
                found |= {float(speed) for speed in dataset["speed"].values}
    return sorted(found)
