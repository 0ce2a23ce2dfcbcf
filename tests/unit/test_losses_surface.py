"""Named surfaces and own ones."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from pulse1d.losses import Surface, resolve_surface, surface_names
from pulse1d.losses.surface import OWN_BAND, surface_note
from pulse1d.spec import FROM_TEXT


def test_named_surface_brings_its_roughness_and_band() -> None:
    tube = resolve_surface("tube")
    assert tube.roughness == pytest.approx(15e-6, rel=1e-12)  # unit conversion
    assert (tube.band, tube.label, tube.f_D) == (0.7, "tube", None)
    assert Surface.model_validate({"name": "tube"}, context=FROM_TEXT) == tube
    assert resolve_surface(tube) is tube


def test_surfaces_are_listed_smoothest_first() -> None:
    roughness = [resolve_surface(name).roughness for name in surface_names()]
    assert roughness == sorted(roughness)
    assert roughness[0] == 0.0
    assert all(surface_note(name) for name in surface_names())


def test_own_roughness() -> None:
    own = Surface.model_validate({"roughness": "0.1 mm"}, context=FROM_TEXT)
    assert (own.band, own.label) == (OWN_BAND, "100 um")
    assert Surface(name="ours", roughness=1e-4, band=0.2).label == "ours"
    half = Surface.model_validate({"name": "tube", "band": 0.3})
    assert (half.roughness, half.band) == (resolve_surface("tube").roughness, 0.3)


def test_fixed_friction_factor() -> None:
    fixed = Surface.model_validate({"f D": 0.02}, context=FROM_TEXT)
    assert (fixed.f_D, fixed.roughness, fixed.label) == (0.02, 0.0, "f_D 0.02")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"name": "tubes"}, "did you mean 'tube'"),
        ({}, "known: smooth, drawn tube"),
        ({"f D": 0.02, "roughness": "1 mm"}, "not both"),
        ({"roughness": 1e-4}, "has no unit"),
    ],
)
def test_refusals_say_what_to_do(data: dict[str, object], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        Surface.model_validate(data, context=FROM_TEXT)


def test_unknown_name() -> None:
    with pytest.raises(ValueError, match="no surface is called 'brick'"):
        resolve_surface("brick")
