"""Designs that state only what differs from another."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.case import derive
from pulse1d.case.derive import load_derived
from pulse1d.case.reader import validate
from pulse1d.errors import InputError, Problem
from pulse1d.spec import PositiveLength, Spec

BASE = """\
format: 1
title: base
gas:
  kind: burned
  fuel: petrol
  lambda: 1.0
bench: {adapter: plain, end: port}
speeds: [1000, 2000]
runners:
  - port: 1
    name: left
    pieces:
      - {name: entry, kind: straight, length: 20 mm}
      - {kind: bend, radius: 60 mm}
      - {name: tail, kind: straight, length: 90 mm}
  - port: 2
    pieces:
      - {kind: bend, radius: 60 mm}
trunks:
  - {from: A, to: outlet, length: 1 m}
  - {from: B, to: {joint: A, angle: 15 deg}, length: 2 m}
"""


def write(folder: Path, text: str, name: str = "new.yaml") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def derived(folder: Path, text: str, base: str = BASE):
    write(folder, base, "base.yaml")
    return load_derived(write(folder, "based on: base.yaml\n" + text))


def refused(folder: Path, text: str, base: str = BASE) -> list[Problem]:
    with pytest.raises(InputError) as caught:
        derived(folder, text, base)
    assert all(problem.remedy for problem in caught.value.problems)
    return caught.value.problems


def test_a_file_without_a_base(tmp_path):
    assert load_derived(write(tmp_path, BASE)).data["title"] == "base"


def test_keys_are_merged_and_the_rest_stays(tmp_path):
    found = derived(tmp_path, "title: new\nbench: {end: outlet}\nextra: {a: ~}\n")
    assert found.data["title"] == "new"
    assert found.data["bench"] == {"adapter": "plain", "end": "outlet"}
    assert found.data["gas"] == {"kind": "burned", "fuel": "petrol", "lambda": 1.0}
    assert found.data["extra"] == {"a": None}
    assert "based on" not in found.data
    assert found.text.startswith("based on")
    assert found.sources.keys() == {tmp_path / "base.yaml", tmp_path / "new.yaml"}


def test_marks_follow_their_origin(tmp_path):
    found = derived(tmp_path, "title: new\nrunners:\n  - port: 2\n    lift: 9 mm\n")
    base, new = tmp_path / "base.yaml", tmp_path / "new.yaml"
    assert found.marks[("title",)] == (new, 2)
    assert found.marks[("gas", "fuel")] == (base, 5)
    assert found.marks[("runners", 0, "pieces", 2, "length")] == (base, 15)
    assert found.marks[("runners", 1, "pieces", 0)] == (base, 18)
    assert found.marks[("runners", 1, "lift")] == (new, 5)
    assert found.marks[("runners", 1)] == (new, 4)
    assert found.problem(("gas", "fuel"), "x").text == "fuel: petrol"


def test_a_key_is_taken_away(tmp_path):
    found = derived(tmp_path, "bench: ~\ngas: {fuel: ~}\n")
    assert "bench" not in found.data
    assert found.data["gas"] == {"kind": "burned", "lambda": 1.0}


def test_another_kind_replaces_a_mapping_whole(tmp_path):
    found = derived(tmp_path, "gas: {kind: air, humidity: 50 %, fuel: ~}\n")
    assert found.data["gas"] == {"kind": "air", "humidity": "50 %"}
    found = derived(tmp_path, "s: {shape: oval, w: 2}\n", "s: {shape: round, d: 1}\n")
    assert found.data["s"] == {"shape": "oval", "w": 2}
    found = derived(tmp_path, "gas: {kind: burned, fuel: diesel}\n")
    assert found.data["gas"] == {"kind": "burned", "fuel": "diesel", "lambda": 1.0}


def test_plain_lists_are_replaced_whole(tmp_path):
    assert derived(tmp_path, "speeds: [500]\n").data["speeds"] == [500]
    assert derived(tmp_path, "speeds: 500\n").data["speeds"] == 500
    assert derived(tmp_path, "runners: []\n").data["runners"] == []
    assert derived(tmp_path, "runners: [{lift: 1 mm}]\n").data["runners"] == [{"lift": "1 mm"}]


def test_items_are_merged_by_port_name_and_ends(tmp_path):
    found = derived(
        tmp_path,
        """\
runners:
  - {port: "2", lift: 1 mm}
  - {name: left, lift: 2 mm}
  - {port: 3, lift: 3 mm}
trunks:
  - {from: B, to: A, length: 3 m}
