"""What is wrong with a case, in an engineer's words, with file, line, text and remedy."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any, TypeAlias, TypeVar

from pydantic import BaseModel, ValidationError

from pulse1d import units
from pulse1d.case.document import MAX_PROBLEMS, Document, Place, listed, nearest, shown
from pulse1d.case.example import example, line_to_add
from pulse1d.case.trail import Trail, follow, keys_of
from pulse1d.errors import InputError, Problem, UnitError
from pulse1d.spec import FROM_TEXT

M = TypeVar("M", bound=BaseModel)
Check: TypeAlias = Callable[[Document], Iterable[Problem]]
"""A check of a whole document, such as whether its legs lead anywhere."""

LIMITS = {
    "greater_than": ("gt", "greater than"),
    "greater_than_equal": ("ge", "at least"),
    "less_than": ("lt", "less than"),
    "less_than_equal": ("le", "at most"),
}
PLAIN = (str, int, float)
TOLD = ("value_error", "assertion_error")
"""Errors whose message a validator wrote."""
NEEDS = {
    "model": ("be a set of 'key: value' lines", "write its keys below it, indented"),
    "dict": ("be a set of 'key: value' lines", "write its keys below it, indented"),
    "list": ("be a list", "write each item on its own line, starting with '- '"),
    "tuple": ("be a list", "write each item on its own line, starting with '- '"),
    "set": ("be a list", "write each item on its own line, starting with '- '"),
    "string": ("be text", "put it in quotes"),
    "int": ("be a whole number", "write it like 4"),
    "float": ("be a number", "write it like 1.5"),
    "bool": ("be true or false", "write true or false"),
    "none": ("be left out", "delete the line"),
    "finite": ("be a finite number", "write it like 1.5"),
}


def validate(
    model: type[M],
    document: Document,
    context: Mapping[str, Any] | None = None,
    checks: Iterable[Check] = (),
) -> M:
    """A spec made from a document, or everything that is wrong with it.

    Parameters
    ----------
    model : type   Spec of the whole file [-]
    document : Document   What was read [-]
    context : mapping or None   Handed to the validators, on top of ``FROM_TEXT`` [-]
    checks : iterable of functions   Further checks on the document, each giving problems; they run
        even where the schema already failed [-]
    Returns
    -------
    spec : model   The validated spec [-]
    Errors      InputError with every problem of the file, sorted by line, at most MAX_PROBLEMS and
                a count of the rest: those deferred while reading, those of the schema, those a
                validator raised as InputError, those of the checks.
    Source      common practice, no source
    """
    found: list[Problem] = []
    spec: M | None = None
    try:
        spec = model.model_validate(document.data, context={**FROM_TEXT, **(context or {})})
    except ValidationError as error:
        found = problems_from(error, document, model)
    except InputError as error:
        found = list(error.problems)
    for check in checks:
        found += check(document)
    told = {(problem.file, problem.line) for problem in document.problems}
    fresh = [problem for problem in found if (problem.file, problem.line) not in told]
    every = sorted([*document.problems, *fresh], key=lambda problem: _order(problem, document))
    if len(every) > MAX_PROBLEMS + 1:
        message = f"and {len(every) - MAX_PROBLEMS} more from here on"
        rest = replace(every[MAX_PROBLEMS], message=message, remedy="mend those above first")
        every = [*every[:MAX_PROBLEMS], rest]
    if every or spec is None:
        raise InputError(every)
    return spec


def problems_from(
    error: ValidationError, document: Document, model: type[BaseModel]
) -> list[Problem]:
    """Every error of a validation as a problem with its place in the file.

    A validator's own message may end in "; " and a remedy. Of several alternatives that all fail,
    only the one that comes nearest is told.

    Parameters
    ----------
    error : ValidationError   What pydantic raised [-]
    document : Document   The document whose ``data`` were validated [-]
    model : type   The spec they were validated against [-]
    Returns
    -------
    problems : list of Problem   Sorted by line, at most MAX_PROBLEMS and a count of the rest [-]
    Source      common practice, no source
    """
    finds = [
        Find(item, follow(model, item["loc"], document.data))
        for item in error.errors(include_url=False)
    ]
    finds = _without_echoes(_nearest_branch(finds))
    finds.sort(key=lambda find: _mark_order(document, find.trail.place))
    problems = [find.problem(document) for find in finds[:MAX_PROBLEMS]]
    if len(finds) > MAX_PROBLEMS:
        rest = finds[MAX_PROBLEMS]
        message = f"and {len(finds) - MAX_PROBLEMS} more like these from here on"
        problems.append(document.problem(rest.trail.place, message, "mend those above first"))
    return problems


@dataclass
class Find:
    """One pydantic error and where it leads."""

    item: Any
    trail: Trail
    level: int = 0
    """How many unions on the way are settled already."""
    others: tuple[Find, ...] = ()
    """What the other alternatives said of the same value."""

    @property
    def kind(self) -> str:
        return str(self.item["type"])

    @property
    def place(self) -> Place:
        return self.trail.place

    def problem(self, document: Document) -> Problem:
        """The problem in words."""
        if self.kind.startswith("union_tag"):
            return self._kind(document)
        words = {"missing": self._missing, "extra_forbidden": self._unknown}
        message, remedy = words.get(self.kind, self._value)()
        remedies = dict.fromkeys([remedy, *(other._value()[1] for other in self.others)])
        return document.problem(self.place, message, "; or ".join(remedies))

    def _missing(self) -> tuple[str, str]:
        key = str(self.place[-1])
        return f"{key!r} is missing {_where(self.place[:-1])}", line_to_add(key, self.trail.field)

    def _unknown(self) -> tuple[str, str]:
        key = str(self.place[-1])
        allowed = keys_of(self.trail.spec) if self.trail.spec else []
        near = nearest(key, allowed)
        remedy = f"did you mean {near!r}? " if near else ""
        return f"unknown key {key!r}", f"{remedy}allowed here: {listed(allowed)}"

    def _kind(self, document: Document) -> Problem:
        key, kinds = self.trail.kind_key or "kind", self.trail.kinds
        given = self.item["input"].get(key) if isinstance(self.item["input"], dict) else None
        if given is None:
            message = f"{key!r} is missing {_where(self.place)}"
            remedy = f"add '{key}: {kinds[0] if kinds else '...'}'; kinds are {listed(kinds)}"
            return document.problem(self.place, message, remedy)
        near = nearest(str(given), kinds)
        remedy = (f"did you mean {near!r}? " if near else "") + f"kinds are {listed(kinds)}"
        return document.problem((*self.place, key), f"{key} {given!r} is not known", remedy)

    def _value(self) -> tuple[str, str]:
        given, name = self.item["input"], _name(self.place, bool(self.trail.inside))
        if self.kind in TOLD:
            message, _, remedy = str(self.item["ctx"]["error"]).partition("; ")
            if isinstance(self.item["ctx"]["error"], UnitError) and not isinstance(given, PLAIN):
                message = f"{_brief(given)} is not a quantity"
            elif isinstance(given, dict) or not self.place:
                return message, remedy or self._example()
            return f"{name}: {message}", remedy or self._example()
        if given is None:
            needed = self.trail.field is not None and self.trail.field.is_required()
            remedy = self._example() if needed else f"{self._example()}, or delete the line"
            return f"{name} has no value", remedy
        if self.kind in LIMITS:
            return self._limit(given, name)
        need, remedy = self._need()
        needs = [need, *(other._need()[0] for other in self.others if other.kind not in TOLD)]
        return f"{name} must {' or '.join(needs)}, not {_brief(given)}", remedy

    def _limit(self, given: Any, name: str) -> tuple[str, str]:
        key, words = LIMITS[self.kind]
        limit = _in_unit_of(given, float(self.item["ctx"][key]))
        return f"{name} must be {words} {limit}, not {_brief(given)}", self._example()

    def _need(self) -> tuple[str, str]:
        """What a value must be, and the remedy."""
        ctx = self.item.get("ctx", {})
        if self.kind in ("literal_error", "enum"):
            choices = [
                word.strip("' ") for word in ctx["expected"].replace(" or ", ", ").split(",")
            ]
            near = nearest(str(self.item["input"]), choices)
            remedy = f"did you mean {near!r}?" if near else f"write {choices[0]}"
            return f"be {ctx['expected']}", remedy
        if self.kind in ("too_short", "too_long"):
            least = "min_length" in ctx
            count = ctx["min_length" if least else "max_length"]
            plural = "" if count == 1 else "s"
            need = f"hold {'at least' if least else 'at most'} {count} item{plural}"
            return need, "add items, each starting with '- '" if least else "delete items"
        if self.kind in ("string_too_short", "string_too_long"):
            least = "min_length" in ctx
            count = ctx["min_length" if least else "max_length"]
            need = f"have {'at least' if least else 'at most'} {count} characters"
            return need, "lengthen it" if least else "shorten it"
        if self.kind in NEEDS or self.kind.split("_")[0] in NEEDS:
            need, remedy = NEEDS[self.kind.split("_")[0]]
            if self.trail.kind_key == "shape" and self.kind.startswith("model"):
                remedy = f"write it like {{shape: round, bore: {_length(self.item['input'])}}}"
            return need, remedy
        text = str(self.item["msg"]).removeprefix("Input should ")
        return (text if text != self.item["msg"] else f"be right ({text})"), self._example()

    def _example(self) -> str:
        like = example(self.trail.field, self.trail.inside)
        if like:
            return f"write it like {like}"
        return "write its value here" if self.item["input"] is None else "correct this value"


def _nearest_branch(finds: list[Find]) -> list[Find]:
    """Where a value fails all alternatives of a union, only the errors of the likeliest one."""
    groups: dict[Any, dict[str, list[Find]]] = {}
    kept = []
    for find in finds:
        if len(find.trail.branches) > find.level:
            place, label = find.trail.branches[find.level]
            find.level += 1
            groups.setdefault((find.level, place), {}).setdefault(label, []).append(find)
        else:
            kept.append(find)
    for (_, place), branches in groups.items():
        flat = [find for branch in branches.values() for find in branch if find.place == place]
        if len(flat) == sum(map(len, branches.values())):
            kept.append(replace(flat[0], others=tuple(flat[1:])))
        else:
            kept += _nearest_branch(min(branches.values(), key=lambda b: _distance(b, place)))
    return kept


def _distance(finds: list[Find], place: Place) -> int:
    """How far a branch is from what was meant. Only the order of the weights matters: wrong
    altogether > another kind > unknown or missing key > wrong value."""
    weights = {"literal_error": 5, "extra_forbidden": 2, "missing": 2}
    return sum(100 if find.place == place else weights.get(find.kind, 1) for find in finds)


def _without_echoes(finds: list[Find]) -> list[Find]:
    """Without what only follows from another slip: a missing key that stands beside it misspelt,
    and a list called too short since its items were refused."""
    meant = set()
    lacking = {find.place[:-1] for find in finds if find.kind == "missing"}
    unknown = (f for f in finds if f.kind == "extra_forbidden" and f.place[:-1] in lacking)
    for find in islice(unknown, MAX_PROBLEMS):
        if find.trail.spec:
            near = nearest(str(find.place[-1]), keys_of(find.trail.spec))
            meant.add((*find.place[:-1], near))

    def echoes(find: Find) -> bool:
        given = find.item["input"]
        if find.kind == "too_short" and isinstance(given, list | dict):
            return len(given) >= int(find.item["ctx"]["min_length"])
        return find.kind == "missing" and find.place in meant

    return [find for find in finds if not echoes(find)]


def _in_unit_of(given: Any, limit: float) -> str:
    """A limit in SI as text in the unit that the user wrote."""
    match = units.NUMBER.match(given.strip()) if isinstance(given, str) else None
    unit = match[2].removesuffix("abs").strip() if match else ""
    tail = " abs" if match and match[2].endswith("abs") else ""
    for dimension in units.SI if unit else ():
        try:
            return f"{units.to(limit, unit, dimension):.6g} {unit}{tail}"
        except UnitError:
            continue
    return f"{limit:.7g}"


def _length(given: Any) -> str:
    """A length as it was given, else an example of one."""
    like = units.EXAMPLE["length"].split(" or ")[0]
    if not isinstance(given, str) or len(given) > 20:
        return like
    try:
        units.parse(given, "length")
    except UnitError:
        return like
    return given.strip()


def _brief(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a set of keys"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _name(place: Place, inside: bool = False) -> str:
    """The last key of a place; with the list or group around it, where the key is an item's."""
    keys = [part for part in place if isinstance(part, str)]
    if not keys:
        return "the file"
    if isinstance(place[-1], int):
        return f"item {place[-1] + 1} of {keys[-1]}"
    return f"{keys[-1]} of {keys[-2]}" if inside and len(keys) > 1 else keys[-1]


def _where(place: Place) -> str:
    return f"in {_name(place)}" if place else "at the top of the file"


def _mark_order(document: Document, place: Place) -> tuple[bool, str, int]:
    path, line = document.mark(place)
    return path != document.path, str(path), line


def _order(problem: Problem, document: Document) -> tuple[bool, str, int]:
    return problem.file != shown(document.path), problem.file, problem.line or 0
