"""Names of causes are told apart: the law's own doubt, one place's, a dimension's."""

from __future__ import annotations

from pathlib import Path

from pulse1d.case.design import load
from pulse1d.cli.bench_text import report
from pulse1d.run.bench import predict_bench
from pulse1d.run.cause_words import cause_note

PUMP = Path(__file__).parents[2] / "cases" / "pump"


def test_each_kind_of_cause_is_told() -> None:
    causes = ["junction K", "log: junction K of joint log 1", "roughness: tube", "log: bore of a"]
    note = cause_note(causes, {"log": "pump log"})
    assert note.split("; ") == [
        "junction K: the law's own doubt, one for every place of all designs, so that much of it "
        "cancels between them",
        "log: junction K of joint log 1: what the law gets wrong at joint log 1 alone",
        "log: bore of a: the tolerance of that bore",
        "log is the file of pump log",
    ]


def test_names_that_speak_for_themselves_need_no_note() -> None:
    assert cause_note(["roughness: tube", "friction law", "entry K"], {}) == ""


def test_a_budget_says_what_its_two_lines_of_a_joint_are() -> None:
    design = load(PUMP / "tubular_large.yaml")
    text = " ".join(report([predict_bench(design, ports=["1"], samples=100)], True).split())
    assert "junction K" in text.split("comes from")[1]
    assert "the law's own doubt" in text
    # a derived case shares the places of its base, which the names say by the base's file
    assert "tubular is the base's file" in text
    assert report([predict_bench(design, ports=["1"], samples=100)], False).count("doubt") == 0
