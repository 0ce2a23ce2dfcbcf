"""Pictures of studies: each kind of plan gets the ones that show something, whatever failed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pulse1d.plots.study import draw_study
from pulse1d.plots.study_map import mean_by_place
from pulse1d.plots.study_tornado import Bars, draw_tornado
from pulse1d.study.columns import Column, parameter_columns, slope_scale, start_of
from pulse1d.study.load import load_study
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.plan import points_of
from tests.pump_study import pump_study

STUDY = """\
format: pulse1d study 1
about: {{name: "tubes, $ and tails"}}
base: tubular.yaml
parameters:
  tail: {{path: runners/*/tail/length, sets: change, range: [-1 in, 1 in], steps: 3}}
  tube: {{path: runners/*/blend/to/od, choices: [1.5 in, 1 5/8 in, 1.75 in]}}
plan: {{kind: {kind}, points: 6}}
compute: {{bench: {{bands: true}}}}
objectives:
  - {{answer: mean flow, aim: most}}
  - {{answer: mass, aim: least}}
"""


def loaded(folder: Path, kind: str) -> LoadedStudy:
    return load_study(pump_study(folder, STUDY.format(kind=kind)))


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("grid", ["a", "a-map", "a-parallel", "a-front"]),
        ("latin hypercube", ["a", "a-parallel", "a-front"]),
        ("one at a time", ["a", "a-parallel", "a-front"]),
    ],
)
def test_each_plan_gets_its_pictures_with_designs_that_failed_among_them(
    tmp_path: Path, kind: str, names: list[str]
) -> None:
    study = loaded(tmp_path, kind)
    points = points_of(study)
    answers: list[dict[str, float]] = [
        {
            "mean flow": 0.1 * k,
            "mass": 3.0 - k,
            "mean flow, low": k - 1.0,
            "mean flow, high": k + 1.0,
        }
        for k, _ in enumerate(points)
    ]
    answers[1], answers[2]["mass"] = {}, float("nan")
    drawn = draw_study(study, points, answers, tmp_path / "a.png")
    assert [path.stem for path in drawn] == names
    assert all(path.stat().st_size > 5000 for path in drawn)
    if kind == "grid":  # a map of nothing is left out
        nothing = draw_study(study, points, [{} for _ in points], tmp_path / "b.svg")
        assert [path.stem for path in nothing] == ["b", "b-parallel", "b-front"]


def test_columns_are_in_the_units_of_the_file(tmp_path: Path) -> None:
    study = loaded(tmp_path, "grid")
    tail, tube = parameter_columns(study, points_of(study))
    assert (tail.title, tube.title) == ("tail [in]", "tube [in]")
    # an inch is 25.4 mm by definition; one rounding each way
    assert tail.values.tolist() == pytest.approx([-1, -1, -1, 0, 0, 0, 1, 1, 1], abs=1e-14)
    assert tube.rungs == pytest.approx((1.5, 1.625, 1.75), rel=1e-15)
    assert tube.labels == ("1.5 in", "1 5/8 in", "1.75 in")
    assert slope_scale(study, study.axes[0]) == pytest.approx(0.0254, rel=1e-15)
    assert start_of(study) == {"tail": 0.0, "tube": pytest.approx(0.04127500, rel=1e-15)}


def test_a_map_shows_the_mean_of_designs_at_one_place() -> None:
    def column(*values: float) -> Column:
        return Column("c", "", np.array(values))

    x, y, z = mean_by_place(
        column(0.0, 1.0, 0.0, 0.0), column(2.0, 2.0, 2.0, 3.0), column(1.0, 5.0, 3.0, np.nan)
    )
    assert (x.tolist(), y.tolist(), z.tolist()) == ([0.0, 1.0], [2.0, 2.0], [2.0, 5.0])


def test_a_tornado_of_nothing_but_zeros_is_drawn(tmp_path: Path) -> None:
    draw_tornado("t", [Bars("x", ("a", "b"), (0.0, 0.0), (0.0, 0.0))], tmp_path / "t.pdf")
    assert (tmp_path / "t.pdf").stat().st_size > 5000
