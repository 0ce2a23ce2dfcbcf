"""Errors of a schema in an engineer's words: file, line, text and remedy, all in one pass."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, Field, ValidationError, model_validator

from pulse1d.case import problems
from pulse1d.case.reader import problems_from, read_yaml, validate
from pulse1d.errors import InputError, Problem
from pulse1d.spec import (
    AbsolutePressure,
    Angle,
    Fraction,
    Length,
    PositiveLength,
    Spec,
    Temperature,
)

JARGON = re.compile(
    r"Input|valid (dict|str|int)|Value error|union|discriminator|None|pydantic|function-|dict"
)
"""Words of the schema library that no user should meet."""


class Straight(Spec):
    kind: Literal["straight"] = "straight"
    name: str | None = None
    length: PositiveLength


class Bend(Spec):
    kind: Literal["bend"] = "bend"
    name: str | None = None
    outer_diameter: PositiveLength
    radius: PositiveLength
    angle: Angle = 1.5

    @model_validator(mode="after")
    def _radius_fits(self) -> Bend:
        if self.radius <= self.outer_diameter / 2:
            raise ValueError("the bend is tighter than its own bore allows; use a larger radius")
        return self


class Surface(Spec):
    roughness: Length


Piece = Annotated[Straight | Bend, Field(discriminator="kind")]


class Runner(Spec):
    port: int
    pieces: tuple[Piece, ...] = Field(min_length=1)


class Bench(Spec):
    depression: AbsolutePressure = 1e5
    temperature: Temperature = 293.15
    leak: Fraction = 0.0
    suction: bool = True


class Wall(Spec):
    thickness: Annotated[Length, Field(le=0.01)] = 0.0
    layers: Annotated[int, Field(ge=1, le=3)] = 1


class Design(Spec):
    format: Literal[1]
    title: str
    process: Literal["cast", "tubular"] = "cast"
    bench: Bench = Bench()
    wall: Wall = Wall()
    surface: Surface | str = "tube"
    end: Straight | Bend | None = None
    gap: Length | Literal["auto"] = "auto"
    ports: dict[str, PositiveLength] = Field(default={})
    runners: list[Runner] = Field(min_length=1)


HEAD = "format: 1\ntitle: two into one\n"
RUNNERS = "runners:\n  - port: 1\n    pieces:\n      - {kind: straight, length: 100 mm}\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("cases")


def refused(folder: Path, text: str, checks=()) -> list[Problem]:
    """The problems of a text, each complete and in plain words."""
    path = folder / "design.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        validate(Design, read_yaml(path, defer=True), checks=checks)
    for problem in caught.value.problems:
        assert problem.file == str(path)
        assert problem.line is not None
        assert problem.text == text.splitlines()[problem.line - 1].strip()
        assert problem.message
        assert problem.remedy
        assert not JARGON.search(f"{problem.message} {problem.remedy}"), str(problem)
    lines = [problem.line or 0 for problem in caught.value.problems]
    assert lines == sorted(lines)
    return caught.value.problems


def test_a_good_case(folder):
    path = folder / "good.yaml"
    path.write_text(HEAD + RUNNERS + "ports: {1: 38 mm}\n", encoding="utf-8")
    design = validate(Design, read_yaml(path))
    assert design.runners[0].pieces == (Straight(length=0.1),)
    assert design.ports == {"1": pytest.approx(0.038, rel=1e-15)}  # one rounding of the unit


PIECE = HEAD + "runners:\n  - port: 1\n    pieces:\n      - kind: bend\n"
WHOLE = "        outer diameter: 38 mm\n        radius: 60 mm\n"


@pytest.mark.parametrize(
    ("text", "line", "message", "remedy"),
    [
        # quantities
        (
            PIECE + "        outer diameter: 38\n        radius: 60 mm\n",
            7,
            "38 has no unit",
            "38 mm",
        ),
        (
            PIECE + "        outer diameter: 38.5\n        radius: 9 in\n",
            7,
            "38.5 has no unit",
            "mm",
        ),
        (
            PIECE + "        outer diameter: 2 kg\n        radius: 9 in\n",
            7,
            "'kg' is not a unit",
            "mm",
        ),
        (PIECE + "        outer diameter: [1]\n        radius: 9 in\n", 7, "a list of 1", "38 mm"),
        (
            PIECE + "        outer diameter:\n        radius: 9 in\n",
            7,
            "nothing is not a q",
            "38 mm",
        ),
        (PIECE + WHOLE + "        angle: 90\n", 9, "angle: 90 has no unit", "90 deg"),
        # limits, in the unit as written
        (
            HEAD + RUNNERS + "ports: {1: 0 mm}\n",
            7,
            "greater than 0 mm, not '0 mm'",
            "write it like",
        ),
        (HEAD + RUNNERS + "ports: {1: -2 in}\n", 7, "greater than 0 in, not '-2 in'", "write it"),
        (
            HEAD + RUNNERS + "wall: {thickness: 2 in}\n",
            7,
            "at most 0.393701 in, not '2 in'",
            "38 mm",
        ),
        (HEAD + RUNNERS + "wall: {layers: 4}\n", 7, "at most 3, not 4", "write it like 4"),
        (HEAD + RUNNERS + "bench:\n  temperature: -300 degC\n", 8, "than -273.15 degC", "20 degC"),
        (HEAD + RUNNERS + "bench:\n  leak: 120 %\n", 8, "at most 100 %, not '120 %'", "50 %"),
        (HEAD + RUNNERS + "bench:\n  leak: 1.2\n", 8, "at most 1, not 1.2", "50 %"),
        (
            HEAD + RUNNERS + "bench:\n  depression: 0 kPa abs\n",
            8,
            "than 0 kPa abs",
            "101.325 kPa abs",
        ),
        (
            HEAD + RUNNERS + "bench:\n  depression: 9 kPa\n",
            8,
            "does not say abs",
            "101.325 kPa abs",
        ),
        # keys
        (
            PIECE + WHOLE + "        angel: 1 deg\n",
            9,
            "unknown key 'angel'",
            "did you mean 'angle'?",
        ),
        (PIECE + WHOLE + "        zzz: 1\n", 9, "unknown key 'zzz'", "kind, name, outer diameter"),
        (HEAD + RUNNERS + "benhc: {}\n", 7, "unknown key 'benhc'", "did you mean 'bench'?"),
        (
            PIECE + "        radius: 6 mm\n",
            6,
            "'outer diameter' is missing",
            "outer diameter: 38 mm",
        ),
        (PIECE + WHOLE.replace("radius", "radus"), 8, "unknown key 'radus'", "mean 'radius'?"),
        ("format: 1\n" + RUNNERS, 1, "'title' is missing at the top", "add 'title: some text'"),
        ("title: x\n" + RUNNERS, 1, "'format' is missing", "add 'format: 1'"),
        (HEAD, 1, "'runners' is missing", "each starting with '- '"),
        (HEAD + "runners:\n  - port: 1\n", 4, "'pieces' is missing in item 1", "- "),
        # kinds
        (PIECE.replace("bend", "bent"), 6, "kind 'bent' is not known", "did you mean 'bend'?"),
        (PIECE.replace("bend", "x"), 6, "kind 'x' is not known", "kinds are straight, bend"),
        (
            PIECE.replace("kind: bend", "radius: 1 m"),
            6,
            "'kind' is missing",
            "add 'kind: straight'",
        ),
        (PIECE.replace("kind: bend", "bend"), 6, "item 1 of pieces must be a set", "below it"),
        (
            PIECE + WHOLE.replace("60", "6"),
            6,
            "tighter than its own bore allows",
            "a larger radius",
        ),
        # types
        (HEAD + "runners: 5\n", 3, "runners must be a list, not 5", "starting with '- '"),
        (HEAD + "runners: []\n", 3, "at least 1 item", "add items"),
        (HEAD + "runners:\n", 3, "runners has no value", "write its value here"),
        (HEAD + "runners:\n  - 5\n", 4, "item 1 of runners must be a set", "indented"),
        (
            HEAD + RUNNERS.replace("port: 1", "port: one"),
            4,
            "must be a whole number, not 'one'",
            "4",
        ),
        (HEAD + RUNNERS.replace("port: 1", "port: 1.5"), 4, "must be a whole number, not 1.5", "4"),
        (
            HEAD.replace("two into one", "12") + RUNNERS,
            2,
            "title must be text, not 12",
            "in quotes",
        ),
        (HEAD + RUNNERS + "bench:\n", 7, "bench has no value", "or delete the line"),
        (HEAD + RUNNERS + "bench: 5\n", 7, "bench must be a set of 'key: value' lines", "below it"),
        (HEAD + RUNNERS + "bench: [1, 2]\n", 7, "not a list of 2", "below it"),
        (
            HEAD + RUNNERS + "bench: {suction: maybe}\n",
            7,
            "must be true or false, not 'maybe'",
            "t",
        ),
        (
            HEAD + RUNNERS + "process: casd\n",
            7,
            "process must be 'cast' or 'tubular'",
            "mean 'cast'?",
        ),
        ("format: 2\ntitle: x\n" + RUNNERS, 1, "format must be 1, not 2", "write 1"),
        # alternatives
        (
            HEAD + RUNNERS + "surface: 5\n",
            7,
            "must be a set of 'key: value' lines or be text",
            "or",
        ),
        (HEAD + RUNNERS + "surface:\n  roughness: 5\n", 8, "roughness: 5 has no unit", "38 mm"),
        (HEAD + RUNNERS + "gap: 5\n", 7, "gap: 5 has no unit", "or write auto"),
        (HEAD + RUNNERS + "end: {length: 5}\n", 7, "length: 5 has no unit", "38 mm"),
    ],
)
def test_one_mistake(folder, text, line, message, remedy):
    (problem,) = refused(folder, text)
    assert problem.line == line
    assert message in problem.message
    assert remedy in problem.remedy


def test_of_alternatives_only_the_likeliest_is_told(folder):
    """A bend with two slips is told as a bend, not also as a straight."""
    found = refused(folder, HEAD + RUNNERS + "end:\n  kind: bend\n  radius: 5\n")
    assert [problem.line for problem in found] == [7, 9]
    assert "'outer diameter' is missing in end" in found[0].message


def test_many_mistakes_in_one_pass(folder):
    text = """\
