"""What a piece adds for ``explain`` to its own spec and docstrings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Told:
    """Trade words, an example as a case writes it, and what to vary in its tables.

    All of it may be left out: the example then comes from the keys that the spec needs, and the
    first of them that is a quantity is varied.
    """

    also: tuple[str, ...] = ()
    example: Mapping[str, Any] = field(default_factory=dict)
    vary: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Path of a value in the example, such as "to/bore", and the texts to put there."""
    laws: tuple[str, ...] = ()
    """Further functions whose docstrings state the law, such as "friction.f_churchill"."""
