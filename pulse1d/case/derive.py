"""A design derived from another: a file that states only what differs from its base.

``based on: other.yaml`` at the top of a file names its base, which may itself have a base. The
rest of the file is merged over the base:

- Keys are merged one by one; a value that is no mapping and no list replaces the base's.
- ``key: ~`` takes the key away.
- A mapping that states another ``kind`` (or ``shape``) than the base's replaces it whole.
- A list replaces the base's list whole, unless each of its items says which item of the base it
  means: by its ``name``, else its ``port``, else its ``from`` and ``to`` (an end written as a
  mapping counts by its ``joint``). Then an item found in the base is merged over it, and the others
  are added at the end. An item that also says ``remove: true`` is taken out.
- A list called ``pieces`` is merged by ``name`` only, and only when every item names a piece of
  the base; otherwise it replaces the base's pieces whole, since their order matters.
- A file named in a base stays relative to that base.

Each value remembers the file and line where it was written, so an error points there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import Any

from pulse1d.case.document import (
    MAX_PROBLEMS,
    MOST_WORDS,
    Document,
    Mark,
    Place,
    listed,
    nearest,
    problem_at,
    shown,
)
from pulse1d.case.files import inside
from pulse1d.case.reader import read_yaml
from pulse1d.errors import InputError, Problem

BASED_ON = "based on"
MAX_CHAIN = 8
"""Most files in a chain of bases: what a reader can still hold in mind."""
KINDS = ("kind", "shape")
"""Keys that say what a mapping is; another one makes it another thing."""
IDENTITY = (("name",), ("port",), ("from", "to"))
"""Keys that tell the items of a list apart, the first that an item has being the one it means."""


def load_derived(path: Path, root: Path | None = None, *, defer: bool = False) -> Document:
    """A file with all its bases merged in, by the rules at the top of this module.

    Parameters
    ----------
    path : Path   The derived file, or one without a base [-]
    root : Path or None   Folder tree that must hold every base; None for the folder of ``path`` [-]
    defer : bool   Leave what ``validate`` can report together with its own in ``problems`` [-]
    Returns
    -------
    document : Document   Merged data without ``based on``; ``text`` is that of ``path`` [-]
    Errors      InputError with file, line, text and remedy: whatever ``read_yaml`` refuses in any
                of the files, a base outside the root or not there, bases in a ring, a chain longer
                than MAX_CHAIN, a key or item to take away that the base does not have.
    Limits      MAX_CHAIN
    Source      common practice, no source
    """
    path = Path(path)
    document = _load(path, path.parent if root is None else root, ())
    if document.problems and not defer:
        raise InputError(list(document.problems))
    return document


def _load(path: Path, root: Path, chain: tuple[Path, ...]) -> Document:
    document = read_yaml(path, defer=True)
    if BASED_ON not in document.data:
        return document
    chain = (*chain, path)
    try:
        base = _load(_base_of(document, root, chain), root, chain)
    except InputError as error:
        raise InputError([*document.problems, *error.problems]) from error
    return _Merge(base, document).result()


def _base_of(document: Document, root: Path, chain: tuple[Path, ...]) -> Path:
    """The base that a document names, refused when it leads back into the chain."""
    name, place = document.data[BASED_ON], (BASED_ON,)
    if not isinstance(name, str):
        remedy = f"write the name of a file beside this one, or delete '{BASED_ON}'"
        raise InputError([document.problem(place, f"'{BASED_ON}' must name a file", remedy)])
    try:
        base = inside(root, document.path, name, document.mark(place)[1])
    except InputError as error:
        told = [document.problem(place, item.message, item.remedy) for item in error.problems]
        raise InputError(told) from error
    steps = " -> ".join(shown(step) for step in (*chain, base))
    if base.resolve() in [step.resolve() for step in chain]:
        message, remedy = f"files are based on each other: {steps}", "let one of them stand alone"
        raise InputError([document.problem(place, message, remedy)])
    if len(chain) >= MAX_CHAIN:
        message = f"more than {MAX_CHAIN} files based on each other: {steps}"
        raise InputError([document.problem(place, message, "base this file on an earlier one")])
    return base


@dataclass(frozen=True)
class _Node:
    """A value with its mark: a plain value, a dict of nodes or a list of nodes."""

    mark: Mark
    value: Any

    def get(self, key: str) -> Any:
        """The plain value of a key, the joint of a mapping; None when there is none."""
        found = self.value.get(key) if isinstance(self.value, dict) else None
        if found is not None and isinstance(found.value, dict):
            found = found.value.get("joint")
        return None if found is None or isinstance(found.value, dict | list) else found.value

    def identity(self) -> tuple[str, ...]:
        """The keys by which this item is told apart; empty when it has none."""
        for keys in IDENTITY:
            if all(self.get(key) is not None for key in keys):
                return keys
        return ()

    def spoken(self) -> str:
        """The item by its identity, such as ``port 2``."""
        return ", ".join(f"{key} {self.get(key)}" for key in self.identity())


class _Merge:
    """Merges one document over its base."""

    def __init__(self, base: Document, new: Document) -> None:
        self.base, self.new = base, new
        self.sources = {**base.sources, **new.sources}
        self.problems: list[Problem] = []

    def result(self) -> Document:
        changes = _lift(self.new, (), self.new.data)
        del changes.value[BASED_ON]
        merged = self._merged(_lift(self.base, (), self.base.data), changes)
        marks: dict[Place, Mark] = {}
        return replace(
            self.new,
            data=_lower(merged, (), marks),
            marks=marks,
            sources=self.sources,
            problems=(*self.new.problems, *self.base.problems, *self.problems),
        )

    def _merged(self, old: _Node, new: _Node, key: str = "") -> _Node:
        if isinstance(old.value, dict) and isinstance(new.value, dict):
            return self._mapping(old, new)
        if isinstance(old.value, list) and isinstance(new.value, list):
            return self._list(old, new, key)
        return self._whole(new)

    def _mapping(self, old: _Node, new: _Node) -> _Node:
        if any(_differs(old.get(kind), new.get(kind)) for kind in KINDS):
            gone = {key for key, node in new.value.items() if node.value is None}
            stays = {k: node for k, node in new.value.items() if not (k in gone and k in old.value)}
            return self._whole(_Node(new.mark, stays))
        merged = dict(old.value)
        for key, node in new.value.items():
            if node.value is None and key in old.value:
                del merged[key]
            elif node.value is None:
                self._note(node, f"there is no {key!r} to take away", key, old.value)
            elif key in old.value:
                merged[key] = self._merged(old.value[key], node, key)
            else:
                merged[key] = self._whole(node)
        return _Node(new.mark, merged)

    def _list(self, old: _Node, new: _Node, key: str) -> _Node:
        if not self._by_identity(old, new, key):
            return self._whole(new)
        items: list[_Node | None] = list(old.value)
        index = _index(old.value)
        added: list[_Node] = []
        taken: set[int] = set()
        for node in new.value:
            found = index.get(_meant(node, node.identity()), [])
            self._check_once(node, found, taken)
            if self._removes(node):
                self._check_removal(node, found, old)
                for i in found:
                    items[i] = None
            elif found:
                items[found[0]] = self._merged(old.value[found[0]], _without_remove(node))
            else:
                added.append(self._whole(_without_remove(node)))
            taken.update(found)
        return _Node(new.mark, [item for item in items if item is not None] + added)

    def _by_identity(self, old: _Node, new: _Node, key: str) -> bool:
        """Whether the items of a list are merged one by one."""
        if not new.value or not all(item.identity() for item in new.value):
            return False
        if key == "pieces":
            names = {item.get("name") for item in old.value} - {None}
            return all(item.get("name") in names for item in new.value)
        return all(item.identity() for item in old.value)

    def _removes(self, node: _Node) -> bool:
        flag = node.value.get("remove")
        if flag is not None and not isinstance(flag.value, bool):
            self._say(flag, "'remove' must be true or false", "write remove: true")
        return flag is not None and flag.value is True

    def _check_once(self, node: _Node, found: list[int], taken: set[int]) -> None:
        if len(found) > 1:
            message = f"the base has {len(found)} items with {node.spoken()}"
            self._say(node, message, "give them different names in the base")
        if taken.intersection(found):
            self._say(node, f"{node.spoken()} stands twice in this list", "write one item for it")

    def _check_removal(self, node: _Node, found: list[int], old: _Node) -> None:
        if not found:
            keys = node.identity()
            there = (item.spoken() for item in old.value if item.identity() == keys)
            message = f"there is no {node.spoken()} to take away"
            self._note(node, message, node.spoken(), there)
        more = sorted(node.value.keys() - {"remove", *(k for keys in IDENTITY for k in keys)})
        if more:
            remedy = f"delete {listed(more)}, or remove: true"
            self._say(node, f"{node.spoken()} is taken away and yet changed", remedy)

    def _whole(self, node: _Node) -> _Node:
        """A value that takes nothing from the base, so nothing in it can be taken away."""
        children = node.value.values() if isinstance(node.value, dict) else node.value
        for child in children if isinstance(node.value, dict | list) else ():
            if isinstance(node.value, list) and isinstance(child.value, dict):
                flag = child.value.get("remove")
                if flag is not None and flag.value is True:
                    remedy = "leave the item out, or name only items of the base in this list"
                    self._say(flag, "this list replaces the base's list whole", remedy)
            self._whole(child)
        return node

    def _note(self, node: _Node, message: str, word: str, there: Iterable[str]) -> None:
        there = list(islice(there, MOST_WORDS))
        near = nearest(word, there)
        remedy = f"did you mean {near!r}?" if near else f"the base has {listed(there) or 'none'}"
        self._say(node, message, remedy)

    def _say(self, node: _Node, message: str, remedy: str) -> None:
        self.problems.append(problem_at(node.mark, self.sources, message, remedy))
        if len(self.problems) >= MAX_PROBLEMS:
            raise InputError([*self.new.problems, *self.base.problems, *self.problems])


def _differs(old: Any, new: Any) -> bool:
    return None not in (old, new) and old != new


def _meant(item: _Node, keys: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Some keys of an item with their values as text, so that port 1 is port "1"."""
    return tuple((key, str(item.get(key))) for key in keys)


def _index(items: list[_Node]) -> dict[tuple[tuple[str, str], ...], list[int]]:
    """Positions of the items by each identity that they have."""
    index: dict[tuple[tuple[str, str], ...], list[int]] = {}
    for i, item in enumerate(items):
        for keys in IDENTITY:
            if all(item.get(key) is not None for key in keys):
                index.setdefault(_meant(item, keys), []).append(i)
    return index


def _without_remove(node: _Node) -> _Node:
    return _Node(node.mark, {key: item for key, item in node.value.items() if key != "remove"})


def _lift(document: Document, place: Place, value: Any) -> _Node:
    if isinstance(value, dict):
        value = {key: _lift(document, (*place, key), item) for key, item in value.items()}
    elif isinstance(value, list):
        value = [_lift(document, (*place, i), item) for i, item in enumerate(value)]
    return _Node(document.mark(place), value)


def _lower(node: _Node, place: Place, marks: dict[Place, Mark]) -> Any:
    marks[place] = node.mark
    if isinstance(node.value, dict):
        return {key: _lower(item, (*place, key), marks) for key, item in node.value.items()}
    if isinstance(node.value, list):
        return [_lower(item, (*place, i), marks) for i, item in enumerate(node.value)]
    return node.value
