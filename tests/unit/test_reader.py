"""Reading case files: plain data and lines out of good ones, clear errors out of all others."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.case import document, files, reader
from pulse1d.case.reader import Document, inside, read_text, read_yaml
from pulse1d.errors import InputError

GOOD = """\
# a case
format: 1
about: {title: two into one, yes: no}
ports:
  1: 38 mm
  2: 38 mm   # the other
runners:
  - port: 1
    pieces:
      - kind: bend
        radius: 60 mm
        angle: 90 deg
      - kind: straight
        length: 1.5e2 mm
  - port: 2
    pieces: []
"""
PATIENCE = 5.0
"""Longest time for any file that fuzzing makes [s]: they hold a few kB, read in milliseconds; the
rest is room for a busy machine."""


def write(folder: Path, text: str | bytes, name: str = "case.yaml") -> Path:
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def refusal(path: Path, **options) -> InputError:
    with pytest.raises(InputError) as caught:
        read_yaml(path, **options)
    assert all(problem.remedy for problem in caught.value.problems)
    assert all(str(path) in str(problem) for problem in caught.value.problems)
    return caught.value


def test_plain_data_and_marks(tmp_path):
    path = write(tmp_path, GOOD)
    found = read_yaml(path)
    assert found.data["about"] == {"title": "two into one", "yes": "no"}
    assert found.data["ports"] == {"1": "38 mm", "2": "38 mm"}
    assert found.data["runners"][0]["port"] == 1
    assert found.data["runners"][1]["pieces"] == []
    assert found.marks[()] == (path, 2)
    assert found.marks[("ports", "2")] == (path, 6)
    assert found.marks[("runners", 0, "pieces", 1)] == (path, 13)
    assert found.marks[("runners", 0, "pieces", 1, "length")] == (path, 14)
    assert found.text == GOOD == found.sources[path]


def test_the_nearest_mark_around_a_place(tmp_path):
    found = read_yaml(write(tmp_path, GOOD))
    assert found.mark(("runners", 0, "pieces", 0, "wall"))[1] == 10
    assert found.mark(("nowhere",))[1] == 2
    problem = found.problem(("ports", "2"), "too small", "make it larger")
    assert (problem.line, problem.text) == (6, "2: 38 mm   # the other")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("yes", "yes"),
        ("off", "off"),
        ("true", True),
        ("False", False),
        ("~", None),
        ("null", None),
        ("", None),
        ("38", 38),
        ("-0.5", -0.5),
        ("1e-3", 1e-3),
        ("010", 10),
        ("0x1F", 31),
        ("0o17", 15),
        ("1_000", "1_000"),
        ("12:30", "12:30"),
        ("2024-01-01", "2024-01-01"),
        (".nan", ".nan"),
        (".inf", ".inf"),
        ("38 mm", "38 mm"),
        ("'38'", "38"),
        ('"38"', "38"),
        ("!!str 38", "38"),
        ("!!float 38", 38),
        ("!!int 38", 38),
        ("! 38", "38"),
        ("&here 38", 38),
        ("|\n  two\n  lines", "two\nlines"),
    ],
)
def test_scalars_of_the_core_schema(tmp_path, text, value):
    found = read_yaml(write(tmp_path, f"a: {text}")).data["a"]
    assert found == value
    assert type(found) is type(value)


BROKEN = [
    ("a: 1\nb: [1, 2", 2, "before a list [ that opens here is closed", "b: [1, 2"),
    ("a: 1\nb: {c: 1", 2, "before a mapping { that opens here is closed", "b: {c: 1"),
    ("a: 1\nb: 'text\n", 2, "before a quoted text that opens here is closed", "b: 'text"),
    ("a: 1\nrunn", 2, "no colon", "runn"),
    ("a: 1\n b: 2", 2, "a colon where none can be", "b: 2"),
    ("a: b: c", 1, "a colon where none can be", "a: b: c"),
    ("a:\n\tb: 1", 2, "a tab", "b: 1"),
    ("a: @x", 1, "YAML keeps for itself", "a: @x"),
    ("a:\n - 1\n b: 2", 3, "does not line up with the list", "b: 2"),
    ("a: 'b' c", 1, "does not line up with the keys", "a: 'b' c"),
    ('a: "\\q"', 1, "wrong inside these quotes", 'a: "\\q"'),
    ('a: "\\UFFFFFFFF"', 1, "not YAML", 'a: "\\UFFFFFFFF"'),
    ("a: [1 2: 3\nb: 4", 2, "broken here", "b: 4"),
    ("a: }", 1, "not valid YAML", "a: }"),
    ("a: 1\n---\nb: 1", 2, "second document", "---"),
    ("- a\n- b", 1, "not a set of 'key: value' lines", "- a"),
    ("38 mm", 1, "not a set of 'key: value' lines", "38 mm"),
    ("\n# only this\n", 1, "only comments", ""),
    ("a: 1\na: 2", 2, "'a' stands twice, first on line 1", "a: 2"),
    ("p:\n  1: x\n  '1': y", 3, "'1' stands twice, first on line 2", "'1': y"),
    ("a: !!python/object/apply:os.system [x]", 1, "'!!python/object/apply:os.system'", "a: !!py"),
    ("a: !mine x", 1, "tag '!mine'", "a: !mine x"),
    ("a: !!int x", 1, "does not read as int", "a: !!int x"),
    ("a: &x [1]\nb: *x", 2, "alias", "b: *x"),
    ("? [a]\n: 1", 1, "key must be a word", "? [a]"),
    (": 1", 1, "key must be a word", ": 1"),
    ("a: 1e999", 1, "too long or too large", "a: 1e999"),
    ('a: "\\e[2J"', 1, "control character U+001B", 'a: "\\e[2J"'),
    ('a: "\\uD800"', 1, "control character U+D800", 'a: "\\uD800"'),
    ("a: 1\nb: \x00", 2, "control character U+0000", "b: ?"),
    ("%YAML 9.9\n---\na: 1", 1, "not valid YAML", "%YAML 9.9"),
]


@pytest.mark.parametrize(("text", "line", "message", "quoted"), BROKEN)
def test_broken_yaml(tmp_path, text, line, message, quoted):
    path = write(tmp_path, text)
    error = refusal(path)
    problem = error.problems[-1]
    assert problem.line == line
    assert message in problem.message
    assert problem.text.startswith(quoted)
    assert str(error).startswith(f"{path}:{error.problems[0].line}: ")


def test_cut_off_anywhere_is_read_or_refused(tmp_path):
    for end in range(len(GOOD)):
        found = answered(write(tmp_path, GOOD[:end]))
        assert found is None or isinstance(found.data, dict)


def test_several_mistakes_in_one_pass(tmp_path):
    text = "a: 1\na: 2\nb: !x 3\nc: *d\ne: 1e999\nc: *d\n"
    assert [problem.line for problem in refusal(write(tmp_path, text)).problems] == [2, 3, 4, 5, 6]


def test_deferred_mistakes_travel_with_the_document(tmp_path):
    found = read_yaml(write(tmp_path, "a: 1\na: 2\nb: !x 3\n"), defer=True)
    assert found.data == {"a": 1, "b": "3"}
    assert [problem.line for problem in found.problems] == [2, 3]


def test_a_repeated_key_keeps_the_first_value_whole(tmp_path):
    found = read_yaml(write(tmp_path, "a: {b: 1}\na: {b: 2, c: [3]}\n"), defer=True)
    assert found.data == {"a": {"b": 1}}
    assert ("a", "c") not in found.marks


def bomb(levels: int = 40) -> str:
    lines = ["a0: &a0 [x, x]"]
    lines += [f"a{i}: &a{i} [*a{i - 1}, *a{i - 1}]" for i in range(1, levels)]
    return "\n".join(lines)


def test_a_bomb_of_aliases_is_one_error(tmp_path):
    (problem,) = refusal(write(tmp_path, bomb())).problems
    assert problem.line == 2
    assert "alias" in problem.message


@pytest.mark.parametrize("text", ["[" * 50_000, "a: " + "[" * 50_000, "- " * 50_000])
def test_a_bomb_of_depth_is_one_error(tmp_path, text):
    (problem,) = refusal(write(tmp_path, text)).problems
    assert f"more than {reader.MAX_DEPTH} levels" in problem.message


def test_depth_at_the_limit_is_read(tmp_path):
    deep = reader.MAX_DEPTH - 1
    assert read_yaml(write(tmp_path, "a: " + "[" * deep + "]" * deep)).data


def test_a_bomb_of_nodes_is_one_error(tmp_path, monkeypatch):
    monkeypatch.setattr(reader, "MAX_NODES", 1000)
    (problem,) = refusal(write(tmp_path, "a: [" + "1, " * 1000 + "1]")).problems
    assert "more than 1000 keys and values" in problem.message


def test_one_slip_made_many_times_is_cut_short(tmp_path):
    problems = refusal(write(tmp_path, "a: 1\n" * 5000)).problems
    assert len(problems) == document.MAX_PROBLEMS + 1
    assert "mistakes up to here" in problems[-1].message


def test_too_large(tmp_path):
    (problem,) = refusal(write(tmp_path, "#" * (files.MAX_BYTES + 1))).problems
    assert str(files.MAX_BYTES) in problem.message
    assert "right file" in problem.remedy


def test_not_utf8(tmp_path):
    path = write(tmp_path, b"a: 1\nb: 38\xb0C\n")
    (problem,) = refusal(path).problems
    assert (problem.line, problem.text) == (2, "b: 38\\xb0C")
    assert "0xB0 is not UTF-8" in problem.message
    assert "save the file as UTF-8" in problem.remedy


def test_utf16_and_byte_order_mark(tmp_path):
    assert "UTF-16" in str(refusal(write(tmp_path, "a: 1".encode("utf-16"))))
    assert read_yaml(write(tmp_path, "\ufeffa: 1")).data == {"a": 1}


@pytest.mark.parametrize("text", ["", " \n\n"])
def test_empty(tmp_path, text):
    assert "empty" in str(refusal(write(tmp_path, text)))


def test_lines_ended_by_any_system(tmp_path):
    for end in ("\n", "\r\n", "\r"):
        error = refusal(write(tmp_path, end.join(["a: 1", "b: 2", "b: 3"])))
        assert (error.problems[0].line, error.problems[0].text) == (3, "b: 3")


def test_a_file_that_is_not_there_offers_the_nearest(tmp_path):
    write(tmp_path, GOOD, "manifold-a.yaml")
    assert "'manifold-a.yaml'" in str(refusal(tmp_path / "manifold_a.yml"))
    assert "manifold-a.yaml" in str(refusal(tmp_path / "x.yaml"))
    assert "not there either" in str(refusal(tmp_path / "no" / "x.yaml"))


def test_a_folder_and_a_device(tmp_path):
    write(tmp_path, GOOD, "case.yaml")
    assert "this is a folder" in str(refusal(tmp_path))
    assert "not a plain file" in str(refusal(Path("/dev/null")))


def test_a_file_that_may_not_be_read(tmp_path, monkeypatch):
    def denied(self, *_):
        raise PermissionError(13, "Permission denied", str(self))

    path = write(tmp_path, GOOD)
    monkeypatch.setattr(Path, "open", denied)
    assert "permission denied" in str(refusal(path))


@pytest.mark.parametrize("name", ["x" * 5000, "a\x00b", "\udcff.yaml"])
def test_names_that_no_file_can_have(tmp_path, name):
    with pytest.raises(InputError) as caught:
        read_yaml(tmp_path / name)
    str(caught.value).encode()


def test_outside_its_root(tmp_path):
    (tmp_path / "in").mkdir()
    path = write(tmp_path, GOOD)
    assert "outside" in str(refusal(path, root=tmp_path / "in"))
    assert read_yaml(path, root=tmp_path).data


def test_inside_finds_files_beside_and_below(tmp_path):
    base = write(tmp_path, GOOD)
    (tmp_path / "tables").mkdir()
    write(tmp_path / "tables", "1", "lift.csv")
    assert inside(tmp_path, base, "tables/lift.csv") == tmp_path / "tables" / "lift.csv"
    assert inside(tmp_path, base, "./tables/../case.yaml") == base
    below = write(tmp_path / "tables", GOOD, "sub.yaml")
    assert inside(tmp_path, below, "../case.yaml") == base


@pytest.mark.parametrize(
    ("name", "message", "remedy"),
    [
        ("/etc/hostname", "absolute path", "copy it"),
        ("C:\\x.csv", "absolute path", "copy it"),
        ("C:x.csv", "absolute path", "copy it"),
        ("..\\x.csv", "backslash", "write /"),
        ("../outside.yaml", "outside the folder", "copy it"),
        ("tables/../../outside.yaml", "outside the folder", "copy it"),
        ("link.yaml", "outside the folder", "copy it"),
        ("ring.yaml", "", ""),
        ("casr.yaml", "not there", "did you mean 'case.yaml'?"),
        ("tables", "not a plain file", "name a file"),
        ("", "empty", "name a file"),
        ("a\x00b", "control characters", "rename"),
        ("x" * 5000, "", ""),
    ],
)
def test_inside_refuses(tmp_path, name, message, remedy):
    root = tmp_path / "root"
    (root / "tables").mkdir(parents=True)
    base = write(root, GOOD)
    write(tmp_path, GOOD, "outside.yaml")
    (root / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    (root / "ring.yaml").symlink_to(root / "ring.yaml")
    with pytest.raises(InputError) as caught:
        inside(root, base, name, line=7)
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == (str(base), 7)
    assert message in problem.message
    assert remedy in problem.remedy
    assert problem.text == name[: document.SHOWN]


def test_reading_three_hundred_lines_is_quick(tmp_path):
    piece = "  - kind: bend\n    radius: 60 mm\n    angle: 90 deg  # tight\n    name: '{}'\n"
    path = write(tmp_path, "pieces:\n" + "".join(piece.format(i) for i in range(75)))
    read_yaml(path)
    spent = []
    for _ in range(5):
        start = time.process_time()
        read_yaml(path)
        spent.append(time.process_time() - start)
    # The budget of a case in the tenth of a second that feels instant; 20 ms are usual.
    assert min(spent) < 0.040


def answered(path: Path) -> Document | None:
    """Whatever the file: a document or an InputError that can be printed, soon."""
    start = time.process_time()
    found, told = None, "read"
    try:
        found = read_yaml(path)
    except InputError as error:
        told = str(error)
    assert told.encode()
    assert time.process_time() - start < PATIENCE
    return found


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("fuzz")


@settings(max_examples=150, deadline=None)  # a time limit of its own stands above
@given(raw=st.binary(max_size=300))
def test_any_bytes(folder, raw):
    answered(write(folder, raw))


@settings(max_examples=150, deadline=None)
@given(text=st.text(alphabet=":-?,[]{}#&*!|>'\"%@` \n\tab1.~\\e", max_size=200))
def test_any_text_of_yaml_signs(folder, text):
    found = answered(write(folder, text))
    if found is not None:
        assert all(found.marks[place][1] >= 1 for place in found.marks)


@settings(max_examples=200, deadline=None)
@given(data=st.data())
def test_any_slip_in_a_good_case(folder, data):
    text = GOOD
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        gone = data.draw(st.integers(0, 6))
        put = data.draw(st.text(alphabet=":-[]{}#&*!'\" \n\tx1~", max_size=4))
        text = text[:at] + put + text[at + gone :]
    answered(write(folder, text))


def test_read_text_serves_other_files(tmp_path):
    assert read_text(write(tmp_path, "lift,flow\n1,2\n", "t.csv")) == "lift,flow\n1,2\n"


@pytest.mark.parametrize(
    ("asked", "remedy"),
    [
        ("nothere.yaml", "its folder holds case.yaml, haed.yaml, part.yaml"),
        ("cse.yaml", "did you mean 'case.yaml'?"),
        ("cse.csv", "its folder holds table.csv"),
        ("prat.yml", "did you mean 'part.yaml'?"),
        ("heda.yaml", "its folder holds "),
        ("pipe.yaml", "its folder holds "),
    ],
)
def test_a_missing_file_is_not_mistaken_for_any_other(tmp_path, asked, remedy):
    for name in ("case.yaml", "part.yaml"):
        write(tmp_path, GOOD, name)
    write(tmp_path, "# of the demo engine\nformat: pulse1d head 1\nports: []\n", "haed.yaml")
    write(tmp_path, "1", "table.csv")
    if asked == "pipe.yaml":
        os.mkfifo(tmp_path / "pip.yaml")  # opening it would wait for ever
        remedy = "did you mean 'pip.yaml'?"
    (problem,) = refusal(tmp_path / asked).problems
    assert problem.remedy.startswith(remedy)
