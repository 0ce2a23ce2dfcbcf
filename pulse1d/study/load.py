"""Load a study: file, base case and all that it varies, every problem reported in one pass."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from pulse1d import __version__
from pulse1d.case import kinds
from pulse1d.case.design import Design, load
from pulse1d.case.document import Document, Place
from pulse1d.case.files import inside
from pulse1d.case.kinds import refuse_other
from pulse1d.case.problems import validate
from pulse1d.case.reader import read_yaml
from pulse1d.errors import InputError, Problem
from pulse1d.run.engine_net import needs
from pulse1d.spec import FROM_TEXT
from pulse1d.study.axes import Axis
from pulse1d.study.constraints import Rule
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.objectives import objective_problems
from pulse1d.study.parameters import Refused, read_link, read_parameter
from pulse1d.study.plan import check_left
from pulse1d.study.rules import read_rule
from pulse1d.study.spec import Compute, Constraint, Link, Parameter, StudyFile
from pulse1d.study.targets import Target

__all__ = ["LoadedStudy", "load_study"]
T = TypeVar("T")


def load_study(path: str | Path) -> LoadedStudy:
    """Read a study file, with the case that it is based on.

    Parameters
    ----------
    path : str or Path   The study file; its ``base`` lies in the same folder tree [-]
    Returns
    -------
    study : LoadedStudy   [SI]
    Errors      InputError with every problem found, each with file, line, text and remedy.
    """
    path = Path(path)
    document = read_yaml(path, defer=True)
    is_case = document.data.get("format") == kinds.CASE
    remedy = "name the study" + (" that is based on it" if is_case else "")
    refuse_other(document, kinds.STUDY, "a study", remedy, ("parameters",))
    laid = _Laid(document)
    spec = validate(StudyFile, document, checks=(lambda _: laid.problems,))
    assert laid.base is not None
    study = LoadedStudy(
        spec=spec,
        path=path,
        base=laid.base,
        document=document,
        axes=tuple(laid.axes),
        key=_key(laid.base, spec),
        targets=tuple(laid.targets.values()),
        rules=tuple(laid.rules),
    )
    problems = objective_problems(study)
    if problems:
        raise InputError(problems)
    check_left(study)
    return study


@dataclass
class _Laid:
    """What the file says, laid on the base case as far as it can be read."""

    document: Document
    base: Design | None = None
    axes: list[Axis] = field(default_factory=list)
    targets: dict[str, Target] = field(default_factory=dict)
    rules: list[Rule] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.base = self._based()
        if self.base is None:
            return
        case, sound = self.base.case, True
        for name, spec in self._each("parameters", Parameter):
            try:
                axis, target = read_parameter(self.document, case, name, spec)
            except Refused as error:
                self.problems.append(error.problem)
                sound = False
                continue
            self.axes.append(axis)
            self.targets[name] = target
        if not sound:
            return  # what refers to a parameter would only echo
        followed = dict(self.targets)
        for name, link in self._each("linked", Link):
            try:
                self.targets[self._new(name)] = read_link(self.document, case, name, link, followed)
            except Refused as error:
                self.problems.append(error.problem)
        self._check_places()
        for index, spec_of_rule in self._items():
            try:
                rule = read_rule(self.document, case, index, spec_of_rule, self.targets)
                self.rules.append(rule)
            except Refused as error:
                self.problems.append(error.problem)

    def _based(self) -> Design | None:
        name, place = self.document.data.get("base"), ("base",)
        if not isinstance(name, str) or not name:
            return None
        file, line = self.document.mark(place)
        try:
            path = inside(file.parent, file, name, line)
        except InputError as error:
            self.problems += error.problems
            return None
        try:
            design = load(path)
        except InputError as error:
            message = f"base {name!r} does not load: {error.problems[0].message}"
            remedy = f"mend it first, see 'pulse1d check {name}'; or name another"
            self.problems.append(self.document.problem(place, message, remedy))
            return None
        compute = _alone(Compute, self.document.data.get("compute"))
        if compute is not None and compute.cycle is not None:
            try:
                needs(design)
            except InputError as error:
                first, where = error.problems[0], ("compute", "cycle")
                message = f"the engine of base {name!r} cannot run: {first.message}"
                self.problems.append(self.document.problem(where, message, first.remedy))
        return design

    def _each(self, key: str, model: type[T]) -> Iterator[tuple[str, T]]:
        """Parts of a mapping that can be read; the schema tells what is wrong with the others."""
        data = self.document.data.get(key)
        for name, item in data.items() if isinstance(data, dict) else ():
            spec = _alone(model, item)
            if spec is not None:
                yield str(name), spec

    def _items(self) -> Iterator[tuple[int, Constraint]]:
        data = self.document.data.get("constraints")
        for index, item in enumerate(data if isinstance(data, list) else ()):
            spec = _alone(Constraint, item)
            if spec is not None:
                yield index, spec

    def _new(self, name: str) -> str:
        if name in self.targets:
            message = f"{name!r} is the name of a parameter already"
            raise Refused(
                self.document.problem(("linked", name), message, "give it a name of its own")
            )
        return name

    def _check_places(self) -> None:
        """One value a place: two names for it, or for it and something around it, clash."""
        taken: dict[tuple[str | int, ...], str] = {}
        for name, target in self.targets.items():
            for spot in target.spots:
                for end in range(1, len(spot.place) + 1):
                    other = taken.get(spot.place[:end])
                    if other is not None and other != name:
                        key = "linked" if name not in [a.name for a in self.axes] else "parameters"
                        message = f"{name!r} and {other!r} both set {spot.spoken}"
                        where: Place = (key, name, "path")
                        self.problems.append(
                            self.document.problem(where, message, "take it out of one of them")
                        )
                        return
            taken |= {spot.place: name for spot in target.spots}


def _alone(model: type[T], data: Any) -> T | None:
    try:
        return TypeAdapter(model).validate_python(data, context=FROM_TEXT)
    except (ValidationError, InputError):
        return None


def _key(base: Design, spec: StudyFile) -> str:
    """Hash of what decides a point's answers: not of ranges, plan, constraints and objectives."""
    what = {
        "version": __version__,
        "base": base.digest,
        "numerics": base.case.numerics.model_dump(mode="json"),
        "parameters": {name: [one.path, one.sets] for name, one in spec.parameters.items()},
        "linked": {name: one.model_dump(mode="json") for name, one in spec.linked.items()},
        "compute": spec.compute.model_dump(mode="json"),
    }
    return hashlib.sha256(json.dumps(what, sort_keys=True).encode()).hexdigest()
