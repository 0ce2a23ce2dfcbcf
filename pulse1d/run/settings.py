"""What the designs of one comparison stand in front of: their own systems, one, or the room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.run.behind import behind
from pulse1d.run.downstream import same, system


@dataclass(frozen=True)
class Setting:
    """What the designs of one comparison stand in front of."""

    kind: str
    """One of stated (by each case), behind (one system) and open (at the outlet)."""
    label: str = ""
    """As told to a user; empty where there is nothing to tell apart."""
    source: str = ""
    """Name of the case whose system it is, where it is not each one's own."""

    @property
    def spoken(self) -> str:
        """Behind the name of a design, to tell what it is [-]."""
        if self.source:
            return f", behind the downstream system of {self.source}"
        return ", outlet open" if self.kind == "open" else ""


STATED = Setting("stated")
OPEN = Setting("open", "outlet open")


def settings(
    designs: Sequence[Design], source: Design | None, bare: bool
) -> list[tuple[Setting, list[Design]]]:
    """What is run: the designs as they are or behind one system, and where asked for, without.

    Parameters
    ----------
    designs : sequence of Design   [-]
    source : Design or None   Case whose system all of them get; None: their own [-]
    bare : bool   Also with the outlet open [-]
    Returns
    -------
    settings : list of (Setting, designs)   [-]
    Errors      InputError for a source without a system or with one that does not fit, or where
                there is none to leave away.
    """
    if source is not None:
        fits(designs, source)
    first = STATED
    if source is not None:
        first = Setting("behind", "behind the same system", source.name)
        designs = [behind(design, source) for design in designs]
    if not bare:
        return [(first, list(designs))]
    systems = [system(design) for design in designs]
    if all(one is None for one in systems):
        message = "--bare: no case has a downstream system to leave away"
        raise InputError([Problem(message, "drop --bare, or name a system by --downstream CASE")])
    if source is None:
        alike = "behind the same system" if same(systems) else "as each case states"
        first = replace(STATED, label=alike)
    return [(first, list(designs)), (OPEN, [behind(design, None) for design in designs])]


def fits(designs: Sequence[Design], source: Design) -> None:
    """Refuse a system that is none, or leads to a bank that a design does not have.

    Parameters
    ----------
    designs : sequence of Design   [-]
    source : Design   Case whose system all of them get [-]
    Errors      InputError naming the case.
    """
    found = source.case.downstream
    if found is None:
        message = "--downstream: this case has no downstream system"
        remedy = "name a case that states `downstream:`"
        raise InputError([Problem(message, remedy, str(source.path))])
    if found.crossover is None:
        return
    engines = [(design, design.case.engine) for design in designs]
    problems = [
        Problem(
            f"the system of {source.path} leads to another bank, and this engine names none",
            "add `other bank:` to its engine, or name a system without a crossover",
            str(design.path),
        )
        for design, engine in engines
        if engine is None or not engine.other_bank
    ]
    if problems:
        raise InputError(problems)
