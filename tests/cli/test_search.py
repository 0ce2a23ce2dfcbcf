"""``pulse1d search`` as a user meets it: front, slopes and shares of a study of the bench."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner, Result

from pulse1d.cli.search import search
from pulse1d.errors import InputError
from tests.pump_study import pump_study

STUDY = """\
format: pulse1d study 1
about: {name: tubes and tails}
base: tubular.yaml
parameters:
  tail: {path: runners/*/tail/length, sets: change, range: [-60 mm, 60 mm]}
  tube: {path: runners/*/blend/to/od, choices: [1.5 in, 1.625 in, 1.75 in]}
constraints:
  - {most: 40 mm, of: tail}
compute: {bench: {}}
objectives:
  - {answer: mean flow, aim: most}
  - {answer: mass, aim: least}
  - {answer: spread of flow, aim: below, limit: 4 %}
"""
APP = typer.Typer(pretty_exceptions_enable=False)
APP.command()(search)


@pytest.fixture(scope="module")
def study(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return pump_study(tmp_path_factory.mktemp("search"), STUDY)


def changed(study: Path, name: str, old: str, new: str) -> Path:
    assert old in STUDY
    path = study.with_name(name)
    path.write_text(STUDY.replace(old, new))
    return path


def searched(*arguments: object, workers: int = 1) -> Result:
    command = [*map(str, arguments), "--workers", str(workers)]
    result = CliRunner().invoke(APP, command)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def told(*arguments: object, workers: int = 1) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(searched(*arguments, "--json", workers=workers).stdout)
    return found


def test_text_fits_80_columns_and_names_base_knee_and_trade(study: Path) -> None:
    result = searched(study, "--points", 40, "--plot", study.with_name("a.png"))
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80
    for words in ("spread of flow below 4 %", "base", "knee", "left out: ", "The trade:"):
        assert words in result.stdout
    for name in ("a.png", "a-parallel.png"):
        assert study.with_name(name).stat().st_size > 10_000


def test_the_front_has_each_tube_with_the_shortest_tails_found(study: Path) -> None:
    found = told(study, "--points", 40)
    assert found["designs"][0]["point"]["tail"] == 0.0  # the base
    front = [found["designs"][k]["point"] for k in found["front"]]
    # wider flows more and weighs more; a longer tail flows less and weighs more
    assert [round(point["tube"] / 0.0254, 3) for point in front] == [1.75, 1.625, 1.5]
    everything = [one["point"] for one in found["designs"]]
    for point in front:
        assert point["tail"] == min(p["tail"] for p in everything if p["tube"] == point["tube"])


def test_the_same_seed_gives_the_same_search_whatever_computes_it(study: Path) -> None:
    one = told(study, "--points", 13, "--output", study.with_name("one"))
    two = told(study, "--points", 13, "--output", study.with_name("two"), workers=2)
    assert two == one
    again = told(study, "--points", 13, "--output", study.with_name("one"))
    assert again == {**one, "computed": 0}
    other = told(study, "--points", 13, "--seed", 2, "--output", study.with_name("one"))
    assert other["designs"] != one["designs"]


def test_slopes_are_ranked_in_millimetres(study: Path) -> None:
    result = searched(study, "--slopes", "--plot", study.with_name("s.svg"))
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert "1 mm" in result.stdout
    found = told(study, "--slopes")
    slope = {(s["parameter"], s["answer"]): s for s in found["slopes"]}
    # four tails of 1.625 in od, 1.5 mm wall, mild or stainless steel: 0.04 kg a mm of all four is
    # an order too much, 0.004 an order too little
    assert 0.004 < slope["tail", "mass"]["slope"] * 1e-3 < 0.04
    assert slope["tail", "mean flow"]["slope"] < 0.0 < slope["tube", "mean flow"]["slope"]
    by_flow = [s["parameter"] for s in found["slopes"] if s["answer"] == "mean flow"]
    assert set(by_flow) == {"tail", "tube"}
    lines = result.stdout.splitlines()
    head = next(k for k, line in enumerate(lines) if line.startswith("mean flow [CFM]"))
    assert lines[head + 2].split()[0] == "tube"  # a millimetre of tube buys more than of tail


def test_shares_name_the_parameter_that_matters(study: Path) -> None:
    free = changed(study, "free.yaml", "{most: 40 mm, of: tail}", "{most: 1 m, of: tail}")
    found = told(free, "--shares", "mean flow", "--points", 260)
    [share] = found["shares"]
    assert (share["method"], share["samples"]) == ("sobol", 64)
    first, second = share["shares"]
    assert first["parameter"] == "tube"
    # the sum of both totals is 1 where they do not interact, give or take the intervals told
    doubt = first["total_doubt"] + second["total_doubt"]
    assert first["total"] + second["total"] == pytest.approx(1.0, abs=max(1.5 * doubt, 0.05))
    text = searched(study, "--shares", "mean flow", "--points", 60,
                    "--plot", study.with_name("v.png")).stdout  # fmt: skip
    assert "elementary effects" in text
    assert max(map(len, text.splitlines())) <= 80


def test_a_base_that_is_no_point_of_the_study_is_told(study: Path) -> None:
    path = changed(study, "set.yaml", "sets: change, range: [-60 mm", "range: [20 mm")
    text = searched(path, "--points", 4).stdout
    assert "The base case is no point of the study" in text
    assert "middle of the ranges" in searched(path, "--slopes").stdout


def test_robust_aims_at_the_worse_end(study: Path) -> None:
    banded = changed(study, "bands.yaml", "bench: {}", "bench: {bands: true}")
    found = told(banded, "--points", 3, "--robust")
    aims = [(aim["answer"], aim["aim"]) for aim in found["aims"]]
    assert aims == [
        ("mean flow, low", "most"), ("mass", "least"), ("spread of flow, high", "below"),
    ]  # fmt: skip
    for one in found["designs"]:
        assert one["answers"]["mean flow, low"] < one["answers"]["mean flow"]
    with pytest.raises(InputError, match="no objective has a band"):
        searched(study, "--robust")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--shares", "mean flo"], "did you mean 'mean flow'"),
        (["--slopes", "--shares", "mass"], "two questions"),
        (["--slopes", "--robust"], "--robust belongs to a search"),
        (["--plot", "front.jpeg"], "no picture that can be drawn"),
    ],
)
def test_wrong_options_are_told(study: Path, arguments: list[str], message: str) -> None:
    with pytest.raises(InputError, match=message):
        searched(study, *arguments)


def test_a_study_without_aims_cannot_be_searched(study: Path) -> None:
    start = STUDY.index("objectives:")
    path = changed(study, "aimless.yaml", STUDY[start:], "")
    with pytest.raises(InputError, match="names nothing"):
        searched(path)


def test_limits_that_no_design_keeps_end_with_exit_status_3(study: Path) -> None:
    path = changed(study, "strict.yaml", "limit: 4 %", "limit: 0.001 %")
    result = searched(path, "--points", 5)
    assert result.exit_code == 3
    assert "No design has all answers and keeps the limits" in result.stdout
