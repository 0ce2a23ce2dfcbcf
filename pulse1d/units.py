"""Quantities at the boundary: text with a unit in, SI floats inside. Only this file imports pint.

Source: BIPM SI brochure for the SI; inch of water 249.09 Pa at 4 degC (248.84 Pa at 60 degF),
Perry's Chemical Engineers' Handbook, from memory.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import lru_cache
from importlib.resources import files
from typing import Any

from pulse1d.errors import UnitError

SI = {
    "length": "m",
    "area": "m^2",
    "volume": "m^3",
    "angle": "rad",
    "pressure": "Pa",
    "temperature": "K",
    "temperature difference": "delta_degC",
    "mass": "kg",
    "mass flow": "kg/s",
    "volume flow": "m^3/s",
    "density": "kg/m^3",
    "speed": "m/s",
    "torque": "N*m",
    "force": "N",
    "time": "s",
    "heat transfer coefficient": "W/m^2/K",
    "cell density": "1/m^2",
    "ratio": "",
}
MOST = {
    "length": 1e3,
    "area": 1e6,
    "volume": 1e9,
    "angle": 100.0,
    "pressure": 1e13,
    "temperature": 1e4,
    "temperature difference": 1e4,
    "mass": 1e6,
    "mass flow": 1e6,
    "volume flow": 1e6,
    "density": 1e6,
    "speed": 1e6,
    "torque": 1e9,
    "force": 1e9,
    "time": 1e6,
    "heat transfer coefficient": 1e9,
    "cell density": 1e12,
    "ratio": 1e15,
}
"""Sizes beyond which a quantity is a slip in any case, study or reading; far beyond all that is
made, so that no power of a quantity overflows (judgement) [SI]."""
LEAST = 1e-30
"""Smallest size of a quantity that is not 0, for the same reason [SI]."""
EXAMPLE = {
    "length": "38 mm or 1.5 in",
    "area": "1134 mm^2 or 1.76 in^2",
    "volume": "0.5 L",
    "angle": "90 deg",
    "pressure": "28 inH2O or 7 kPa",
    "temperature": "20 degC or 68 degF",
    "temperature difference": "5 K",
    "mass": "8 kg or 18 lb",
    "mass flow": "400 kg/h",
    "volume flow": "200 CFM",
    "density": "1.2 kg/m^3",
    "speed": "30 m/s",
    "torque": "150 N*m",
    "force": "12 kN",
    "time": "2 ms",
    "heat transfer coefficient": "15 W/m^2/K",
    "cell density": "400 cpsi or 62 /cm^2",
    "ratio": "50 % or 0.5",
}
NUMBER = re.compile(r"([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)\s*(.*)", re.S)
"""A number, then the rest, in text without spaces around it."""
FRACTION = re.compile(r"(?:([0-9]{1,4})[ -])?([0-9]{1,3})/([1-9][0-9]{0,2})\s+(\S.*)", re.S)
"""A fraction as tube and drills are sold by, such as "1 3/4 in"."""
_NAME = r"\(*[A-Za-zµμ_]+[A-Za-z0-9_]*(?:(?:\^|\*\*)-?[1-9]|[²³])?\)*"
_UNIT = re.compile(rf"{_NAME}(?:\s*[*/·]\s*{_NAME})*")
_SHORT_POWER = re.compile(r"(?<![A-Za-z0-9_])([A-Za-zµμ]+)([23])(?![A-Za-z0-9_^*])")
LONGEST_UNIT = 40
"""Longest unit read, and text quoted [characters]: "W/(m^2*K)" has 9; bounds the reader's work."""
TEMPERATURES = {
    "kelvin": "kelvin",
    "degree_Celsius": "delta_degree_Celsius",
    "degree_Fahrenheit": "delta_degree_Fahrenheit",
    "degree_Rankine": "degree_Rankine",
}
"""Units of temperature and the unit of a difference on the same scale (registry names)."""


@contextmanager
def _apart(package: str) -> Iterator[None]:
    """A time in which a package seems not installed: pint loads dask, 0.1 s for nothing here."""
    hidden = package not in sys.modules
    if hidden:
        sys.modules[package] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        if hidden:
            del sys.modules[package]


@lru_cache(maxsize=1)
def _registry() -> Any:
    with _apart("dask"):
        import pint

    lines = files("pulse1d").joinpath("units.txt").read_text(encoding="utf-8").splitlines()
    registry = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
    registry.load_definitions(lines)
    return registry


@lru_cache(maxsize=4096)
def parse(text: str, dimension: str) -> float:
    """SI value of a quantity written as text, such as ``"1.75 in"``.

    Parameters
    ----------
    text : str   A number followed by its unit [any unit of the dimension]
    dimension : str   A key of ``SI``, such as "length"
    Returns
    -------
    value : float   The value in the SI unit of the dimension [SI]
    Errors      UnitError when the number, the unit or the dimension is wrong.
    Source      pulse1d/units.txt
    """
    shown, example = _short(text), _example(dimension)
    match = NUMBER.match(text.strip())
    part = FRACTION.fullmatch(text.strip())
    if not match:
        raise UnitError(f"{shown} is not a number with a unit; write it like {example}")
    value, unit = float(match[1]), match[2]
    if part:
        value, unit = int(part[1] or 0) + int(part[2]) / int(part[3]), part[4]
    if unit.startswith(","):
        raise UnitError(f"{shown} has a comma in its number; write a point, like {example}")
    if not unit:
        if dimension == "ratio":
            return sensible(value, dimension, shown)
        raise UnitError(f"{shown} has no unit; a {dimension} needs one, like {example}")
    if dimension.startswith("temperature"):
        return sensible(_temperature(value, unit, dimension), dimension, shown)
    return sensible(value * _scale(unit, dimension), dimension, shown)


