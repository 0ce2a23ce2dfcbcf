"""What a search is after: answers to raise, to lower, or to keep on one side of a limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.errors import InputError, Problem
from pulse1d.study.answer_names import UNITS
from pulse1d.study.answers import answer_infos, answer_name
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.objectives import limit_in
from pulse1d.study.outcome import Outcome

Array = NDArray[np.float64]
WORSE_END = {"most": "low", "above": "low", "least": "high", "below": "high"}
"""End of the 5-95 % band that a careful reader counts on."""


@dataclass(frozen=True)
class Aim:
    """One objective."""

    answer: str
    aim: str
    """"most", "least", "above" or "below"."""
    limit: float = 0.0
    """Of ``above`` and ``below`` [SI]."""
    unit: str = ""
    """Shown to people."""
    scale: float = 1.0
    """SI value of one shown unit."""

    @property
    def open(self) -> bool:
        """Whether more is always better, with no limit."""
        return self.aim in ("most", "least")

    @property
    def words(self) -> str:
        """The aim as people say it."""
        if self.open:
            return f"{self.aim} {self.answer}"
        return f"{self.answer} {self.aim} {self.limit / self.scale:.4g} {self.unit}".rstrip()

    def cost(self, value: float) -> float:
        """A number that is to be low: signed answer, or by what share the limit is missed."""
        if self.open:
            return -value if self.aim == "most" else value
        missed = self.limit - value if self.aim == "above" else value - self.limit
        return missed / (abs(self.limit) or 1.0)


def aims_of(study: LoadedStudy, robust: bool = False) -> tuple[Aim, ...]:
    """The aims that a study's objectives state.

    Parameters
    ----------
    study : LoadedStudy   [-]
    robust : bool   Whether the worse end of each answer's 5-95 % band counts, where it has one [-]
    Returns
    -------
    aims : tuple of Aim   [SI]
    Errors      InputError without an aim of most or least, or without bands for ``robust``.
    """
    infos = {info.name: info for info in answer_infos(study)}
    aims = []
    for wanted in study.spec.objectives:
        name = answer_name(wanted)
        worse = f"{name}, {WORSE_END[wanted.aim]}"
        if robust and worse in infos:
            name = worse
        info = infos[name]
        limit = 0.0 if wanted.limit is None else limit_in(wanted.limit, info.unit)
        unit, scale = UNITS[info.unit]
        aims.append(Aim(name, wanted.aim, limit, unit, scale))
    if not any(aim.open for aim in aims):
        message = "a search needs something to raise or to lower, and the study names nothing"
        remedy = "add an objective such as {answer: mean flow, aim: most}"
        place = ("objectives",) if study.spec.objectives else ()
        raise InputError([study.document.problem(place, message, remedy)])
    if robust and not any(banded(aim) for aim in aims):
        message = "no objective has a band to be robust against"
        remedy = (
            "compute bands of the bench, `bench: {bands: true}`, and aim at a flow or its spread"
        )
        raise InputError([study.document.problem(("compute",), message, remedy)])
    return tuple(aims)


def banded(aim: Aim) -> bool:
    """Whether an aim is at an end of a band.

    Parameters
    ----------
    aim : Aim   [-]
    Returns
    -------
    banded : bool   [-]
    """
    return aim.answer.endswith((", low", ", high"))


def costs(aims: Sequence[Aim], outcomes: Sequence[Outcome]) -> tuple[Array, Array]:
    """Outcomes as numbers that are to be low.

    Parameters
    ----------
    aims : sequence of Aim   [SI]
    outcomes : sequence of Outcome   [SI]
    Returns
    -------
    wanted : (n, open aims) array   Infinite where an answer is missing [SI, sign turned for most]
    missed : (n,) array   Largest share by which a limit is missed, 0 or less: all kept; infinite
        where an answer is missing [-]
    """
    held = [aim for aim in aims if not aim.open]
    wanted = np.full((len(outcomes), len(aims) - len(held)), np.inf)
    missed = np.full(len(outcomes), np.inf)
    for k, outcome in enumerate(outcomes):
        if all(aim.answer in outcome.answers for aim in aims):
            value = outcome.answers
            wanted[k] = [aim.cost(value[aim.answer]) for aim in aims if aim.open]
            missed[k] = max((aim.cost(value[aim.answer]) for aim in held), default=0.0)
    return wanted, missed


def one_named(names: Sequence[str], name: str, option: str) -> str:
    """A name that an option gives, if it is one of them.

    Parameters
    ----------
    names : sequence of str   [-]
    name : str   [-]
    option : str   For the message [-]
    Returns
    -------
    name : str   [-]
    Errors      InputError with the nearest name, or all.
    """
    from pulse1d.case.document import listed, nearest

    if name in names:
        return name
    near = nearest(name, names)
    remedy = f"did you mean {near!r}? " if near else ""
    message = f"{option}: nobody computes {name!r} in this study"
    raise InputError([Problem(message, f"{remedy}it computes {listed(names)}")])
