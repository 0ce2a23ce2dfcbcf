"""Paths into a case, and what may be written where they lead."""

from __future__ import annotations

from pathlib import Path

import pytest

import pulse1d
from pulse1d.errors import UnitError
from pulse1d.study.leaf import DIFFERENCE, SI_UNIT, dimension_of, read, shown, unit_of, written
from pulse1d.study.paths import PathError, spots_of, value_at

CASES = Path(__file__).parents[2] / "cases"
TUBULAR = pulse1d.load(CASES / "pump" / "tubular.yaml").case
LOG = pulse1d.load(CASES / "pump" / "log.yaml").case


@pytest.mark.parametrize(
    ("path", "values", "dimension"),
    [
        ("runners/*/tail/length", [0.0845, 0.092, 0.0895, 0.0695], "length"),
        ("runners/2/pieces/bend 2/angle", [0.2617993877991494], "angle"),
        ("runners/2/bend 2/angle", [0.2617993877991494], "angle"),
        ("/runners/1/tail/length/", [0.0845], "length"),
        ("runners/1/*/radius", [0.0635, 0.0635], "length"),
        ("trunks/collector and pipe/section/od", [0.05715], "length"),
        ("trunks/collector/section/od", [0.05715], "length"),
        ("joints/collector/position/y", [-0.24], "length"),
        ("engine/compression ratio", [9.5], "ratio"),
        ("engine/exhaust/lift", [0.009], "length"),
        ("engine/charge/lambda", [0.9], "ratio"),
        ("engine/cylinders", [4], "count"),
        ("bench/depression", [28 * 249.09], "pressure"),
        ("bench/room/pressure", [101325.0], "absolute pressure"),
        ("wall/material", ["stainless steel"], "text"),
        ("wall/temperature", [None], "temperature"),
        ("pulse/stations/pipe", [0.55], "length"),
        ("pulse/opening/2/2", [5e-4], "area"),
    ],
)
def test_a_path_leads_to_its_places(path, values, dimension):
    spots = spots_of(TUBULAR, path)
    assert len(spots) == len(values)
    for spot, value in zip(spots, values, strict=True):
        plain = isinstance(value, str) or value is None
        # text to SI, a few roundings
        assert spot.value == (value if plain else pytest.approx(value, rel=1e-12))
    assert [value_at(TUBULAR, spot.place) for spot in spots] == [spot.value for spot in spots]
    assert {dimension_of(spot) for spot in spots} == {dimension}


def test_a_surface_is_a_text():
    (spot,) = spots_of(TUBULAR, "surface")
    assert dimension_of(spot) == "text"


def test_star_passes_over_what_does_not_have_the_rest():
    runners = [[piece.kind for piece in leg.pieces].count("bend") for leg in TUBULAR.runners]
    assert len(spots_of(TUBULAR, "runners/*/*/radius")) == sum(runners) == 8
    with pytest.raises(PathError, match="no 'radius'"):
        spots_of(LOG, "runners/*/*/radius")


@pytest.mark.parametrize(
    ("path", "message"),
    [
        ("runner/1/tail/length", "a case has no 'runner'; did you mean 'runners'"),
        ("runners/5/tail/length", "runners has no '5'; it has 1, 2, 3, 4"),
        ("runners/1/tial/length", "runners/1 has no 'tial'; did you mean 'tail'"),
        ("runners/1/tail/lenght", "did you mean 'length'"),
        ("runners/1/section", "is a group of keys, not one value; go on to one of: shape, width"),
        ("runners/*/pieces", "is a list"),
        ("joints/collector/position", "is a list, not one value; go on to one of: x, y, z"),
        ("downstream/section/bore", "states no downstream"),
        ("wall/thickness/mm", "nothing stands below wall/thickness"),
        ("", "a case has no ''"),
    ],
)
def test_a_path_that_leads_nowhere_says_where_it_ends(path, message):
    with pytest.raises(PathError) as caught:
        spots_of(TUBULAR, path)
    assert message in str(caught.value)


@pytest.mark.parametrize("dimension", sorted(set(SI_UNIT) | {"count"}))
def test_what_is_written_is_read_back_to_the_last_bit(dimension):
    value = 7.0 if dimension == "count" else 0.1 + 0.2
    assert read(written(value, dimension), dimension) == value


def test_units_are_those_of_the_study():
    assert unit_of("1 3/4 in", "length") == "in"
    assert unit_of("90deg", "angle") == "deg"
    assert unit_of("1.5", "ratio") == unit_of(3, "count") == unit_of("tube", "text") == ""
    assert shown(0.0381, "in", "length") == "1.5 in"
    assert shown(101325.0, "kPa abs", "absolute pressure") == "101.325 kPa abs"
    assert shown(300.0, "", "temperature") == "300 K"


@pytest.mark.parametrize(
    ("raw", "dimension"), [("1 kg", "length"), (12, "length"), (1.5, "count"), (True, "count")]
)
def test_another_unit_or_none_is_refused(raw, dimension):
    with pytest.raises(UnitError):
        read(raw, dimension)


def test_a_change_of_temperature_is_a_difference():
    assert read("9 degF", DIFFERENCE["temperature"]) == pytest.approx(
        5.0, rel=1e-12
    )  # 5/9, rounded
