"""What every folder of bad files is held to: each is refused as its ``expected.toml`` says."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pulse1d.errors import InputError


def refused(
    load: Callable[[Path], object], folder: Path, name: str, entries: list[dict[str, Any]]
) -> InputError:
    """Load a bad file; every problem must have its line, place, text, message and remedy."""
    with pytest.raises(InputError) as caught:
        load(folder / name)
    told = caught.value.problems
    assert [problem.line for problem in told] == [entry["line"] for entry in entries]
    for problem, entry in zip(told, entries, strict=True):
        place = f"{folder / entry.get('file', name)}:{entry['line']}: "
        first, text, remedy = str(problem).splitlines()
        assert first.startswith(place)
        assert entry["message"] in first
        assert entry["text"] in text
        assert remedy.startswith("    remedy: ")
        assert entry["remedy"] in remedy
    return caught.value
