"""Gas specs as a case file writes them."""

from __future__ import annotations

import subprocess
import sys

import pytest
from pydantic import TypeAdapter, ValidationError

from pulse1d.gas import Burned, DryAir, GasSpec, MoistAir, burned_gas, dry_air, moist_air, resolve
from pulse1d.spec import FROM_TEXT

READER = TypeAdapter(GasSpec)
ROOM = (101325.0, 293.15)


def read(**keys: object) -> object:
    return READER.validate_python(
        {k.replace("_", " "): v for k, v in keys.items()}, context=FROM_TEXT
    )


def test_kinds_read_from_text() -> None:
    assert read(kind="dry air") == DryAir()
    assert read(kind="moist air", humidity="45 %") == MoistAir(humidity=0.45)
    gas = read(kind="burned", fuel="gasoline", freeze_temperature="1400 degC", **{"lambda": 0.9})
    assert gas == Burned(fuel="gasoline", lambda_=0.9, freeze_temperature=1673.15)
    assert read(kind="burned", hydrogen_to_carbon=1.9, oxygen_to_carbon=0.1).atoms == (1.9, 0.1)


def test_resolve() -> None:
    assert resolve(DryAir(), *ROOM) == dry_air()
    assert resolve(MoistAir(humidity=0.5), *ROOM) == moist_air(*ROOM, 0.5)
    assert resolve(Burned(fuel="diesel", lambda_=1.4), *ROOM) == burned_gas(1.85, lambda_=1.4)
    rich = Burned(fuel="gasoline", lambda_=0.9, freeze_temperature=1600.0)
    assert resolve(rich, *ROOM) == burned_gas(1.87, lambda_=0.9, T_freeze=1600.0)


def test_keys_go_out_as_they_came_in() -> None:
    out = Burned(fuel="gasoline").model_dump(by_alias=True)
    assert out["lambda"] == 1.0
    assert "freeze temperature" in out


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        ({"kind": "burnt"}, "does not match any of the expected tags"),
        ({"kind": "burned"}, "either a fuel or its hydrogen to carbon"),
        ({"kind": "burned", "fuel": "gasoline", "hydrogen_to_carbon": 1.9}, "not both"),
        ({"kind": "burned", "fuel": "gasoline", "oxygen_to_carbon": 0.1}, "not with a named fuel"),
        ({"kind": "burned", "fuel": "gasolene"}, "did you mean 'gasoline'"),
        ({"kind": "burned", "hydrogen_to_carbon": 0.0, "oxygen_to_carbon": 2.0}, "is not a fuel"),
        ({"kind": "burned", "fuel": "diesel", "lambda": 0.4}, "greater than or equal to 0.6"),
        ({"kind": "burned", "fuel": "diesel", "freeze_temperature": 1700}, "has no unit"),
        ({"kind": "burned", "fuel": "diesel", "freeze_temperature": "300 K"}, "or equal to 1000"),
        ({"kind": "moist air"}, "Field required"),
        ({"kind": "moist air", "humidity": "110 %"}, "less than or equal to 1"),
        ({"kind": "dry air", "humidity": "50 %"}, "Extra inputs are not permitted"),
    ],
)
def test_refusals(keys: dict[str, object], text: str) -> None:
    with pytest.raises(ValidationError, match=text):
        read(**keys)


def test_specs_are_frozen() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        DryAir().kind = "dry air"  # type: ignore[misc]


def test_import_loads_neither_cantera_nor_numba() -> None:
    code = (
        "import sys, pulse1d.gas as g; g.resolve(g.Burned(fuel='diesel'), 1e5, 300.0).table; "
        "print([m for m in ('cantera', 'numba', 'pint', 'xarray', 'ruamel') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
