"""Every other figure at both widths: texts whole, apart and of 8 pt, colours of the set."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import xarray

from pulse1d.case.design import load
from pulse1d.case.readings import load_reduced
from pulse1d.compare.faults import judge
from pulse1d.compare.pair import open_pair
from pulse1d.compare.parts import compare_parts
from pulse1d.plots.compare import comparison_figure
from pulse1d.plots.cycle_pressure import port_pressure_figure
from pulse1d.plots.cycle_speeds import speeds_figure
from pulse1d.plots.cycle_waves import cycle_waves_figure
from pulse1d.plots.interference import interference_figure
from pulse1d.plots.life_bands import life_bands_figure
from pulse1d.plots.life_heat import life_heat_figure
from pulse1d.plots.life_strain import life_strain_figure
from pulse1d.plots.parts import parts_figure
from pulse1d.plots.study import study_figures
from pulse1d.plots.study_tornado import Bars, tornado_figure
from pulse1d.plots.style import NARROW, WIDE
from pulse1d.plots.trace import traces_figure
from pulse1d.plots.wave_diagram import waves_figure
from pulse1d.run.attribution import Interference
from pulse1d.run.life import LifeResult, screen
from pulse1d.study.load import load_study
from pulse1d.study.plan import points_of
from tests.figures import ALLOWED, colours, cut, overlapping, smallest
from tests.pump_study import pump_study

PUMP = Path(__file__).parents[2] / "cases/pump"
READINGS = PUMP / "readings_log_tubular.yaml"
WIDTHS = pytest.mark.parametrize("width", [WIDE, NARROW])
STUDY = """\
format: pulse1d study 1
about: {{name: tubes and tails}}
base: tubular.yaml
parameters:
  tail: {{path: runners/*/tail/length, sets: change, range: [-1 in, 1 in], steps: 3}}
  tube: {{path: runners/*/blend/to/od, choices: [1.5 in, 1 5/8 in, 1.75 in]}}
  bend radius: {{path: "runners/*/*/radius", range: [2 in, 3.5 in], steps: 2}}
plan: {{kind: {kind}, points: 6}}
compute: {{bench: {{bands: true}}}}
objectives:
  - {{answer: mean flow, aim: most}}
  - {{answer: mass, aim: least}}