""",
    )
    assert [item.get("lift") for item in found.data["runners"]] == ["2 mm", "1 mm", "3 mm"]
    assert len(found.data["runners"][0]["pieces"]) == 3
    assert [item["length"] for item in found.data["trunks"]] == ["1 m", "3 m"]


def test_items_are_taken_out(tmp_path):
    text = "runners:\n  - {port: 1, remove: true}\n  - {port: 2, remove: false}\n"
    found = derived(tmp_path, text)
    assert [item["port"] for item in found.data["runners"]] == [2]
    assert "remove" not in found.data["runners"][0]
    assert found.marks[("runners", 0, "pieces", 0)] == (tmp_path / "base.yaml", 18)


def pieces(folder: Path, text: str) -> list[dict]:
    return derived(folder, f"runners:\n  - port: 1\n    pieces: {text}\n").data["runners"][0][
        "pieces"
    ]


def test_pieces_are_merged_by_name_when_all_are_known(tmp_path):
    found = pieces(tmp_path, "[{name: tail, length: 1 m}, {name: entry, remove: true}]")
    assert found == [
        {"kind": "bend", "radius": "60 mm"},
        {"name": "tail", "kind": "straight", "length": "1 m"},
    ]


def test_pieces_are_replaced_whole_when_one_is_new(tmp_path):
    assert pieces(tmp_path, "[{name: tail, length: 1 m}, {name: new}]") == [
        {"name": "tail", "length": "1 m"},
        {"name": "new"},
    ]
    assert pieces(tmp_path, "[{kind: bend}]") == [{"kind": "bend"}]


def test_a_chain_of_bases_in_folders(tmp_path):
    write(tmp_path, "a: 1\nb: 1\nc: 1\n", "families/first.yaml")
    write(tmp_path, "based on: first.yaml\nb: 2\nc: 2\n", "families/second.yaml")
    path = write(tmp_path, "based on: families/second.yaml\nc: 3\n")
    found = load_derived(path)
    assert found.data == {"a": 1, "b": 2, "c": 3}
    assert found.marks[("a",)] == (tmp_path / "families" / "first.yaml", 1)


def test_a_base_beside_the_folder_needs_a_wider_root(tmp_path):
    write(tmp_path, "a: 1\n", "first.yaml")
    path = write(tmp_path, "based on: ../first.yaml\n", "variants/new.yaml")
    with pytest.raises(InputError, match="outside the folder of the case"):
        load_derived(path)
    found = load_derived(path, tmp_path)
    assert found.data == {"a": 1}
    assert found.marks[("a",)] == (tmp_path / "first.yaml", 1)


@pytest.mark.parametrize(
    ("text", "line", "message", "remedy"),
    [
        ("benhc: ~\n", 2, "no 'benhc' to take away", "did you mean 'bench'?"),
        ("gas: {speed: ~}\n", 2, "no 'speed' to take away", "kind, fuel, lambda"),
        ("runners:\n  - {port: 7, remove: true}\n", 3, "no port 7 to take away", "did you mean"),
        (
            "runners:\n  - {name: lft, remove: true}\n",
            3,
            "no name lft",
            "did you mean 'name left'?",
        ),
        ("runners:\n  - {port: 1, remove: yes}\n", 3, "true or false", "remove: true"),
        ("runners:\n  - {port: 1, remove: true, lift: 1 m}\n", 3, "yet changed", "delete lift"),
        ("runners:\n  - port: 1\n  - port: 1\n", 4, "port 1 stands twice", "one item"),
        ("speeds:\n  - {name: x, remove: true}\n", 3, "replaces the base's list whole", "leave"),
        (
            "new:\n  - {a: [{name: x, remove: true}]}\n",
            3,
            "replaces the base's list whole",
            "leave",
        ),
        ("title: 1\ntitle: 2\n", 3, "'title' stands twice", "keep one"),
    ],
)
def test_slips_in_what_is_changed(tmp_path, text, line, message, remedy):
    (problem,) = refused(tmp_path, text)
    assert (problem.file, problem.line) == (str(tmp_path / "new.yaml"), line)
    assert message in problem.message
    assert remedy in problem.remedy
    assert problem.text == ("based on: base.yaml\n" + text).splitlines()[line - 1].strip()


def test_two_of_one_name_in_the_base(tmp_path):
    base = "p: [{name: a}, {name: a}]\n"
    (problem,) = refused(tmp_path, "p: [{name: a, x: 1}]\n", base)
    assert "2 items with name a" in problem.message


@pytest.mark.parametrize(
    ("name", "message", "remedy"),
    [
        ("bas.yaml", "'bas.yaml' is not there", "did you mean 'base.yaml'?"),
        ("../base.yaml", "outside the folder", "copy it"),
        ("/base.yaml", "absolute path", "copy it"),
        (".", "not a plain file", "name a file"),
        ("~", "must name a file", "beside this one"),
        ("[a]", "must name a file", "beside this one"),
        ("new.yaml", "based on each other: ", "stand alone"),
    ],
)
def test_a_base_that_cannot_be(tmp_path, name, message, remedy):
    write(tmp_path, BASE, "base.yaml")
    path = write(tmp_path, f"title: 1\nbased on: {name}\n")
    with pytest.raises(InputError) as caught:
        load_derived(path)
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == (str(path), 2)
    assert problem.text == f"based on: {name}"
    assert message in problem.message
    assert remedy in problem.remedy


def test_bases_in_a_ring_name_the_chain(tmp_path):
    write(tmp_path, "based on: b.yaml\n", "a.yaml")
    write(tmp_path, "based on: c.yaml\n", "b.yaml")
    write(tmp_path, "based on: a.yaml\n", "c.yaml")
    with pytest.raises(InputError) as caught:
        load_derived(tmp_path / "a.yaml")
    (problem,) = caught.value.problems
    assert problem.file == str(tmp_path / "c.yaml")
    steps = [Path(step).name for step in problem.message.split(": ")[1].split(" -> ")]
    assert steps == ["a.yaml", "b.yaml", "c.yaml", "a.yaml"]


def test_the_longest_chain_and_one_more(tmp_path):
    last = derive.MAX_CHAIN
    write(tmp_path, "a: 1\n", "0.yaml")
    for i in range(1, last + 1):
        write(tmp_path, f"based on: {i - 1}.yaml\n", f"{i}.yaml")
    assert load_derived(tmp_path / f"{last - 1}.yaml").data == {"a": 1}
    with pytest.raises(InputError, match=f"more than {last} files"):
        load_derived(tmp_path / f"{last}.yaml")


def test_mistakes_of_both_files_in_one_pass(tmp_path):
    found = refused(tmp_path, "title: 1\ntitle: 2\nbenhc: ~\n", BASE + "title: 3\n")
    assert {(Path(problem.file).name, problem.line) for problem in found} == {
        ("new.yaml", 3),
        ("new.yaml", 4),
        ("base.yaml", 22),
    }


def test_a_broken_base_is_told_with_the_slips_of_the_derived_file(tmp_path):
    found = refused(tmp_path, "title: 1\ntitle: 2\n", "a: [1")
    assert [Path(problem.file).name for problem in found] == ["new.yaml", "base.yaml"]


class Tube(Spec):
    bore: PositiveLength
    length: PositiveLength


def test_the_schema_tells_each_slip_where_it_was_written(tmp_path):
    write(tmp_path, "bore: 38\nlength: 1 m\n", "base.yaml")
    path = write(tmp_path, "based on: base.yaml\nlength: 0 mm\nlength: 2 mm\nodd: 1\n")
    with pytest.raises(InputError) as caught:
        validate(Tube, load_derived(path, defer=True))
    places = [(Path(problem.file).name, problem.line) for problem in caught.value.problems]
    # The file that the user named comes first.
    assert places == [("new.yaml", 2), ("new.yaml", 3), ("new.yaml", 4), ("base.yaml", 1)]


VALUES = st.recursive(
    st.sampled_from([None, True, 1, "x", "kind"]),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.sampled_from(["name", "port", "from", "to", "kind", "remove", "pieces", "a"]),
            inner,
            max_size=4,
        ),
    ),
    max_leaves=12,
)
MAPPINGS = st.dictionaries(st.sampled_from(["pieces", "runners", "a", "kind"]), VALUES, max_size=4)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("derived")


@settings(max_examples=200, deadline=None)  # writes and reads two files; time has no meaning here
@given(base=MAPPINGS, new=MAPPINGS)
def test_any_two_files(folder, base, new):
    """JSON is YAML: any data over any data is merged or refused, and each value has its mark."""
    import json

    write(folder, json.dumps(base), "base.yaml")
    path = write(folder, json.dumps({"based on": "base.yaml", **new}))
    try:
        found = load_derived(path)
    except InputError as error:
        found = None
        told = str(error)
        assert "new.yaml" in told or "base.yaml" in told
    if found is not None and not new:
        assert found.data == base


@settings(max_examples=100, deadline=None)
@given(base=MAPPINGS)
def test_nothing_changed_is_the_base(folder, base):
    import json

    write(folder, json.dumps({**base, "last": 1}), "base.yaml")
    found = load_derived(write(folder, json.dumps({"based on": "base.yaml", "last": 1})))
    assert found.data == {**base, "last": 1}
    assert found.marks.keys() >= {(key,) for key in base}
