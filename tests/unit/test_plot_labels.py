"""Labels of a wave picture keep apart."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pulse1d.plots.wave_diagram import spaced

END = 1000.0
places = st.lists(st.floats(0.0, END), max_size=12).map(sorted)


@given(places)
def test_labels_keep_apart_and_inside(at: list[float]) -> None:
    gap = 40.0  # twelve of them fit
    found = spaced(at, gap, END)
    assert len(found) == len(at)
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(found))  # rounding of sums
    assert all(-1e-9 <= place <= END for place in found)


def test_labels_with_room_stay_and_others_move_as_little_as_it_takes() -> None:
    assert spaced([100.0, 300.0, 900.0], 40.0, END) == [100.0, 300.0, 900.0]
    assert spaced([100.0, 110.0, 900.0], 40.0, END) == [100.0, 140.0, 900.0]
    assert spaced([990.0, 1000.0], 40.0, END) == [960.0, 1000.0]


def test_too_many_labels_share_the_room() -> None:
    found = spaced([0.0] * 50, 40.0, END)
    assert [b - a for a, b in pairwise(found)] == pytest.approx([20.0] * 49)  # rounding of sums