def sensible(value: float, dimension: str, shown: str) -> float:
    """A quantity as it is, unless it is of no size that anything has.

    Parameters
    ----------
    value : float   [SI]
    dimension : str   A key of ``SI`` [-]
    shown : str   The quantity as written, for the message [-]
    Returns
    -------
    value : float   [SI]
    Errors      UnitError beyond MOST or nearer to 0 than LEAST.
    Source      common practice, no source
    """
    if not abs(value) <= MOST[dimension]:
        message = f"{shown} is too large a number for any {dimension}"
        raise UnitError(f"{message}; write it like {_example(dimension)}")
    if 0.0 < abs(value) < LEAST:
        raise UnitError(f"{shown} is too small a number; write 0, or like {_example(dimension)}")
    return value


def _short(text: str) -> str:
    """Text as an error quotes it."""
    return repr(text if len(text) <= LONGEST_UNIT else text[: LONGEST_UNIT - 3] + "...")


def _example(dimension: str) -> str:
    if dimension not in EXAMPLE:
        raise UnitError(f"{dimension!r} is not a dimension; choose one of {', '.join(SI)}")
    return EXAMPLE[dimension]


@lru_cache(maxsize=1024)
def _scale(unit: str, dimension: str) -> float:
    """SI value of one of a unit that is a plain multiple of the SI unit."""
    registry, known = _registry(), _unit(unit, dimension)
    try:
        has_angle = "radian" in str(registry.get_root_units(known)[1])
        if has_angle != (dimension == "angle"):
            raise ValueError("an angle is not a ratio")
        one, two = (float(registry.Quantity(n, known).to(SI[dimension]).m) for n in (1.0, 2.0))
        if two != 2.0 * one:
            raise ValueError("a logarithmic unit, such as dB, is no plain multiple")
        return one
    except Exception as error:
        raise _not_of(unit, dimension) from error


def _temperature(value: float, unit: str, dimension: str) -> float:
    known = _temperature_unit(unit, dimension)
    return float(_registry().Quantity(value, known).to(SI[dimension]).magnitude)


def _temperature_unit(unit: str, dimension: str) -> str:
    """Registry name of the unit: of the scale itself, or of a difference on that scale."""
    name = str(_unit(unit, dimension))
    if dimension == "temperature":
        if name in TEMPERATURES:
            return name
    elif name in TEMPERATURES or name in TEMPERATURES.values():
        return TEMPERATURES.get(name, name)
    raise _not_of(unit, dimension)


def _unit(unit: str, dimension: str) -> Any:
    """The unit as the registry knows it. Only names, small powers, * and / reach the registry."""
    plain = unit.replace("%", "percent").replace("°", "deg").replace("·", "*")
    plain = _SHORT_POWER.sub(r"\1^\2", plain)
    if plain.startswith("/") and re.fullmatch(_NAME, plain[1:].strip()):
        return _unit(plain[1:].strip(), dimension) ** -1
    if len(unit) <= LONGEST_UNIT and _UNIT.fullmatch(plain):
        with suppress(Exception):  # the registry raises many kinds; all of them mean "not known"
            return _registry().parse_units(plain)
    raise UnitError(f"unit {_short(unit)} is not known; write it like {_example(dimension)}")


def _not_of(unit: str, dimension: str) -> UnitError:
    message = f"unit {unit!r} is not a unit of {dimension}; write it like {_example(dimension)}"
    return UnitError(message)


def parse_absolute(text: str) -> float:
    """Absolute pressure from text that says so, such as ``"101.3 kPa abs"``.

    Parameters
    ----------
    text : str   Pressure ending in the word "abs" [any pressure unit]
    Returns
    -------
    p : float   Absolute pressure [Pa]
    Errors      UnitError when "abs" is missing or the pressure says "gauge".
    Source      common practice, no source
    """
    stripped = text.strip()
    if not stripped.endswith("abs"):
        raise UnitError(f"{_short(text)} does not say abs; write it like 101.325 kPa abs")
    return parse(stripped.removesuffix("abs").strip(), "pressure")


def to(value: float, unit: str, dimension: str) -> float:
    """An SI value in another unit.

    Parameters
    ----------
    value : float   Value in SI [SI]
    unit : str   Target unit [-]
    dimension : str   A key of ``SI`` [-]
    Returns
    -------
    value : float   Value in the target unit [unit]
    Errors      UnitError when the unit is not one of the dimension.
    Source      pulse1d/units.txt
    """
    if dimension.startswith("temperature"):
        known = _temperature_unit(unit, dimension)
        return float(_registry().Quantity(value, SI[dimension]).to(known).magnitude)
    if dimension == "ratio" and not unit:
        return value
    return value / _scale(unit, dimension)
