"""How flow grows with test pressure, and which conversions that licenses."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from pulse1d.measure import Header, Reading, Session
from pulse1d.measure.exponent import (
    ConversionRefused,
    Exponent,
    convert,
    exponents,
    fit_exponent,
)
from pulse1d.measure.model import flux_at
from pulse1d.measure.reduce import reduce

INCH = 249.09


def header(direction: str = "blown") -> Header:
    head: dict[str, Any] = {
        "format": "pulse1d readings 1",
        "about": {"bench": "invented", "date": "2026-03-02"},
        "parts": {"log": {"name": "pump log"}},
        "set-up": {
            "direction": direction,
            "fixed end": "port",
            "test pressure": 28.0 * INCH,
            "adapter": {"shape": "port"},
            "meter inlet": "room",
        },
        "meters": [{"name": "m", "kind": "flow meter", "reads": "mass flow"}],
    }
    return Header.model_validate(head)


def exponent(n: float = 0.5, u_n: float = 0.002, low: float = 10.0, high: float = 28.0) -> Exponent:
    licensed = abs(n - 0.5) <= 0.01 and u_n <= 0.01
    return Exponent(n, u_n, 4, licensed, "n as stated", low * INCH, high * INCH, n)


@pytest.mark.parametrize(
    ("inches", "root", "blown", "sucked", "volume"),
    [
        (10, 1.6733, 1.6707, 1.6321, 1.6015),
        (15, 1.3663, 1.3647, 1.3417, 1.3239),
        (25, 1.0583, 1.0580, 1.0538, 1.0507),
    ],
)
def test_conversion_factors_of_bench_practice(
    inches: float, root: float, blown: float, sucked: float, volume: float
) -> None:
    """Worked out on paper with constant Cd, four printed digits."""
    for direction, expected in (("blown", blown), ("sucked", sucked)):
        found = convert(1.0, inches * INCH, 28.0 * INCH, exponent(), header(direction))
        # printed digits, and the reference density, which cancels
        assert found.flow == pytest.approx(expected, abs=1.5e-4)
    denser = (101325.0 + inches * INCH) / (101325.0 + 28.0 * INCH)
    assert blown * denser == pytest.approx(volume, abs=1.5e-4)  # printed digits
    assert math.sqrt(28.0 / inches) == pytest.approx(root, abs=6e-5)  # printed digits
    # where compressibility bends it: sucked from 10 inH2O it leaves the root by 2.5 %
    if inches == 10:
        assert sucked / root < 0.98


def test_a_power_law_is_found() -> None:
    dp = np.array([8.0, 12.0, 20.0, 28.0]) * INCH
    found = fit_exponent(dp, 0.01 * dp**0.53)
    assert found.n == pytest.approx(0.53, abs=1e-12)  # round-off
    assert found.u_n < 1e-9
    assert not found.licensed
    assert found.reason == "n = 0.530 lies outside 0.50 +- 0.01"


def test_standard_error_is_that_of_least_squares() -> None:
    from scipy.stats import linregress

    dp = np.array([8.0, 12.0, 20.0, 28.0]) * INCH
    flows = 0.01 * dp**0.5 * np.array([1.004, 0.996, 1.003, 0.999])
    line = linregress(np.log(dp), np.log(flows))
    found = fit_exponent(dp, flows)
    assert (found.n, found.u_n) == pytest.approx((line.slope, line.stderr), rel=1e-9)
    # gauges that leave more open than the points scatter
    wide = fit_exponent(dp, flows, covariance=0.02**2 * np.eye(4))
    x = np.log(dp)
    assert wide.u_n == pytest.approx(0.02 / math.sqrt(np.sum((x - x.mean()) ** 2)), rel=1e-9)
    assert not wide.licensed
    assert "known only to" in wide.reason
    # an error common to all pressures is none of n
    common = fit_exponent(dp, flows, covariance=0.02**2 * np.ones((4, 4)))
    assert common.u_n == pytest.approx(line.stderr, rel=1e-6)


@pytest.mark.parametrize(
    "inches", [[20.0, 28.0], [20.0, 20.4, 28.0, 28.4], [22.0, 25.0, 28.0], [28.0]]
)
def test_too_few_pressures_or_too_near(inches: list[float]) -> None:
    dp = np.array(inches) * INCH
    with pytest.raises(ValueError, match=r"; read 3 or more that span a factor of 1.5"):
        fit_exponent(dp, np.sqrt(dp))


def test_without_an_exponent() -> None:
    near = convert(0.1, 27.0 * INCH, 28.0 * INCH, None, header())
    expected = flux_at(header(), 28.0 * INCH) / flux_at(header(), 27.0 * INCH)
    assert near.flow == pytest.approx(0.1 * expected, rel=1e-12)  # the same formula
    # n between 1/2 and 1/1.8 at worst, rectangular
    assert near.u == pytest.approx(math.log(28 / 27) * (1 / 1.8 - 0.5) / 3**0.5, rel=0.01)
    with pytest.raises(ConversionRefused, match=r"was not read; read it at 3 pressures around 28"):
        convert(0.1, 24.0 * INCH, 28.0 * INCH, None, header())


def test_the_usual_step_of_25_to_28_inches() -> None:
    """Safe to half a per cent where nothing speaks against it (common practice, no source)."""
    usual = convert(0.1, 25.0 * INCH, 28.0 * INCH, None, header())
    assert usual.flow / 0.1 == pytest.approx(1.0580, abs=6e-5)  # blown, of mass: printed digits
    assert usual.u < 0.005
    with pytest.raises(ConversionRefused, match=r"beyond the 10.0 inH2O to 25.0 inH2O"):
        convert(0.1, 25.0 * INCH, 28.0 * INCH, exponent(0.54, high=25.0), header())


def test_inside_the_range_n_counts_whatever_it_is() -> None:
    found = convert(0.1, 15.0 * INCH, 28.0 * INCH, exponent(0.54), header())
    kept = convert(0.1, 15.0 * INCH, 28.0 * INCH, exponent(0.50), header())
    assert found.flow / kept.flow == pytest.approx((28 / 15) ** 0.04, rel=1e-12)  # the same formula
    assert found.u == pytest.approx(0.002 * math.log(28 / 15), rel=1e-12)


def test_beyond_the_range() -> None:
    far = convert(0.1, 28.0 * INCH, 50.0 * INCH, exponent(0.505), header())
    assert far.u > 0.005 * math.log(50 / 28)
    with pytest.raises(ConversionRefused, match=r"beyond the 10.0 inH2O to 28.0 inH2O"):
        convert(0.1, 28.0 * INCH, 50.0 * INCH, exponent(0.54), header())
    with pytest.raises(ConversionRefused, match=r"factor of 2.1 beyond .*; read it at 3 pressures"):
        convert(0.1, 28.0 * INCH, 60.0 * INCH, exponent(0.505), header())
    # a small step beyond needs no licence
    assert convert(0.1, 28.0 * INCH, 29.0 * INCH, exponent(0.54), header()).flow > 0.1


def session(growth: float, inches: list[float]) -> Session:
    """An invented part whose effective area grows with pressure, blown."""
    head, rows = header(), []
    for order, value in enumerate(inches, start=1):
        dp = value * INCH
        mdot = 8e-4 * (value / 28.0) ** growth * flux_at(head, dp)
        common = (1, "m", dp, mdot, 293.15, 293.15, 101325.0, 0.0)
        rows.append(Reading(order, order, "part", "log", "1", *common))
    return Session(head, tuple(rows))


@pytest.mark.parametrize("growth", [0.0, 0.04])
def test_exponent_of_a_session(growth: float) -> None:
    found = exponents(reduce(session(growth, [10.0, 15.0, 20.0, 28.0])))[("log", "1")]
    assert found.n == pytest.approx(0.5 + growth, abs=1e-6)  # gamma kept by row
    # bench practice: volume in front of a blown part of constant Cd grows by 1.6015 from 10 to 28
    bent = math.log(1.6015) / math.log(2.8) + growth
    assert found.n_actual == pytest.approx(bent, abs=0.003)  # a curve, four points of it
    assert found.licensed == (growth == 0.0)
    assert found.u_n > 0.0


def test_ports_read_at_one_pressure_have_none() -> None:
    assert exponents(reduce(session(0.0, [28.0, 28.0, 28.0]))) == {}
