"""Does the other bank of an engine stand where the case's crossover needs it? On the plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pulse1d.case.document import Document, listed
from pulse1d.errors import Problem


def bank_problems(document: Document) -> list[Problem]:
    """Everything wrong between a crossover, the other bank and the cylinders of this one.

    Parameters
    ----------
    document : Document   A whole case, its head merged in [-]
    Returns
    -------
    problems : list of Problem   Empty when all is well [-]
    """
    return list(_problems(document))


def _problems(document: Document) -> Iterator[Problem]:
    data = document.data
    engine, downstream = _mapping(data.get("engine")), _mapping(data.get("downstream"))
    pairs = engine.get("other bank", engine.get("other_bank"))
    if not pairs:
        if _mapping(downstream.get("crossover")) and engine:
            yield document.problem(
                ("downstream", "crossover"),
                "a crossover leads to another bank, and the engine names none",
                "add `other bank: {1: 2, 3: 4}` to the engine: this bank's cylinders and "
                "those at their places in the other",
            )
        return
    if not isinstance(pairs, dict):
        return
    own, mates = [str(name) for name in pairs], [str(name) for name in pairs.values()]
    here = list(_cylinders(data))
    missing = [name for name in here if name not in own]
    if missing:
        yield document.problem(
            ("engine", "other bank"),
            f"nothing stands opposite cylinder {listed(missing)}",
            "name the cylinder of the other bank for each of this one",
        )
    both = [name for name in mates if name in here]
    if both:
        yield document.problem(
            ("engine", "other bank"),
            f"cylinder {listed(both)} stands behind a port of this bank",
            "name cylinders of the other bank; a port's `cylinders` say which are of this one",
        )


def _mapping(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _cylinders(data: Any) -> Iterator[str]:
    """Names of the cylinders behind the ports."""
    ports = _mapping(data.get("head")).get("ports")
    for port in ports if isinstance(ports, list) else ():
        behind = _mapping(port).get("cylinders") or [_mapping(port).get("name")]
        for name in behind if isinstance(behind, list) else ():
            if isinstance(name, str | int):
                yield str(name)
