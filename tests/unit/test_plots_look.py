"""The family look: folding, legends, labels clear of lines; and that our measure of it measures."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pulse1d.errors import InputError
from pulse1d.plots.labels import clear_places
from pulse1d.plots.look import LETTER, TITLE, canvas, fold, is_narrow, legend, title, unit
from pulse1d.plots.style import NARROW, WIDE, styled, write
from tests.figures import colours, cut, overlapping


def test_a_folded_text_fits_and_loses_no_word() -> None:
    text = "one two three four five six seven eight nine ten eleven twelve $ thirteen"
    for width in (1.0, 2.0, 4.0):
        lines = fold(text, width, TITLE).split("\n")
        assert " ".join(lines) == text.replace("$", r"\$")
        letters = 72.0 * width / (LETTER * TITLE)
        assert all(len(line.replace("\\", "")) <= letters for line in lines)
    assert fold("a\nb", 4.0, TITLE) == "a\nb"


def test_units_are_printed_with_raised_powers() -> None:
    assert (unit("m^3/h"), unit("mm^2"), unit("inH2O")) == ("m³/h", "mm²", "inH2O")


def test_which_widths_are_a_telephones() -> None:
    assert is_narrow(NARROW)
    assert not is_narrow(WIDE)


@pytest.mark.parametrize("width", [WIDE, NARROW])
def test_a_legend_has_each_label_once_in_order_and_stays_inside(width: float) -> None:
    with styled():
        figure = canvas(width, 4.0)
        panels = figure.subplots(2, 1)
        for axes in panels:
            for name in ("b", "a rather long name of a design of which there are several", "c"):
                axes.plot([0, 1], [0, 1], label=name)
        title(figure, "A title of more words than one line of a telephone has room for")
        legend(figure, panels, order=["c", "not there"])
    found = [text.get_text().replace("\n", " ") for text in figure.legends[0].get_texts()]
    assert found == ["c", "b", "a rather long name of a design of which there are several"]
    assert cut(figure) == []
    assert overlapping(figure) == []


def test_our_measure_finds_what_is_wrong() -> None:
    with styled():
        figure = canvas(5.0, 3.0)
        axes = figure.subplots()
        axes.text(0.5, 0.5, "one", transform=figure.transFigure)
        axes.text(0.505, 0.5, "two", transform=figure.transFigure)
        axes.text(0.95, 0.8, "too far right", transform=figure.transFigure, color="#123456")
    assert overlapping(figure) == [("one", "two")]
    assert cut(figure) == ["too far right"]
    assert "#123456" in colours(figure)


def test_labels_stand_clear_of_a_line_and_of_each_other() -> None:
    # a line that falls from top left to bottom right: above right of it is room
    x = np.linspace(0.0, 4.0, 101)
    line = np.column_stack([x, 3.0 - 0.7 * x])
    points = line[[30, 33, 36]]
    sizes = np.tile([0.8, 0.14], (3, 1))
    low = clear_places(points, sizes, line, (5.0, 4.0))
    high = low + sizes
    for k in range(3):
        assert not np.any(np.all((line > low[k]) & (line < high[k]), axis=1))
        assert np.all(low[k] >= 0.0)
        assert np.all(high[k] <= [5.0, 4.0])
        assert np.linalg.norm(low[k] - points[k]) < 1.6  # near what it names
        for n in range(k):
            assert np.any(low[k] >= high[n]) or np.any(high[k] <= low[n])


def test_a_label_in_the_corner_turns_inwards() -> None:
    none = np.empty((0, 2))
    (low,) = clear_places(np.array([[4.9, 3.9]]), np.array([[0.8, 0.14]]), none, (5.0, 4.0))
    assert np.all(low + np.array([0.8, 0.14]) <= [5.0, 4.0])


def test_another_suffix_or_no_folder_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "a.jpeg", tmp_path / "none" / "a.png"):
        with pytest.raises(InputError, match="--plot"):
            write(canvas(2.0, 2.0), path)
