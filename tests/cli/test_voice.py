"""One voice: options, help, errors and exit statuses alike in every verb."""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from pulse1d.cli.catalogue import CATALOGUE
from pulse1d.cli.main import EXITS, app
from pulse1d.errors import InputError
from tests.cli.test_command_line import LOG, pulse1d

VERBS = typer.main.get_command(app).commands  # type: ignore[attr-defined]
READINGS = LOG.with_name("readings_log_tubular.yaml")
QUICK: dict[str, tuple[object, ...]] = {
    "reduce": (READINGS,),
    "claim": (READINGS, "--base", "log", "--other", "tubular"),
}
"""Verbs that answer in a second or two; the page on objects is tested with others."""


def options(verb: str) -> set[str]:
    return {name for one in VERBS[verb].params for name in one.opts}


@pytest.mark.parametrize("verb", sorted(VERBS))
def test_every_verb_has_the_common_options(verb: str) -> None:
    assert {"--json", "--quiet", "-q"} <= options(verb)
    assert ("--export" in options(verb)) == (verb in CATALOGUE)


@pytest.mark.parametrize("verb", sorted(VERBS))
def test_help_tells_the_exit_statuses_and_every_option(verb: str) -> None:
    context = typer.Context(VERBS[verb], info_name=verb)
    text = " ".join(VERBS[verb].get_help(context).split())
    assert EXITS in text
    for name in options(verb):
        assert not name.startswith("--") or name in text
    for one in VERBS[verb].params:
        assert getattr(one, "help", ""), f"{one.name} has no help"


def test_equal_options_read_alike() -> None:
    seen: dict[str, set[str]] = {}
    for verb in VERBS.values():
        for one in verb.params:
            seen.setdefault(max(one.opts, key=len), set()).add(one.help)
    for name in ("--json", "--quiet", "--export", "--plot", "--workers", "--cluster", "--part"):
        # fit, reduce ask for a part for reasons of their own
        assert len(seen[name]) <= (2 if name == "--part" else 1), name


def test_every_verb_s_line_in_the_help_is_whole() -> None:
    lines = pulse1d("--help").stdout.splitlines()
    for verb in VERBS:
        (line,) = [one for one in lines if one.split()[:1] == [verb]]
        assert line.endswith(".")
        assert not line.endswith("...")


@pytest.mark.parametrize("verb", sorted(QUICK))
def test_json_is_one_object_and_nothing_else(verb: str) -> None:
    result = pulse1d(verb, *QUICK[verb], "--json")
    assert result.returncode == 0, result.stderr
    record = json.loads(result.stdout)
    assert record["schema"].startswith("pulse1d ")
    assert record["version"]


def test_quiet_leaves_out_what_was_written(tmp_path: Path) -> None:
    loud = pulse1d("check", LOG, "--export", tmp_path / "a.json")
    hushed = pulse1d("check", LOG, "--export", tmp_path / "b.json", "--quiet")
    assert "exported: " in loud.stderr
    assert hushed.stderr == ""
    assert hushed.stdout == loud.stdout
    assert (tmp_path / "b.json").exists()


def test_quiet_keeps_errors() -> None:
    result = pulse1d("bench", "nowhere.yaml", "-q")
    assert result.returncode == 2
    assert "nowhere.yaml" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "message", "remedy"),
    [
        (("bnch",), "bnch: pulse1d has no such verb", "did you mean bench?"),
        (("bench", LOG, "--jsn"), "--jsn: pulse1d bench has no such option", "mean --json?"),
        (("bench",), "CASES is missing", "`pulse1d bench --help`"),
        (("parts", READINGS, "--other", "log"), "--base is missing", "`pulse1d parts --help`"),
        (("bench", LOG, "--depression"), "--depression: its value is missing", "pulse1d bench"),
        (("bench", LOG, "--samples", "few"), "--samples: ", "`pulse1d bench --help`"),
        (("bench", LOG, "--samples", "-3"), "--samples: ", "`pulse1d bench --help`"),
        (("bench", LOG, "--direction", "blwn"), "'blwn' is no choice", "did you mean blown?"),
        (("new", "x.yaml", "--layout", "csat"), "'csat' is no choice", "did you mean cast?"),
        (("doctor", "now"), "now: more than pulse1d doctor takes", "`pulse1d doctor --help`"),
        (("bench", "a\x1b[31m.yaml"), ".yaml: ", "remedy"),
        (("check", READINGS), "this is a file of bench readings", "`pulse1d reduce`"),
        (("check", LOG.with_name("study_details.yaml")), "this is a study", "`pulse1d sweep`"),
    ],
)
def test_errors_have_one_form(arguments: Sequence[object], message: str, remedy: str) -> None:
    result = pulse1d(*arguments)
    assert result.returncode == 2
    assert result.stdout == ""
    assert "\x1b" not in result.stderr
    assert "Usage:" not in result.stderr
    first, *_ = result.stderr.splitlines()
    assert message in first
    assert "    remedy: " in result.stderr
    assert remedy in result.stderr
    assert result.stderr.endswith("1 problem; nothing was run.\n")


