"""Completion in bash, zsh and fish: of verbs, options, and values where there are few."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

WORDS = [
    ("pulse1d ben", "bench", "life"),
    ("pulse1d bench --dep", "--depression", "--direction"),
    ("pulse1d bench --direction ", "sucked", "cast"),
    ("pulse1d new --layout ", "tubular", "blown"),
    ("pulse1d explain wel", "weld-bead", "bend"),
]


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A PATH on which pulse1d is this checkout's."""
    folder = tmp_path_factory.mktemp("bin")
    program = folder / "pulse1d"
    program.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m pulse1d "$@"\n')
    program.chmod(0o755)
    return f"{folder}{os.pathsep}{os.environ['PATH']}"


def script(shell: str, path: str, folder: Path) -> Path:
    """The completion script as pulse1d prints it."""
    environment = {**os.environ, "PATH": path, "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    done = subprocess.run(
        ["pulse1d", "--show-completion", shell],
        capture_output=True, text=True, env=environment, check=True,
    )  # fmt: skip
    file = folder / f"pulse1d.{shell}"
    file.write_text(done.stdout, encoding="utf-8")
    return file


def run(command: list[str], path: str) -> str:
    done = subprocess.run(
        command, capture_output=True, text=True, env={**os.environ, "PATH": path}, check=True
    )
    return done.stdout


@pytest.mark.parametrize(("typed", "offered", "other"), WORDS)
def test_bash(typed: str, offered: str, other: str, path: str, tmp_path: Path) -> None:
    file = script("bash", path, tmp_path)
    words = typed.split()
    if typed.endswith(" "):
        words.append("")
    listed = " ".join(shlex.quote(word) for word in words)
    code = (
        f"source {file}; COMP_WORDS=({listed}); COMP_CWORD={len(words) - 1}; "
        "_pulse1d_completion pulse1d; printf '%s\\n' \"${COMPREPLY[@]}\""
    )
    found = run(["bash", "-c", code], path).split("\n")
    assert offered in found
    assert other not in found


@pytest.mark.parametrize(("typed", "offered", "other"), WORDS)
def test_zsh_is_told(typed: str, offered: str, other: str, path: str) -> None:
    """What the zsh script evaluates."""
    environment = {
        **os.environ, "PATH": path, "_PULSE1D_COMPLETE": "complete_zsh",
        "_TYPER_COMPLETE_ARGS": typed,
    }  # fmt: skip
    done = subprocess.run(["pulse1d"], capture_output=True, text=True, env=environment, check=True)
    assert f'"{offered}"' in done.stdout
    assert f'"{other}"' not in done.stdout


@pytest.mark.skipif(shutil.which("zsh") is None, reason="no zsh on this machine")
def test_zsh_takes_the_script(path: str, tmp_path: Path) -> None:
    file = script("zsh", path, tmp_path)
    code = f"autoload -Uz compinit; compinit -u -D; source {file}; print $_comps[pulse1d]"
    assert run(["zsh", "-f", "-c", code], path).strip() == "_pulse1d_completion"


@pytest.mark.skipif(shutil.which("fish") is None, reason="no fish on this machine")
@pytest.mark.parametrize(("typed", "offered", "other"), WORDS)
def test_fish(typed: str, offered: str, other: str, path: str, tmp_path: Path) -> None:
    file = script("fish", path, tmp_path)
    code = f"source {file}; complete -C {shlex.quote(typed)}"
    found = [
        line.split("\t")[0] for line in run(["fish", "--no-config", "-c", code], path).split("\n")
    ]
    assert offered in found
    assert other not in found


def test_the_scripts_differ_by_shell(path: str, tmp_path: Path) -> None:
    texts = {script(shell, path, tmp_path).read_text() for shell in ("bash", "zsh", "fish")}
    assert len(texts) == 3
