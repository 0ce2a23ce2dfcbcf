"""Every bad study of ``cases/broken_studies`` is refused with file, line, text and remedy."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from pulse1d.study.load import load_study
from tests.broken_files import refused

FOLDER = Path(__file__).parents[2] / "cases" / "broken_studies"
EXPECTED: dict[str, Any] = tomllib.loads((FOLDER / "expected.toml").read_text(encoding="utf-8"))
SOUND: list[str] = EXPECTED.pop("sound")
BESIDE: list[str] = EXPECTED.pop("beside")


def test_no_file_is_left_without_an_entry() -> None:
    there = {path.name for path in FOLDER.iterdir()} - {"expected.toml"}
    assert there == {*EXPECTED, *SOUND, *BESIDE}


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_says_what_is_wrong_where_and_what_to_do(name: str) -> None:
    refused(load_study, FOLDER, name, EXPECTED[name])


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_opens_with_a_comment_that_says_what_is_wrong(name: str) -> None:
    start = (FOLDER / name).read_bytes().splitlines()[:2]
    assert any(line.startswith(b"# ") for line in start)


@pytest.mark.parametrize("name", SOUND)
def test_the_sound_one_loads(name: str) -> None:
    assert load_study(FOLDER / name).axes