def test_help_starts_at_once() -> None:
    spent = []
    for _ in range(3):
        start = time.perf_counter()
        pulse1d("--help")
        spent.append(time.perf_counter() - start)
    # 0.3 s on a machine of its own; others may use this one, by a factor of three at most
    assert statistics.median(spent) < 0.9


def test_help_and_completion_load_nothing_heavy() -> None:
    code = (
        "import sys, pulse1d.cli.main; print([m for m in ('numpy', 'numba', 'xarray', 'scipy', "
        "'pint', 'pydantic', 'matplotlib', 'rich') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_closed_pipe_is_no_error() -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-m", "pulse1d", "explain"], stdout=write, stderr=subprocess.PIPE
    )
    os.close(write)
    assert done.returncode == 0
    assert done.stderr == b""


def test_drawing_notes_are_told() -> None:
    text = pulse1d("check", LOG, "--drawing-notes").stdout
    assert "the foundry's and the welder's own" in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80
    for topic in ("port match", "least wall", "sealing face"):
        assert f"  {topic}  " in text


def test_new_tells_its_file_and_what_comes_next(tmp_path: Path) -> None:
    result = pulse1d("new", "mine.yaml", "--json", cwd=tmp_path)
    assert result.returncode == 0, result.stderr
    record = json.loads(result.stdout)
    assert record["schema"] == "pulse1d new 1"
    assert record["wrote"] == "mine.yaml"
    assert record["next"] == ["pulse1d check mine.yaml", "pulse1d bench mine.yaml"]
    assert (tmp_path / "mine.yaml").exists()


@pytest.mark.parametrize("verb", ["bench", "check", "compare", "fit", "life", "pulse"])
@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("readings_log_tubular.yaml", "this is a file of bench readings, not a case"),
        ("study_details.yaml", "this is a study, not a case"),
        ("head.yaml", "this is a head file, not a case"),
    ],
)
def test_another_file_where_a_case_belongs_is_named(verb: str, name: str, what: str) -> None:
    more = [READINGS] if verb in ("compare", "fit") else []
    with pytest.raises(InputError) as caught:
        invoked(verb, LOG.with_name(name), *more)
    (problem,) = caught.value.problems
    assert problem.message == what
    assert problem.remedy.startswith("name a case; ")


@pytest.mark.parametrize(
    ("verb", "name", "what"),
    [
        ("reduce", "study_details.yaml", "this is a study, not bench readings"),
        ("reduce", "head.yaml", "this is a head file, not bench readings"),
        ("reduce", "log.yaml", "this is a case file, not bench readings"),
        ("sweep", "readings_log_tubular.yaml", "this is a file of bench readings, not a study"),
        ("search", "head.yaml", "this is a head file, not a study"),
        ("sweep", "log.yaml", "this is a case file, not a study"),
    ],
)
def test_another_file_where_readings_or_a_study_belong_is_named(
    verb: str, name: str, what: str
) -> None:
    with pytest.raises(InputError) as caught:
        invoked(verb, LOG.with_name(name))
    (problem,) = caught.value.problems
    assert problem.message == what


def test_a_table_is_no_case(tmp_path: Path) -> None:
    table = tmp_path / "tuesday.csv"
    table.write_text("order;part\n1;log\n", encoding="utf-8")
    with pytest.raises(InputError, match="this is a table, not a case"):
        invoked("bench", table)


def invoked(*arguments: object) -> None:
    """Run a verb in this process; what it raises comes through."""
    result = CliRunner().invoke(app, list(map(str, arguments)))
    if result.exception is not None:
        raise result.exception


def test_no_error_says_that_nothing_was_run_where_something_was(tmp_path: Path) -> None:
    shutil.copy(LOG, tmp_path)
    shutil.copy(LOG.with_name("head.yaml"), tmp_path)
    # a picture that is refused when the flows are printed already
    code = (
        "import sys, pulse1d.plots.bench as b; from pulse1d.errors import *\n"
        "def gone(*a): raise InputError([Problem('the folder is gone')])\n"
        "b.draw_bench = gone\n"
        "from pulse1d.cli.main import run; run()"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "bench", "log.yaml", "--samples", "0", "--plot", "a.png"],
        capture_output=True, text=True, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == 2
    assert "CFM" in done.stdout
    assert done.stderr.endswith("the folder is gone\n\n1 problem.\n")
    early = pulse1d("bench", LOG, "--ports", "9", "--samples", 0)
    assert early.stderr.endswith("1 problem; nothing was run.\n")
