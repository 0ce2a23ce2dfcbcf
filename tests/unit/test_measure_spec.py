"""What stands at the head of a readings file: keys, defaults, refusals with a remedy."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from pulse1d.measure import Header, Meter
from pulse1d.spec import FROM_TEXT

RATED = {"kind": "calibrated plate", "rated flow": "300 CFM", "rated pressure": "6 inH2O"}
HEAD: dict[str, Any] = {
    "format": "pulse1d readings 1",
    "about": {"bench": "north bench", "date": "2026-03-02", "notes": "Invented."},
    "parts": {"log": {"name": "pump log", "case": "log.yaml"}},
    "set-up": {
        "direction": "blown",
        "fixed end": "port",
        "test pressure": "28 inH2O",
        "adapter": {"shape": "port", "edge radius": "6 mm"},
        "meter inlet": "room",
    },
    "meters": [{"name": "range 4", **RATED}],
}


def head(**more: Any) -> Header:
    return Header.model_validate({**HEAD, **more}, context=FROM_TEXT)


def meter(**keys: Any) -> Any:
    return TypeAdapter(Meter).validate_python({"name": "m", **keys}, context=FROM_TEXT)


def test_a_head_is_read_in_si() -> None:
    found = head(instruments={"temperature": "1 K", "barometer": "2 hPa"})
    assert found.set_up.test_pressure == pytest.approx(28 * 249.09, rel=1e-4)  # inH2O at 4 degC
    assert found.set_up.tolerance == 0.02
    assert found.about.date.isoformat() == "2026-03-02"
    assert (found.instruments.temperature, found.instruments.barometer) == (1.0, 200.0)
    assert found.meter("range 4").kind == "calibrated plate"
    assert found.check_plate is None


def test_a_written_head_reads_again() -> None:
    found = head()
    assert Header.model_validate(found.model_dump(by_alias=True)) == found


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ({"kind": "calibrated plate"}, "0 ways; give one of area"),
        ({**RATED, "area": "800 mm^2"}, "2 ways; give one of area"),
        ({"kind": "calibrated plate", "rated flow": "300 CFM"}, "no rated pressure; give both"),
        ({"kind": "calibrated plate", "rated pressure": "6 inH2O"}, "no rated flow; give both"),
        (
            {
                "kind": "calibrated plate",
                "table": [
                    {"pressure": "2 inH2O", "flow": "100 CFM"},
                    {"pressure": "6 inH2O", "flow": "90 CFM"},
                ],
            },
            "does not rise; list its points",
        ),
        ({"kind": "orifice plate", "bore": "10 mm", "pipe bore": "150 mm"}, "0.067 of the pipe's"),
        ({"kind": "flow meter", "reads": "standard volume flow"}, "of which state; give its ref"),
        ({"kind": "flow meter", "reads": "mass flow", "reference": {}}, "needs no reference"),
        (
            {"kind": "flow meter", "reads": "mass flow", "low": "4 kg/h", "high": "3 kg/h"},
            "is empty; give low below high",
        ),
        ({"kind": "flow meter", "reads": "mass flow", "low": "4 CFM"}, "not a unit of mass flow"),
        ({"kind": "flow meter", "reads": "mass flow", "low": 4}, "has no unit"),
        ({"kind": "turbine"}, "calibrated plate"),
        ({**RATED, "area unit": "1"}, "Extra inputs"),
    ],
)
def test_a_meter_that_cannot_be(keys: dict[str, Any], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        meter(**keys)


def test_the_range_is_in_what_the_meter_reads() -> None:
    mass = meter(kind="flow meter", reads="mass flow", low="36 kg/h")
    volume = meter(kind="flow meter", reads="actual volume flow", low="36 m^3/h")
    assert mass.low == pytest.approx(0.01, rel=1e-12)  # 36/3600
    assert volume.low == pytest.approx(0.01, rel=1e-12)


def test_names_of_meters_differ() -> None:
    with pytest.raises(ValidationError, match="two meters are named 'range 4'; give each"):
        head(meters=[{"name": "range 4", **RATED}] * 2)


@pytest.mark.parametrize("key", ["direction", "fixed end", "test pressure", "meter inlet"])
def test_what_must_be_recorded(key: str) -> None:
    with pytest.raises(ValidationError, match="Field required"):
        head(**{"set-up": {k: v for k, v in HEAD["set-up"].items() if k != key}})
