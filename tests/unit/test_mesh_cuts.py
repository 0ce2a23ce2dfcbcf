"""Where rows are cut into pipes: nozzles and bricks always, small steps as before."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pulse1d.geometry.sections import Round
from pulse1d.losses import CatalystBrick, Restriction, SectionStep, Station, Straight
from pulse1d.losses.element import COLUMN
from pulse1d.losses.piece import PieceBase
from pulse1d.run.cuts import split

Array = NDArray[np.float64]

L = COLUMN["L"]
CELL = 0.01
NARROW, WIDE = Round(bore=0.05), Round(bore=0.09)
PIPE = Straight(length=0.1)
NOZZLE = Restriction(effective_area=5e-4)
BRICK = CatalystBrick(length=0.05, cell_density=62e4, wall=1.6e-4)
OPEN = SectionStep(to=WIDE)


def rows(*pieces: PieceBase) -> Array:
    section, steps = NARROW, []
    for piece in pieces:
        for element in piece.elements(Station(section, 1e-5)):
            steps += element.steps
        section = piece.section_out(section)
    return np.array(steps, dtype=float)


def lengths(pieces: list[Array]) -> list[float]:
    return [round(float(piece[:, L].sum()), 9) for piece in pieces]


def test_between_two_pipes_nothing_is_added() -> None:
    pieces, between, padded = split(rows(PIPE, NOZZLE, PIPE, OPEN, PIPE), CELL)
    assert lengths(pieces) == [0.1, 0.1, 0.1]
    assert [len(group) for group in between] == [1, 1]
    assert not padded


def test_a_nozzle_at_the_end_is_not_lost() -> None:
    for order, place in (((PIPE, NOZZLE), 1), ((NOZZLE, PIPE), 0)):
        pieces, between, padded = split(rows(*order), CELL)
        assert len(between) == 1
        assert padded
        assert lengths(pieces)[place] == CELL
        assert lengths(pieces)[1 - place] == 0.1


def test_a_step_at_the_end_is_spread_as_before() -> None:
    pieces, between, padded = split(rows(PIPE, OPEN), CELL)
    assert (len(pieces), len(between), padded) == (1, 0, False)


def test_what_stands_together_is_one_passage() -> None:
    """Step into the can, nozzle, front of the brick: no length between them."""
    pieces, between, padded = split(rows(PIPE, OPEN, NOZZLE, BRICK), CELL)
    assert [len(group) for group in between] == [3, 1]
    assert lengths(pieces) == [0.1, 0.05, CELL]
    assert padded


def test_channels_share_no_cell_with_a_can() -> None:
    """Two bricks with a gap of half a cell: it is made a cell's length, the bricks stay."""
    gap = Straight(length=0.5 * CELL)
    pieces, between, _ = split(rows(PIPE, OPEN, BRICK, gap, BRICK, PIPE), CELL)
    assert lengths(pieces) == [0.1, 0.05, CELL, 0.05, 0.1]
    for piece in pieces:
        assert np.ptp((piece[piece[:, L] > 0.0, COLUMN["outer"]] > 0.0).astype(int)) == 0
    assert [len(group) for group in between] == [2, 1, 1, 1]
    thin = BRICK.model_copy(update={"length": 0.5 * CELL})
    assert lengths(split(rows(PIPE, thin, PIPE), CELL)[0]) == [0.1, 0.5 * CELL, 0.1]
