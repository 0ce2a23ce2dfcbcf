"""``pulse1d parts`` and ``pulse1d claim`` as a user meets them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pulse1d.cli.main import app
from pulse1d.compare.parts_record import SCHEMA
from tests.invented_readings import DEMO, World, invent

RUN = CliRunner()
CHOICE = ["--base", "log", "--other", "tubular"]


def out(*arguments: str) -> str:
    result = RUN.invoke(app, list(arguments))
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.mark.parametrize("verb", ["parts", "claim"])
def test_text_fits_the_terminal(verb: str) -> None:
    assert max(len(line) for line in out(verb, str(DEMO), *CHOICE).splitlines()) <= 80


def test_parts_says_it_from_both_sides() -> None:
    text = " ".join(out("parts", str(DEMO), *CHOICE).split())
    assert "base log" in text
    assert "The same fact from the other side: log flows" in text
    assert "power 0.8" in text


def test_parts_as_json() -> None:
    record = json.loads(out("parts", str(DEMO), *CHOICE, "--json"))
    assert record["schema"] == SCHEMA
    assert [port["port"] for port in record["ports"]] == ["1", "2", "3", "4"]
    assert record["whole"]["base_m3_s"] == pytest.approx(
        sum(port["base_m3_s"] for port in record["ports"])
    )


def test_the_planted_fault_stands_out() -> None:
    """Port 3 of the tubular part flows 6 % less than it should; the others' gains lie 5 % above."""
    record = json.loads(out("parts", str(DEMO), *CHOICE, "--json"))
    gains = {port["port"]: port for port in record["ports"]}
    assert min(gains, key=lambda port: gains[port]["gain"]) == "3"


def test_a_figure_is_drawn(tmp_path: Path) -> None:
    figure = tmp_path / "bars.svg"
    out("parts", str(DEMO), *CHOICE, "--plot", str(figure))
    text = figure.read_text(encoding="utf-8")
    assert "U of the difference at 95 %" in text
    assert "port 4" in text


def test_claim_without_a_difference_has_no_gain(tmp_path: Path) -> None:
    equal = {(part, port): 200.0 for part in ("log", "tubular") for port in "12"}
    file = tmp_path / "equal.yaml"
    file.write_text(invent(equal, 1, World(digits=3)), encoding="utf-8")
    record = json.loads(out("claim", str(file), *CHOICE, "--json"))
    assert "no difference shown between tubular and log at +-" in record["claim"]
    assert "more air" not in record["claim"]
    assert record["claim"].count("%") == 2  # +-U %, and 95 %


def test_claim_with_a_test_sheet() -> None:
    text = out("claim", str(DEMO), *CHOICE)
    for part in ("TEST SHEET", "leak, part", "check plate", "ABBAABBA", "edge radius", "range 4"):
        assert part in text


@pytest.mark.parametrize("verb", ["parts", "claim"])
def test_an_unknown_part_is_named(verb: str) -> None:
    result = RUN.invoke(app, [verb, str(DEMO), "--base", "log", "--other", "short"])
    assert "no part of the readings is called 'short'" in str(result.exception)
    assert "parts are log, tubular" in str(result.exception)
    result = RUN.invoke(app, [verb, str(DEMO), "--base", "tubluar"])
    assert "did you mean 'tubular'?" in str(result.exception)


def three_parts(folder: Path) -> Path:
    """Readings of three parts."""
    file = folder / "three.yaml"
    text = DEMO.read_text(encoding="utf-8").replace(", case: log.yaml", "")
    text = text.replace(", case: tubular.yaml}", "}\n  short: {name: pump short}")
    file.write_text(text.replace("tubular,4,", "short,4,"), encoding="utf-8")
    return file


@pytest.mark.parametrize("verb", ["parts", "claim"])
def test_of_two_parts_the_base_alone_says_which(verb: str, tmp_path: Path) -> None:
    assert out(verb, str(DEMO), "--base", "log") == out(verb, str(DEMO), *CHOICE)
    result = RUN.invoke(app, [verb, str(three_parts(tmp_path)), "--base", "log"])
    assert "which part is held against the base 'log' is not plain" in str(result.exception)
    assert "--other: short, tubular" in str(result.exception)


def test_a_claim_says_that_no_part_was_mounted_twice(tmp_path: Path) -> None:
    file = tmp_path / "once.yaml"
    truth = {("log", "1"): 180.0, ("tubular", "1"): 190.0}
    file.write_text(invent(truth, 3, World(remounts=1)), encoding="utf-8")
    text = " ".join(out("claim", str(file), *CHOICE).split())
    assert "No part was mounted twice: a scatter of 0.57 % a pair is assumed, not measured" in text
