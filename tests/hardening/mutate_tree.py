"""Damage to what a file says: keys, types, quantities and lists of sound YAML, written anew."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

Tree = dict[str, Any]
Holder = tuple[Any, Any]
"""A mapping or list, and the key or place in it."""
SCALARS: tuple[Any, ...] = (
    None, True, False, 0, 1, -1, 2, 3, 7, 1e-300, 1e300, -1e308, 5e-324, 2**31, 2**63, 10**39, 0.1,
    "", " ", "~", ".nan", ".inf", "1", "a", "x" * 5000, "port 1", "outlet", "../head.yaml",
    "/dev/zero", "head.yaml", "base.yaml", "mutant.yaml", "C:\\head.yaml", "a\x85b", "\u202eabc",
    "k\u00f6hl \u2603", "\U0001f527" * 30, "*", "{1: 2}", "=1+1", "10 mm", "0 mm", "-3 mm",
    "1e-9 mm", "1e6 km", "1e300 m", "90 deg", "1e9 deg", "0 deg", "50 %", "101 %", "101 kPa abs",
    "0 kPa abs", "1 Pa", "1e12 Pa abs", "28 inH2O", "20 degC", "-300 degC", "1e5 K", "0 K",
    "1 kg/h", "1e-30 kg/s", "1 CFM", "1e20 CFM", "2 ms", "1e9 s", "400 cpsi", "1 L", "1e12 m^3",
    [], {}, [[]], [1, 2, 3], ["a"], {"kind": "bend"},
)  # fmt: skip
QUANTITY = re.compile(r"\s*([-+0-9.eE/ ]*[0-9.])\s*(.*)", re.S)
SIZES = (
    -1, 0, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 1.01, 1.1, 1.5, 2, 3, 10, 25.4, 100, 1e3, 1e-3, 1e-6,
    1e6, 1e15,
)  # fmt: skip
UNITS = (
    "mm", "in", "m", "km", "um", "deg", "rad", "mrad", "kPa", "Pa abs", "inH2O", "degC", "K",
    "degF", "%", "", "CFM", "kg/h", "g/s", "ms", "1/mm^2", "cpsi", "L", "mm^2", "dB", "m^0",
    "W/m^2/K", "µm",
)  # fmt: skip


def mutate_tree(random: Random, tree: Tree, other: Tree) -> Tree:
    """A tree with one to six changes; ``other`` lends keys and branches.

    Every other mutant has changes of size only, which loaders let through more often, so that what
    comes after them is tried too.
    """
    tree = copy.deepcopy(tree)
    gentle = random.random() < 0.5
    for _ in range(random.choice((1, 1, 1, 2, 3, 6))):
        places = list(_places(tree))
        if gentle:
            places = [(h, k) for h, k in places if not isinstance(h[k], dict | list)] or places
        if not places:
            break
        holder, key = random.choice(places)
        change = _number if gentle else random.choice(CHANGES)
        change(random, holder, key, places, list(_places(other)))
    return tree


def _places(tree: Any) -> Iterator[Holder]:
    open_ = [tree]
    while open_:
        node = open_.pop()
        for key in list(node) if isinstance(node, dict) else range(len(node)):
            yield node, key
            if isinstance(node[key], dict | list):
                open_.append(node[key])


def _scalar(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    holder[key] = copy.deepcopy(random.choice(SCALARS))


def _number(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    """Another size of the same quantity: a slip of the point, the sign or many decades."""
    factor = random.choice(SIZES)
    value = holder[key]
    if isinstance(value, bool):
        holder[key] = int(value)
    elif isinstance(value, int | float):
        holder[key] = type(value)(max(-1e300, min(1e300, value * factor)))
    elif isinstance(value, str) and (match := QUANTITY.fullmatch(value)):
        try:
            holder[key] = f"{float(match[1]) * factor:g} {match[2]}"
        except ValueError:
            holder[key] = f"{random.choice((0, 1, 9)):g} {match[2]}"


def _unit(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    match = QUANTITY.fullmatch(str(holder[key]))
    number = match[1] if match else "3"
    holder[key] = f"{number} {random.choice(UNITS)}{random.choice(('', '', ' abs', ' gauge'))}"


def _take(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    del holder[key]


def _rename(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    names = [k for _, k in [*places, *lent] if isinstance(k, str)] or ["x"]
    if isinstance(holder, dict):
        holder[random.choice(names)] = holder.pop(key)


def _exchange(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    other, place = random.choice(places)
    branch, mine = copy.deepcopy(other[place]), copy.deepcopy(holder[key])
    other[place], holder[key] = mine, branch


def _lend(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    """A branch of the other file, likeliest one that stands under the same key there."""
    same = [pair for pair in lent if pair[1] == key] if isinstance(key, str) else []
    found = same if same and random.random() < 0.7 else lent
    if found:
        other, place = random.choice(found)
        holder[key] = copy.deepcopy(other[place])


def _add(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    """One more key or item, from the other file."""
    if not lent:
        return
    other, place = random.choice(lent)
    if isinstance(holder, dict):
        holder[str(place)] = copy.deepcopy(other[place])
    else:
        holder.insert(key, copy.deepcopy(other[place]))


def _wrap(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    for _ in range(random.choice((1, 1, 5, 60))):
        holder[key] = random.choice(([holder[key]], {"kind": holder[key]}))


def _many(random: Random, holder: Any, key: Any, places: Any, lent: Any) -> None:
    count = random.choice((2, 2, 3, 10, 100, 1000))
    if isinstance(holder, list):
        holder[key:key] = [copy.deepcopy(holder[key]) for _ in range(count)]
    elif not isinstance(holder[key], dict | list):
        holder[key] = [holder[key]] * count
    elif isinstance(holder[key], dict):
        value = next(iter(holder[key].values()), None)
        holder[key].update({f"n{i}": copy.deepcopy(value) for i in range(count)})


CHANGES: tuple[Callable[[Random, Any, Any, Any, Any], None], ...] = (
    _scalar, _scalar, _number, _number, _number, _unit, _take, _rename, _exchange, _lend, _lend,
    _add, _wrap, _many,
)  # fmt: skip


def emit(tree: Any, indent: int = 0) -> str:
    """A tree as YAML: mappings in blocks, so that tables keep their lines; the rest as JSON."""
    pad = "  " * indent
    if isinstance(tree, dict) and tree and indent < 20:
        lines = []
        for key, value in tree.items():
            if isinstance(value, str) and "\n" in value and value[0] not in " \n":
                table = "\n".join(f"{pad}  {line}" for line in value.split("\n"))
                lines.append(f"{pad}{json.dumps(str(key))}: |\n{table}")
            elif isinstance(value, dict) and value:
                lines.append(f"{pad}{json.dumps(str(key))}:\n{emit(value, indent + 1)}")
            else:
                lines.append(f"{pad}{json.dumps(str(key))}: {json.dumps(value)}")
        return "\n".join(lines)
    return f"{pad}{json.dumps(tree)}"
