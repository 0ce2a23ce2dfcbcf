"""Every bad case of ``cases/broken`` is refused with file, line, offending text and remedy."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

import pulse1d
from tests.broken_files import refused

FOLDER = Path(__file__).parents[2] / "cases" / "broken"
EXPECTED: dict[str, Any] = tomllib.loads((FOLDER / "expected.toml").read_text(encoding="utf-8"))
SOUND: list[str] = EXPECTED.pop("sound")


def test_no_file_is_left_without_an_entry() -> None:
    there = {path.name for path in FOLDER.iterdir()} - {"expected.toml"}
    assert there == {*EXPECTED, *SOUND}


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_says_what_is_wrong_where_and_what_to_do(name: str) -> None:
    error = refused(pulse1d.load, FOLDER, name, EXPECTED[name])
    for problem in error.problems:
        assert str(problem) in str(error)


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_opens_with_a_comment_that_says_what_is_wrong(name: str) -> None:
    start = (FOLDER / name).read_bytes().splitlines()[:2]
    assert any(line.startswith(b"# ") for line in start)


@pytest.mark.parametrize("name", SOUND)
def test_what_they_are_based_on_is_sound(name: str) -> None:
    assert pulse1d.load(FOLDER / name).network.port_names
