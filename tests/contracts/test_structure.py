"""House rules that a reader relies on: small files, light import, current schema, live paths."""

from __future__ import annotations

import re
import statistics
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FILES = sorted((ROOT / "pulse1d").rglob("*.py"))

LONGEST = 400
"""A file that fits on a few screens is read whole; longer ones hide a second subject."""
MEDIAN = 120
"""The best-kept codes near our field lie between 50 and 160."""


def lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def test_no_file_is_too_long() -> None:
    assert [str(f) for f in FILES if lines(f) > LONGEST] == []


def test_the_typical_file_is_short() -> None:
    assert statistics.median(lines(f) for f in FILES) <= MEDIAN


def test_importing_the_package_loads_nothing_heavy() -> None:
    code = "import sys, pulse1d; print(' '.join(sys.modules))"
    loaded = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    ).stdout.split()
    assert not {"numba", "xarray", "pint", "pydantic", "numpy", "matplotlib"} & set(loaded)


def test_public_names_resolve() -> None:
    import pulse1d

    for name in pulse1d.__all__:
        assert getattr(pulse1d, name) is not None
    with pytest.raises(AttributeError):
        _ = pulse1d.nonsense


def test_the_shipped_schema_is_current() -> None:
    from pulse1d.case.json_schema import SHIPPED, case_schema

    assert SHIPPED.read_text(encoding="utf-8") == case_schema()


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "pulse1d/THEORY.md"])
def test_pages_name_only_paths_that_exist(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    named = re.findall(r"`((?:pulse1d|tests|cases|benchmarks|\.ci)/[\w./-]*)`", text)
    assert named, "a page that names no path has lost its map"
    assert [name for name in named if not (ROOT / name).exists()] == []
