"""``pulse1d new --study``: what is written loads, around the starter case or one's own."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from pulse1d.cli.new import new as command
from pulse1d.errors import InputError
from pulse1d.study.load import load_study
from pulse1d.study.plan import chosen

CASES = Path(__file__).parents[2] / "cases"


def new(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """`pulse1d new` as a user runs it."""
    return subprocess.run(
        [sys.executable, "-m", "pulse1d", "new", *arguments],
        capture_output=True, text=True, cwd=folder, check=False,
    )  # fmt: skip


def write(path: Path, **options: Any) -> None:
    """The same without a process of its own."""
    command(path, **({"layout": "tubular", "base": None} | options))


def test_the_starter_study_goes_with_the_starter_case(tmp_path: Path) -> None:
    assert new(tmp_path).returncode == 0
    made = new(tmp_path, "--study")
    assert made.returncode == 0
    assert "next: pulse1d sweep study.yaml" in made.stdout
    kept = chosen(load_study(tmp_path / "study.yaml"))
    assert len(kept.points) == 36
    assert list(kept.left_out.values()) == [9]
    again = new(tmp_path, "--study")
    assert again.returncode == 2
    assert "exists already" in again.stderr


@pytest.mark.parametrize("name", ["tubular", "log"])
def test_a_study_around_an_own_case_loads_and_lists_what_can_be_varied(
    tmp_path: Path, name: str
) -> None:
    for file in ("head.yaml", f"{name}.yaml"):
        shutil.copy(CASES / "pump" / file, tmp_path)
    write(tmp_path / "mine.yaml", study=True, base=tmp_path / f"{name}.yaml")
    study = load_study(tmp_path / "mine.yaml")
    assert study.spec.base == f"{name}.yaml"
    assert len(chosen(study).points) == 9
    text = (tmp_path / "mine.yaml").read_text(encoding="utf-8")
    assert "#   runners/*/straight 2/length: " in text
    assert max(map(len, text.splitlines())) <= 100


def test_the_schema_of_a_study(tmp_path: Path) -> None:
    write(tmp_path / "s.json", study=True, schema=True)
    schema = json.loads((tmp_path / "s.json").read_text(encoding="utf-8"))
    assert "parameters" in schema["properties"]


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"study": True, "readings": True}, "--readings and --study: choose one"),
        ({"base": "own.yaml"}, "--base: only a study has one"),
        ({"study": True, "base": "other.yaml"}, "the file is not there"),
        ({"path": "sub/s.yaml", "study": True, "base": "own.yaml"}, "lies outside the folder"),
    ],
)
def test_what_cannot_be_written(tmp_path: Path, options: dict[str, Any], message: str) -> None:
    (tmp_path / "sub").mkdir()
    page = (CASES.parent / "pulse1d" / "CASE_FILE.md").read_text(encoding="utf-8")
    (tmp_path / "own.yaml").write_text(page.split("```yaml\n")[1].split("```")[0], encoding="utf-8")
    if "base" in options:
        options = options | {"base": tmp_path / options["base"]}
    with pytest.raises(InputError, match=message):
        write(tmp_path / options.pop("path", "s.yaml"), **options)
    assert not list(tmp_path.rglob("s.yaml"))


def test_the_study_is_named_after_its_case_once(tmp_path: Path) -> None:
    shutil.copytree(CASES / "pump", tmp_path / "pump", ignore=shutil.ignore_patterns("*.results"))
    path = tmp_path / "pump" / "mine.yaml"
    write(path, study=True, base=tmp_path / "pump" / "log.yaml")
    assert "  name: study of pump log\n" in path.read_text(encoding="utf-8")
