"""A file that names another reaches nothing outside its folder tree, whatever key or name."""

from __future__ import annotations

import ast
import os
from collections.abc import Callable
from json import dumps
from pathlib import Path

import pytest

import pulse1d
from pulse1d.errors import InputError
from tests.hardening.places import PLACES, Place

SECRET = "hidden-words-of-another"
EVERY = pytest.mark.parametrize("place", PLACES, ids=lambda place: place.key)


def opened(folder: Path, place: Place, name: str) -> object:
    """Load the naming file, put into a folder below the one given."""
    root = folder / "root"
    root.mkdir(exist_ok=True)
    path = root / "mine.yaml"
    path.write_text(place.text.replace("NAMED", dumps(name)), encoding="utf-8")
    return place.load(path)


@EVERY
def test_a_file_beside_and_one_below_are_read(tmp_path: Path, place: Place) -> None:
    (tmp_path / "root" / "below").mkdir(parents=True)
    for name in (f"other{place.suffix}", f"below/other{place.suffix}"):
        (tmp_path / "root" / name).write_text(place.content, encoding="utf-8")
        assert opened(tmp_path, place, name)


def _outside(folder: Path, place: Place) -> str:
    return f"../outside{place.suffix}"


def _around(folder: Path, place: Place) -> str:
    return f"below/../../outside{place.suffix}"


def _absolute(folder: Path, place: Place) -> str:
    return str(folder / f"outside{place.suffix}")


def _link(folder: Path, place: Place) -> str:
    (folder / "root" / f"link{place.suffix}").symlink_to(folder / f"outside{place.suffix}")
    return f"link{place.suffix}"


def _linked_folder(folder: Path, place: Place) -> str:
    (folder / "root" / "linked").symlink_to(folder)
    return f"linked/outside{place.suffix}"


def _ring(folder: Path, place: Place) -> str:
    ring = folder / "root" / f"ring{place.suffix}"
    ring.symlink_to(ring)
    return ring.name


def _drive(folder: Path, place: Place) -> str:
    return f"C:\\outside{place.suffix}"


def _drive_relative(folder: Path, place: Place) -> str:
    return f"C:outside{place.suffix}"


def _share(folder: Path, place: Place) -> str:
    return f"\\\\host\\share\\outside{place.suffix}"


def _backslash(folder: Path, place: Place) -> str:
    return f"..\\outside{place.suffix}"


def _zero(folder: Path, place: Place) -> str:
    return f"other\x00{place.suffix}"


def _home(folder: Path, place: Place) -> str:
    return f"~/outside{place.suffix}"


def _address(folder: Path, place: Place) -> str:
    return f"file://{folder}/outside{place.suffix}"


def _device(folder: Path, place: Place) -> str:
    (folder / "root" / f"zero{place.suffix}").symlink_to("/dev/zero")
    return f"zero{place.suffix}"


def _pipe(folder: Path, place: Place) -> str:
    os.mkfifo(folder / "root" / f"pipe{place.suffix}")
    return f"pipe{place.suffix}"


def _folder(folder: Path, place: Place) -> str:
    (folder / "root" / f"folder{place.suffix}").mkdir()
    return f"folder{place.suffix}"


def _long(folder: Path, place: Place) -> str:
    return "x" * 5000 + place.suffix


def _blank(folder: Path, place: Place) -> str:
    return f"  {place.suffix}"


def _itself(folder: Path, place: Place) -> str:
    return "mine.yaml"


ESCAPES = (
    _outside, _around, _absolute, _link, _linked_folder, _ring, _drive, _drive_relative, _share,
    _backslash, _zero, _home, _address, _device, _pipe, _folder, _long, _blank, _itself,
)  # fmt: skip


@EVERY
@pytest.mark.parametrize("escape", ESCAPES, ids=lambda escape: escape.__name__.strip("_"))
def test_no_name_leads_out(
    tmp_path: Path, place: Place, escape: Callable[[Path, Place], str]
) -> None:
    """The file outside is sound, so only its place can be what is refused."""
    (tmp_path / "root" / "below").mkdir(parents=True)
    outside = tmp_path / f"outside{place.suffix}"
    outside.write_text(f"{place.content}# {SECRET}\n" if place.suffix == ".yaml" else place.content)
    with pytest.raises(InputError) as caught:
        opened(tmp_path, place, escape(tmp_path, place))
    told = caught.value.problems
    assert all(problem.line and problem.remedy for problem in told)
    assert any("mine.yaml" in problem.file for problem in told)
    assert SECRET not in str(caught.value)


def test_a_base_below_may_name_files_of_the_tree_and_none_outside(tmp_path: Path) -> None:
    head = next(place for place in PLACES if place.key == "head")
    below = tmp_path / "root" / "below"
    below.mkdir(parents=True)
    (tmp_path / "root" / "head.yaml").write_text(head.content)
    (tmp_path / "head.yaml").write_text(head.content)
    mine = tmp_path / "root" / "mine.yaml"
    mine.write_text("format: pulse1d case 1\nbased on: below/base.yaml\n")
    (below / "base.yaml").write_text(head.text.replace("NAMED", "../head.yaml"))
    assert pulse1d.load(mine).network.port_names == ("1",)
    (below / "base.yaml").write_text(head.text.replace("NAMED", "../../head.yaml"))
    with pytest.raises(InputError, match="outside the folder"):
        pulse1d.load(mine)


RUNS = {"eval", "exec", "compile", "__import__", "os.system", "os.popen", "os.execv"}
SHELLS = {"subprocess", "marshal", "shelve", "dill", "cloudpickle", "pty"}


def test_nothing_that_is_read_is_run() -> None:
    """No evaluation of text, no other programs; pickles only pass between a study's processes."""
    for path in Path(pulse1d.__file__).parent.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                assert ast.unparse(node.func) not in RUNS, f"{path}:{node.lineno}"
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for name in names:
                assert name.partition(".")[0] not in SHELLS, f"{path} imports {name}"
                assert name != "pickle" or path.name == "work.py", f"{path} imports {name}"


@pytest.mark.parametrize(
    "text",
    [
        "!!python/object/apply:os.system ['touch MARK']",
        "!!python/name:os.system",
        "!!python/object/new:os.system [touch MARK]",
        "!!python/module:os",
        "1 __import__('os').system('touch MARK')",
        "1 mm**(().__class__.__base__.__subclasses__())",
        "{{ 7*7 }}",
        "${HOME}",
        "$(touch MARK)",
        "`touch MARK`",
    ],
)
@pytest.mark.parametrize("key", ["bore", "length", "name", "head"])
def test_text_stays_text(tmp_path: Path, text: str, key: str) -> None:
    mark = tmp_path / "mark"
    text = text.replace("MARK", str(mark))
    case = PLACES[0].content
    whole = {
        "bore": case.replace("bore: 36 mm", f"bore: {text}"),
        "length": case.replace("60 mm", text if text.startswith("!") else dumps(text)),
        "name": case.replace("about: {name: a}", f"about: {{name: {text}}}"),
        "head": f"format: pulse1d case 1\nhead: {text}\n",
    }[key]
    path = tmp_path / "case.yaml"
    path.write_text(whole)
    try:
        name = pulse1d.load(path).name
    except InputError:
        name = text
    assert name == text  # an own name is kept as written
    assert not mark.exists()
