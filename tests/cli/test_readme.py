"""README and tutorial show what the tool prints, and the Python examples give what they say."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
TUTORIAL = (ROOT / "cases" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```console\n\$ pulse1d ([^\n]*)\n(.*?)```", TEXT + TUTORIAL, flags=re.S)
NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")


def same(shown: str, printed: str) -> bool:
    """Same words, and numbers within 2 %: quantiles move in their last digits between machines."""
    if NUMBER.sub("#", shown) != NUMBER.sub("#", printed):
        return False
    pairs = zip(NUMBER.findall(shown), NUMBER.findall(printed), strict=True)
    return all(float(a) == pytest.approx(float(b), rel=0.02, abs=1.01) for a, b in pairs)


@pytest.mark.parametrize(("command", "shown"), BLOCKS, ids=[command for command, _ in BLOCKS])
def test_shown_output_is_real(command: str, shown: str) -> None:
    result = subprocess.run(
        [sys.executable, "-m", "pulse1d", *shlex.split(command)],
        capture_output=True, text=True, cwd=ROOT,
    )  # fmt: skip
    assert result.returncode == 0, result.stderr
    printed = [" ".join(line.split()) for line in result.stdout.splitlines()]
    for line in shown.splitlines():
        wanted = " ".join(line.split())
        if wanted and wanted != "...":
            assert any(same(wanted, line) for line in printed), f"no longer printed: {line}"


def test_loss_examples_give_what_they_say() -> None:
    block = TEXT.split("from pulse1d.losses import")[1].split("```")[0]
    lines = re.findall(r"^(\w+\(.*\))\s+# ([\d.]+)", block, flags=re.M)
    assert len(lines) == 4
    space: dict[str, object] = {}
    exec("from math import radians\nfrom pulse1d.losses import *", space)
    from pulse1d import losses

    for name in ("K_bend", "K_entry", "K_single", "f_churchill"):
        space[name] = getattr(losses, name)
    for call, value in lines:
        # shown to three digits
        assert eval(call, space) == pytest.approx(float(value), rel=2e-3)


@pytest.mark.parametrize("page", ["README.md", "cases/README.md"])
def test_pictures_and_files_named_are_there(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    pictures = re.findall(r"!\[(.*?)\]\((.*?)\)", text)
    assert len(pictures) >= 2
    for meaning, picture in pictures:
        assert (ROOT / page).parent.joinpath(picture).is_file(), picture
        assert len(meaning) > 20  # told to who cannot see it
    for named in re.findall(r"`((?:cases|pulse1d)/[\w./]+\.\w+)`", text):
        assert (ROOT / named).is_file(), named
