"""Quantities as text: round trips, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pulse1d import units
from pulse1d.errors import UnitError

UNITS = {
    "length": ("m", "mm", "cm", "in", "ft", "um", "thou"),
    "area": ("m^2", "mm^2", "cm²", "in^2", "mm2", "ft**2"),
    "volume": ("m^3", "L", "cc", "cm3", "in^3"),
    "angle": ("rad", "deg", "°"),
    "pressure": ("Pa", "kPa", "bar", "psi", "inH2O", "inH2O_60F", "mmH2O", "inHg", "mmHg"),
    "temperature": ("K", "degC", "degF", "°C", "°F"),
    "temperature difference": ("K", "degC", "degF", "delta_degC", "delta_degF"),
    "mass": ("kg", "g", "lb", "oz"),
    "mass flow": ("kg/s", "kg/h", "g/s", "lb/min"),
    "volume flow": ("m^3/s", "m3/h", "CFM", "cfm", "L/s", "L/min"),
    "density": ("kg/m^3", "g/L", "lb/ft^3"),
    "speed": ("m/s", "ft/s", "km/h"),
    "torque": ("N*m", "N·m", "kN*m"),
    "force": ("N", "kN"),
    "time": ("s", "ms", "min"),
    "heat transfer coefficient": ("W/m^2/K", "W/(m^2*K)", "W/m²/degC"),
    "cell density": ("cpsi", "/cm^2", "/in2", "/mm²"),
    "ratio": ("%", "percent", "pct", ""),
}
ROUND = 1e-12
"""Relative error of there and back: a dozen roundings of 1.1e-16, with a factor of a thousand."""
NUMBERS = st.floats(min_value=-49.0, max_value=49.0).filter(lambda x: x == 0 or abs(x) > 1e-6)
"""In every unit above within ``units.MOST``, doubled too: 100 rad are the narrowest."""


@pytest.fixture(scope="module", autouse=True)
def _loaded():
    """Loads the registry of units once, outside the time limit of the first example."""
    units.parse("1 m", "length")


def test_every_dimension_has_units_here_and_an_example():
    assert UNITS.keys() == units.SI.keys() == units.EXAMPLE.keys() == units.MOST.keys()


@given(st.data(), NUMBERS)
def test_there_and_back(data, value):
    dimension = data.draw(st.sampled_from(sorted(UNITS)))
    unit = data.draw(st.sampled_from(UNITS[dimension]))
    si = units.parse(f"{value!r} {unit}", dimension)
    # The offset of a temperature scale (up to 460) is rounded like the value itself.
    scale = max(abs(value), 460.0 if dimension == "temperature" else 0.0)
    assert units.to(si, unit, dimension) == pytest.approx(value, rel=ROUND, abs=ROUND * scale)


@given(st.data(), NUMBERS)
def test_spaces_do_not_matter(data, value):
    dimension = data.draw(st.sampled_from(sorted(UNITS)))
    unit = data.draw(st.sampled_from(UNITS[dimension]))
    tight, loose = f"{value!r}{unit}", f"  {value!r}   {unit} "
    assert units.parse(tight, dimension) == units.parse(loose, dimension)


@given(st.data(), st.floats(min_value=1e-3, max_value=49.0))
def test_twice_the_number_is_twice_the_quantity(data, value):
    dimension = data.draw(st.sampled_from(sorted(UNITS.keys() - {"temperature"})))
    unit = data.draw(st.sampled_from(UNITS[dimension]))
    once = units.parse(f"{value!r} {unit}", dimension)
    assert units.parse(f"{2 * value!r} {unit}", dimension) == pytest.approx(2 * once, rel=ROUND)


@pytest.mark.parametrize("dimension", sorted(UNITS))
def test_every_example_is_read(dimension):
    for shown in units.EXAMPLE[dimension].split(" or "):
        assert math.isfinite(units.parse(shown, dimension))


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1 in", "length", 0.0254),
        ("28 inH2O", "pressure", 28 * 249.09),
        ("28 inH2O_60F", "pressure", 28 * 248.84),
        ("1 mmH2O", "pressure", 9.80665),
        ("1 CFM", "volume flow", 0.3048**3 / 60),
        ("36 m3/h", "volume flow", 0.01),
        ("90°", "angle", math.pi / 2),
        ("20 °C", "temperature", 293.15),
        ("212 degF", "temperature", 373.15),
        ("9 degF", "temperature difference", 5.0),
        ("5 degC", "temperature difference", 5.0),
        ("50 %", "ratio", 0.5),
        ("0.5", "ratio", 0.5),
        ("15 W/m^2/degC", "heat transfer coefficient", 15.0),
        ("400 cpsi", "cell density", 400 / 0.0254**2),
        ("62 /cm^2", "cell density", 62e4),
    ],
)
def test_known_values(text, dimension, value):
    assert units.parse(text, dimension) == pytest.approx(value, rel=ROUND)


def test_a_difference_is_no_point_on_the_scale():
    """5 K are 9 degF apart, and 5 K is -450.67 degF."""
    assert units.to(5.0, "degF", "temperature difference") == pytest.approx(9.0, rel=ROUND)
    assert units.to(5.0, "degF", "temperature") == pytest.approx(-450.67, rel=ROUND)


@pytest.mark.parametrize(
    ("text", "dimension", "words"),
    [
        ("38", "length", "has no unit"),
        ("38 kg", "length", "not a unit of length"),
        ("38 mm", "area", "not a unit of area"),
        ("38 furlongz", "length", "not known"),
        ("mm", "length", "not a number"),
        ("", "length", "not a number"),
        ("1,75 in", "length", "comma"),
        ("nan mm", "length", "not a number"),
        ("inf mm", "length", "not a number"),
        ("1e999 mm", "length", "too large"),
        ("1e308 ft^3", "density", "not a unit of density"),
        ("1e308 bar", "pressure", "too large"),
        ("-1001 m", "length", "too large a number for any length"),
        ("6000 deg", "angle", "too large a number for any angle"),
        ("1e-320 mm", "length", "too small"),
        ("1e16", "ratio", "too large"),
        ("5 deg", "ratio", "not a unit of ratio"),
        ("5 %", "angle", "not a unit of angle"),
        ("5 dB", "ratio", "is not known"),
        ("20 C", "temperature", "is not known"),
        ("5 delta_degC", "temperature", "not a unit of temperature"),
        ("3000 rpm", "speed", "not a unit of speed"),
        ("7 psig", "pressure", "not known"),
        ("1 m^(9^9^9)", "length", "not known"),
        ("1 m**9**9**9**9", "length", "not known"),
        ("1 __import__('os')", "length", "not known"),
        ("1 " + "(" * 3000 + "m" + ")" * 3000, "length", "not known"),
        ("1 mm", "no such", "not a dimension"),
    ],
)
def test_refused(text, dimension, words):
    with pytest.raises(UnitError, match=words):
        units.parse(text, dimension)


@given(st.text(max_size=60), st.sampled_from(sorted(units.SI)))
def test_any_text_is_a_finite_number_or_a_unit_error(text, dimension):
    try:
        value = units.parse(text, dimension)
    except UnitError:
        return
    assert math.isfinite(value)


@given(st.text(alphabet="mkgsPaKin^*/()%°0123456789. ", max_size=30))
def test_any_unit_is_answered(text):
    for dimension in ("length", "temperature", "ratio"):
        try:
            assert math.isfinite(units.parse(f"1 {text}", dimension))
        except UnitError:
            continue


@given(st.floats(min_value=1.0, max_value=1e4))
def test_absolute_pressure_there_and_back(value):
    pascal = units.parse_absolute(f"{value!r} kPa abs")
    assert units.to(pascal, "kPa", "pressure") == pytest.approx(value, rel=ROUND)


@pytest.mark.parametrize("text", ["101 kPa", "101 kPa gauge", "101 abs", "abs", "", "1 m abs"])
def test_absolute_pressure_refused(text):
    with pytest.raises(UnitError):
        units.parse_absolute(text)


@pytest.mark.parametrize(
    ("unit", "dimension"),
    [
        ("mm", "temperature"),
        ("bogus", "temperature"),
        ("mm", "area"),
        ("", "length"),
        ("%", "angle"),
    ],
)
def test_to_refuses_a_wrong_unit(unit, dimension):
    with pytest.raises(UnitError):
        units.to(1.0, unit, dimension)


@pytest.mark.parametrize("text", ["1 a" + " " * 100_000 + "b", "1" * 100_000, "1 " + "a" * 100_000])
def test_long_text_is_refused_at_once_and_quoted_short(text):
    with pytest.raises(UnitError) as caught:
        units.parse(text, "length")
    # A quoted LONGEST_UNIT and a sentence around it.
    assert len(str(caught.value)) < units.LONGEST_UNIT + 120


@pytest.mark.parametrize(
    ("text", "inches"), [("1 3/4 in", 1.75), ("1-5/8 in", 1.625), ("3/16 in", 0.1875)]
)
def test_fractions_of_an_inch(text: str, inches: float) -> None:
    assert units.parse(text, "length") == pytest.approx(0.0254 * inches, rel=1e-15)


def test_a_fraction_of_nothing_is_refused() -> None:
    with pytest.raises(UnitError):
        units.parse("1/0 in", "length")