"""


def sound(figure: Any, width: float, field: bool = False) -> None:
    assert figure.get_figwidth() == width
    assert cut(figure) == []
    assert overlapping(figure) == []
    assert smallest(figure) >= 8.0
    if not field:  # a field has its map's colours
        assert colours(figure) <= ALLOWED


@WIDTHS
def test_bench_against_bench_and_against_prediction(width: float) -> None:
    parts = compare_parts([load_reduced(READINGS)], "log", "tubular")
    figure = parts_figure(parts, width=width)
    sound(figure, width)
    (base, other) = figure.axes[0].containers[:2]
    flows = [[bar.get_height() for bar in own] for own in (base, other)]
    cfm = 0.3048**3 / 60.0
    assert flows[0] == pytest.approx([p.base_flow / cfm for p in parts.ports])
    assert flows[1] == pytest.approx([p.other_flow / cfm for p in parts.ports])
    comparison = open_pair(PUMP / "tubular.yaml", READINGS, "tubular")
    sound(comparison_figure(comparison, judge(comparison), width=width), width)


@pytest.fixture(scope="module")
def screened() -> list[LifeResult]:
    return [screen(load(PUMP / "tubular_slotted.yaml"))]


@WIDTHS
def test_durability(screened: list[LifeResult], width: float) -> None:
    for figure in (life_bands_figure, life_heat_figure, life_strain_figure):
        sound(figure(screened, width=width), width)


@WIDTHS
def test_engine(width: float) -> None:
    def summary(speed: float, good: bool = True) -> Any:
        answer = SimpleNamespace(converged=good, cylinders=(1, 2, 3, 4), speed=speed / 60.0)
        return SimpleNamespace(
            answer=answer, rev_per_min=speed, torque=SimpleNamespace(brake=150.0 + 0.01 * speed),
            volumetric_efficiency=0.9, back_pressure=2.0 * speed,
        )  # fmt: skip

    curves = [
        (name, [summary(1500.0), summary(3000.0, good), summary(4500.0)])
        for name, good in (("pump log", True), ("pump tubular 1 5/8", False))
    ]
    sound(
        speeds_figure([("behind the system", curves), ("outlet open", curves)], width=width), width
    )
    names = ("1", "2", "3", "4")
    matrix = 1e3 * np.outer(np.arange(4.0), [1.0, -2.0, 3.0, -8.0])
    found = [(name, Interference(names, matrix, {})) for name, _ in curves]
    sound(interference_figure(found, 3000.0, "behind the system", width=width), width, field=True)


@WIDTHS
def test_port_pressure_over_a_cycle(width: float) -> None:
    design = load(PUMP / "tubular.yaml")
    angle = np.radians(np.arange(720.0))
    cylinders = [
        SimpleNamespace(cylinder=name, p_port=101325.0 + 2e4 * np.sin(2.0 * angle + k))
        for k, name in enumerate(("1", "2", "3", "4"))
    ]
    answer: Any = SimpleNamespace(cylinders=cylinders, speed=50.0, converged=True)
    figure = port_pressure_figure([(design, answer)], where="outlet open", width=width)
    sound(figure, width)
    assert figure._suptitle.get_text() == "Port pressure at 3000 rev/min, outlet open"
    # open from 55 deg before bottom to 15 deg after top dead centre, as the case says, overlap
    # from 12 deg before top
    spans = figure.axes[0].patches
    assert [(p.get_x(), p.get_x() + p.get_width()) for p in spans] == [
        pytest.approx((125.0, 375.0)), pytest.approx((348.0, 375.0)),
    ]  # fmt: skip


@WIDTHS
def test_waves(width: float) -> None:
    x, t = np.linspace(0.0, 0.7, 30), np.linspace(0.0, 0.04, 40)
    field = 101325.0 + 1e4 * np.sin(20.0 * x[None, :] - 300.0 * t[:, None])
    two = ("station", [0.1, 0.4])
    data = xarray.Dataset(
        {
            "p_along": (("frame", "distance"), field),
            "p": (("station", "time"), field[:, [5, 20]].T),
            "mark_start": ("mark", [0.2, 0.5]), "mark_stop": ("mark", [0.2, 0.6]),
            "arrival": ("station", [4e-3, 8e-3]),
            "peak": ("station", [9e3, 8e3]), "trough": ("station", [-9e3, -8e3]),
            "peak_time": ("station", [0.01, 0.02]), "trough_time": ("station", [0.02, 0.03]),
            "opening": ("cylinder", [125.0, 305.0]),
        },
        {
            "distance": x, "frame": t, "time": t, "mark": ["joint collector", "cone"],
            "station": ["near port", "in the pipe"], "station_distance": two,
            "cylinder": ["1", "3"],
        },
        {"room_p_pa": 101325.0, "case": "pump tubular 1 5/8", "port": "1", "rev_per_min": 3000.0,
         "cylinder": "1", "first": "1"},
    )  # fmt: skip
    for make in (waves_figure, cycle_waves_figure):
        sound(make(data, width=width), width, field=True)
    sound(traces_figure(data, width=width), width)


@WIDTHS
@pytest.mark.parametrize("kind", ["grid", "one at a time"])
def test_studies(tmp_path: Path, kind: str, width: float) -> None:
    study = load_study(pump_study(tmp_path, STUDY.format(kind=kind)))
    points = points_of(study)
    answers = [
        {
            "mean flow": 0.1 + 0.001 * k,
            "mass": 3.0 - 0.02 * k * k,
            "mean flow, low": 0.09 + 0.001 * k,
            "mean flow, high": 0.11 + 0.001 * k,
        }
        for k, _ in enumerate(points)
    ]
    made = dict(study_figures(study, points, answers))
    grid = ["Map of two parameters"] if kind == "grid" else []
    assert list(made) == [
        "Answers over the parameters", *grid, "All parameters and answers",
        "Objectives against each other",
    ]  # fmt: skip
    for name, make in made.items():
        sound(make(width=width), width, field=name in grid)


@WIDTHS
def test_a_tornado(width: float) -> None:
    names = ("weld bead, +1 mm", "merge angle, +1 deg", "cone length, +1 mm")
    panels = [
        Bars("change of mean flow [CFM]", names, (-9.3, 0.16, -0.005), (0.1, 0.01, 0.001)),
        Bars("share of variance of mean flow [%]", names, (80.0, 15.0, 1.0), (9.0, 5.0, 0.5),
             (70.0, 10.0, 0.0), ("with interactions", "by itself")),
    ]  # fmt: skip
    figure = tornado_figure("what a small change buys", panels, width=width)
    sound(figure, width)
    labels = [text.get_text().replace("\n", " ") for text in figure.axes[0].get_yticklabels()]
    assert labels == [names[2], names[1], names[0]]  # the largest on top
