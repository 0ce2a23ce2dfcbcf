"""Bench pictures: bars, waterfall and pressure say what the results say, at both widths."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from matplotlib.container import BarContainer

from pulse1d.case.design import load
from pulse1d.case.shown import Shown
from pulse1d.plots.bar_shapes import SLOT, bar_places
from pulse1d.plots.bars import bars_figure
from pulse1d.plots.bench import bench_figure, draw_bench
from pulse1d.plots.falls import NOTHING, falls
from pulse1d.plots.pressure import pressure_figure
from pulse1d.plots.style import NARROW, WIDE, write
from pulse1d.plots.waterfall import waterfall_figure
from pulse1d.run.bench import BenchResult, predict_bench
from tests.figures import ALLOWED, colours, cut, overlapping, smallest, svg

PUMP = Path(__file__).parents[2] / "cases/pump"
CFM = 0.3048**3 / 60.0
WIDTHS = pytest.mark.parametrize("width", [WIDE, NARROW])


@pytest.fixture(scope="module")
def results() -> list[BenchResult]:
    designs = [load(PUMP / f"{name}.yaml") for name in ("log", "divided", "tubular")]
    return [predict_bench(design, samples=40) for design in designs]


@WIDTHS
def test_texts_are_whole_apart_and_large_enough(results: list[BenchResult], width: float) -> None:
    read = {results[0].design.name: {"1": (180.0 * CFM, 2.0 * CFM)}}
    made = [
        bars_figure(results, measured=read, width=width),
        bars_figure(results[:1], width=width),
        waterfall_figure(results[0], "1", width=width),
        waterfall_figure(results[2], "2", width=width, shown=Shown("in", "kPa", "m^3/h")),
        pressure_figure(results[::2], "1", width=width),
        bench_figure(results[::2], width=width),
    ]
    for figure in made:
        assert figure.get_figwidth() == width
        assert cut(figure) == []
        assert overlapping(figure) == []
        assert smallest(figure) >= 8.0
        assert colours(figure) <= ALLOWED


def test_the_svg_keeps_text_and_the_bytes_are_the_same_twice(
    results: list[BenchResult], tmp_path: Path
) -> None:
    import matplotlib as mpl

    assert ">pump tubular 1 5/8<" in svg(bars_figure(results))
    for suffix in (".png", ".svg", ".pdf"):
        first, again = tmp_path / f"a{suffix}", tmp_path / f"b{suffix}"
        write(bars_figure(results), first)
        # whatever a user's own settings are
        with mpl.rc_context({"axes.facecolor": "black", "font.size": 30.0, "svg.fonttype": "path"}):
            write(bars_figure(results), again)
        assert first.read_bytes() == again.read_bytes()


def test_bars_are_the_flows_and_readings_stand_beside_them(results: list[BenchResult]) -> None:
    read = {results[1].design.name: {"2": (0.1, 0.002)}}
    figure = bars_figure(results, measured=read, shown=Shown("mm", "kPa", "m^3/h"))
    axes = figure.axes[0]
    assert axes.get_ylabel() == "flow at reference state [m³/h]"
    bars = [c for c in axes.containers if isinstance(c, BarContainer)]
    for container, result in zip(bars, results, strict=True):
        heights = [patch.get_height() for patch in container]
        # 3600 s an hour; rounding alone
        assert heights == pytest.approx(list(3600.0 * result.mdot / result.setup.rho_ref), rel=1e-9)
    marks = [line for line in axes.lines if line.get_marker() == "D" and len(line.get_xdata())]
    assert [float(y) for line in marks for y in line.get_ydata()] == pytest.approx([360.0])
    assert 0.5 < float(marks[0].get_xdata()[0]) < 1.5  # the second port's slot


@pytest.mark.parametrize("count", [2, 3, 5, 8])
def test_bars_stand_apart_before_the_base_whose_end_is_seen(count: int) -> None:
    base, *others = bar_places(count)
    assert base[:2] == (0.0, SLOT)
    edges = [(x - 0.5 * w, x + 0.5 * w) for x, w, _ in others]
    assert base[2] < edges[0][0]  # its band stands left of all
    assert edges[-1][1] <= 0.5 * SLOT
    assert all(a[1] < b[0] for a, b in pairwise(edges))


@pytest.mark.parametrize("port", ["1", "3"])
def test_the_waterfall_falls_from_the_depression_to_nothing(
    results: list[BenchResult], port: str
) -> None:
    for result in results:
        steps = falls(result, port)
        # 28 inH2O of 249.09 Pa; the network closes to 1e-9 of it
        assert steps[0].before == pytest.approx(28.0 * 249.09, rel=1e-8)
        assert steps[-1].behind == pytest.approx(0.0, abs=1e-6)
        assert [s.element for s in steps][-1] == "exit kinetic energy"
        budget = next(p.answer.budget for p in result.ports if p.answer.port == port)
        lost = {e.element: e.loss_pa for e in budget}
        for step, onward in pairwise(steps):
            assert step.lost == pytest.approx(lost[step.element])
            # those left out between them, at most a few
            assert abs(onward.before - step.behind) <= 5.0 * NOTHING * steps[0].before
        bars = waterfall_figure(result, port, shown=Shown("mm", "Pa")).axes[0].patches
        assert sum(bar.get_width() for bar in bars) == pytest.approx(
            sum(abs(s.lost) for s in steps), rel=1e-9
        )


def test_what_is_recovered_goes_back_up(results: list[BenchResult]) -> None:
    port = results[0].ports[0]
    entries = list(port.answer.budget)
    entries[2] = replace(entries[2], loss_pa=-50.0)
    changed = replace(port, answer=replace(port.answer, budget=tuple(entries)))
    result = replace(results[0], ports=(changed,))
    step = next(s for s in falls(result, "1") if s.element == entries[2].element)
    assert step.lost == pytest.approx(-50.0)
    labels = waterfall_figure(result, "1").axes[0].get_legend_handles_labels()[1]
    assert "recovered" in labels
    assert falls(result, "9") == []


def test_the_pressure_starts_at_the_depression_and_ends_above_nothing(
    results: list[BenchResult],
) -> None:
    lines = pressure_figure(results[:1], "2", shown=Shown("mm", "Pa")).axes[0].lines
    total, static = (line.get_ydata() for line in lines[:2])
    length = 1e3 * sum(results[0].design.network.legs[i].length for i in _way(results[0], "2"))
    assert float(lines[0].get_xdata()[-1]) == pytest.approx(length, rel=1e-9)
    assert float(total[0]) == pytest.approx(28.0 * 249.09, rel=1e-8)
    assert float(static[-1]) == pytest.approx(0.0, abs=1e-3)  # the jet leaves at the receiver's
    # what is left of the total there is the exit's kinetic energy
    exit_pa = next(p for p in results[0].ports if p.answer.port == "2").answer.budget[-1].loss_pa
    assert float(total[-1]) == pytest.approx(exit_pa, rel=1e-6)


def _way(result: BenchResult, port: str) -> list[int]:
    way = result.design.network.chain(port)
    assert way is not None
    return way


def test_files_are_drawn_and_named(results: list[BenchResult], tmp_path: Path) -> None:
    drawn = draw_bench(results, tmp_path / "b.png")
    assert [path.name for path in drawn] == ["b.png", "b-budget.png"]
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in drawn)
