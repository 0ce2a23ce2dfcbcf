"""``pulse1d explain`` as a user meets it."""

from __future__ import annotations

import json

import pytest

from pulse1d.losses.explain import names
from tests.cli.test_command_line import pulse1d


def test_all_are_listed() -> None:
    result = pulse1d("explain")
    assert result.returncode == 0, result.stderr
    for name in names():
        assert f"  {name}  " in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


@pytest.fixture(scope="module")
def every() -> dict[str, str]:
    from pulse1d.cli.explain_text import report
    from pulse1d.losses.explain import explain

    return {name: report(explain(name)) for name in names()}


@pytest.mark.parametrize("name", list(names()))
def test_each_fits_80_columns(every: dict[str, str], name: str) -> None:
    lines = every[name].splitlines()
    assert lines[0].startswith(f"{name}, ")
    assert max(map(len, lines)) <= 80
    for part in ("In a case file", "Station", "Sources"):
        assert part in lines


def test_one_is_told_with_its_values() -> None:
    result = pulse1d("explain", "weld-bead")
    assert result.returncode == 0, result.stderr
    assert "{kind: weld bead, height: 0.5 mm}" in result.stdout
    assert "K = (1/(s Cc(s)) - 1)^2" in result.stdout
    assert "weisbach1855: Weisbach 1855" in result.stdout
    assert "K reversed" in result.stdout


def test_the_object_has_its_documented_keys() -> None:
    result = pulse1d("explain", "valve seat", "--json")
    assert result.returncode == 0, result.stderr
    record = json.loads(result.stdout)
    assert record["schema"] == "pulse1d explain 1"
    (one,) = record["elements"]
    assert set(one) == {
        "name", "kind", "what", "also", "example", "keys", "formulas", "stations", "band",
        "validity", "sources", "tables",
    }  # fmt: skip
    # at 2 mm lift the head chokes below Mach 0.1 in the port: told as null, for JSON has no other
    assert one["tables"][0]["rows"][0][1] is None


def test_an_unknown_name_is_refused_with_a_suggestion() -> None:
    result = pulse1d("explain", "weld bede")
    assert result.returncode == 2
    assert "did you mean weld bead" in result.stderr
    assert result.stdout == ""


def test_a_name_of_several_words_needs_no_quotes() -> None:
    plain, quoted = pulse1d("explain", "flange", "joint"), pulse1d("explain", "flange joint")
    assert plain.returncode == 0, plain.stderr
    assert plain.stdout == quoted.stdout
    assert plain.stdout.startswith("flange joint, ")
