"""A study that was read: its file, its base case and what it varies."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pulse1d.case.design import Design
from pulse1d.case.document import Document
from pulse1d.study.axes import Axis
from pulse1d.study.constraints import Rule
from pulse1d.study.spec import StudyFile
from pulse1d.study.targets import Target


@dataclass(frozen=True)
class LoadedStudy:
    """A study file with its base case loaded."""

    spec: StudyFile
    path: Path
    base: Design
    document: Document
    """Of the study file, for errors with its lines."""
    axes: tuple[Axis, ...]
    """One a parameter, in the order of the file."""
    key: str
    """Hash of all that decides a point's answers."""
    targets: tuple[Target, ...]
    """Parameters, then linked values, with their places in the base case."""
    rules: tuple[Rule, ...]
    """Constraints, in the order of the file."""

    @property
    def name(self) -> str:
        """The study's name, as its file gives it [-]."""
        return self.spec.about.name