format: 1
title: x
title: y
bench:
  temperature: 20
  leek: 1 %
runners:
  - port: one
    pieces:
      - kind: bnd
      - kind: bend
        outer diameter: 0 mm
        radius: 60 mm
      - !odd {kind: straight, length: 1 m}
extra: *anchor
"""
    found = refused(folder, text)
    assert [problem.line for problem in found] == [3, 5, 6, 8, 10, 12, 14, 15]


def test_checks_run_beside_the_schema(folder):
    def two_ports(document):
        yield document.problem(("runners", 0, "port"), "port 1 has no runner", "add one")

    found = refused(folder, HEAD + RUNNERS + "benhc: 1\n", checks=[two_ports])
    assert [problem.line for problem in found] == [4, 7]
    (only,) = refused(folder, HEAD + RUNNERS, checks=[two_ports])
    assert only.message == "port 1 has no runner"


def test_a_validator_may_raise_problems_itself(folder):
    class Strict(Spec):
        a: int

        @model_validator(mode="after")
        def _never(self) -> Strict:
            raise InputError([Problem("no good", "try again", "x.yaml", 3)])

    path = folder / "strict.yaml"
    path.write_text("a: 1\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"x\.yaml:3: no good"):
        validate(Strict, read_yaml(path))


def test_recursive_specs(folder):
    path = folder / "tree.yaml"
    path.write_text("name: a\nbelow:\n  - name: b\n    below:\n      - nam: c\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        validate(Tree, read_yaml(path))
    (problem,) = caught.value.problems
    assert (problem.line, problem.remedy[:20]) == (5, "did you mean 'name'?")


class Tree(Spec):
    name: str
    below: tuple[Tree, ...] = ()


def test_context_reaches_the_validators(folder):
    class Checked(BaseModel):
        a: int

        @model_validator(mode="before")
        @classmethod
        def _seen(cls, data, info):
            assert info.context == {"from_text": True, "folder": "here"}
            return data

    path = folder / "context.yaml"
    path.write_text("a: 1\n", encoding="utf-8")
    assert validate(Checked, read_yaml(path), {"folder": "here"}).a == 1


def test_a_long_list_is_cut_and_counted(folder, monkeypatch):
    monkeypatch.setattr(problems, "MAX_PROBLEMS", 10)
    path = folder / "long.yaml"
    path.write_text("".join(f"key {i}: 1\n" for i in range(50)), encoding="utf-8")
    document = read_yaml(path)
    with pytest.raises(ValidationError) as caught:
        Design.model_validate(document.data)
    found = problems_from(caught.value, document, Design)
    assert len(found) == 11
    # 50 unknown and 3 missing keys, of which ten are told.
    assert "and 43 more" in found[-1].message


@settings(max_examples=150, deadline=None)  # time is bounded in test_reader.py
@given(data=st.data())
def test_any_slip_is_answered(folder, data):
    text = PIECE + WHOLE + "bench: {leak: 1 %}\nend: {length: 1 m}\n"
    lines = text.splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        i = data.draw(st.integers(0, len(lines) - 1))
        head, colon, _ = lines[i].partition(": ")
        values = ["", "~", "5", "5 mm", "[1]", "{a: 1}", "x", "true", "1e3", '"\\n"', "- 1"]
        lines[i] = head[data.draw(st.integers(0, 2)) :] + colon + data.draw(st.sampled_from(values))
    path = folder / "fuzz.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")
    told = ""
    try:
        validate(Design, read_yaml(path, defer=True))
    except InputError as error:
        told = "\n".join(f"{problem.message} {problem.remedy}" for problem in error.problems)
    assert not JARGON.search(told), told


@pytest.mark.parametrize(
    ("given", "bore"),
    [("38.5 mm", "38.5 mm"), ("1.5 in", "1.5 in"), (38, "38 mm"), ("round", "38 mm")],
)
def test_a_section_given_as_a_length_is_shown_as_one(tmp_path, given, bore):
    from pulse1d.losses.taper import Taper

    path = tmp_path / "taper.yaml"
    path.write_text(f"kind: taper\nlength: 30 mm\nto: {given}\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        validate(Taper, read_yaml(path))
    (problem,) = caught.value.problems
    assert problem.remedy == f"write it like {{shape: round, bore: {bore}}}"
