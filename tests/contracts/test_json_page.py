"""The page on the objects of ``--json`` is current and names what the objects hold."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from typer.main import get_command

from pulse1d.cli.json_page import RECORDS, SHIPPED, page
from pulse1d.cli.main import app
from tests.cli.test_command_line import LOG, pulse1d

READINGS = LOG.with_name("readings_log_tubular.yaml")
ASKED: dict[str, tuple[object, ...]] = {
    "check": (LOG, "--drawing-notes"),
    "bench": (LOG, "--samples", 20),
    "parts": (READINGS, "--base", "log", "--other", "tubular"),
    "life": (LOG,),
    "explain": ("bend",),
    "doctor": (),
}
NAMED_BY_DATA = {
    "check": set[str](),
    "bench": {"variance_shares", "reference"},
    "parts": {"evenness", "names", "remounts", "causes", "needed"},
    "life": {"legs", "metals", "hottest_k", "life_by_method", "sources"},
    "explain": set[str](),
    "doctor": {"packages"},
}
"""Objects whose keys are names of a case, of causes or of packages."""


def test_the_page_is_current() -> None:
    assert SHIPPED.read_text(encoding="utf-8") == page()


def test_every_verb_has_its_object() -> None:
    assert list(RECORDS) == list(get_command(app).commands)  # type: ignore[attr-defined]


def keys(value: Any, open_ended: set[str]) -> set[str]:
    if isinstance(value, list):
        return set().union(*(keys(item, open_ended) for item in value))
    if not isinstance(value, dict):
        return set()
    inner = (keys(item, open_ended) for key, item in value.items() if key not in open_ended)
    return set(value).union(*inner)


@pytest.mark.parametrize("verb", sorted(ASKED))
def test_every_key_is_on_the_page(verb: str) -> None:
    section = re.split(r"^## ", page(), flags=re.M)
    text = next(part for part in section if part.startswith(f"{verb}\n"))
    known = set(re.findall(r"\b\w+\b", text))
    result = pulse1d(verb, *ASKED[verb], "--json")
    assert result.returncode == 0, result.stderr
    record = json.loads(result.stdout)  # one object, nothing else
    assert record["schema"] == f"pulse1d {verb} 1"
    assert record["version"]
    assert keys(record, NAMED_BY_DATA[verb]) - known == set()
