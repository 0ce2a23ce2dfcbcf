"""Places ranked, causes named, sizes changed one at a time."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pulse1d.durability.beams import compliance, quarter_bend
from pulse1d.durability.materials import material
from pulse1d.durability.place import Place, free_swing, strain_of
from pulse1d.durability.rank import assess, ranking
from pulse1d.durability.sensitivity import sensitivities
from pulse1d.durability.strain import mismatch

C = 273.15
STEEL, IRON = material("304"), material("simo ductile iron")
SEAM = Place("tube at flange", STEEL, 650.0 + C, STEEL, 250.0 + C, 0.5, 650.0 + C, "as welded")


def test_strain_of_a_place() -> None:
    free = mismatch(STEEL, 650.0 + C, STEEL, 250.0 + C)
    assert free_swing(SEAM) == free
    assert strain_of(replace(SEAM, extra=1e-4)) == pytest.approx(0.5 * free + 1e-4, rel=1e-12)
    swung = replace(SEAM, opposite=-1e-3)
    assert strain_of(swung) == pytest.approx(0.5 * (free + 1e-3), rel=1e-12)  # cool-down counts


@pytest.mark.parametrize(
    ("place", "cause"),
    [
        (SEAM, "restraint"),
        (replace(SEAM, weld="uninspected root"), "weld"),
        (replace(SEAM, T=330.0 + C, weld="none"), "temperature difference"),
        (replace(SEAM, eta=0.02, extra=0.004, weld="none"), "legs"),
        (replace(SEAM, T=450.0 + C, T_other=440.0 + C, other=IRON, weld="none"),
         "unlike materials"),
    ],
)  # fmt: skip
def test_the_cause_that_was_planted_is_named(place: Place, cause: str) -> None:
    found = assess(place)
    assert max(found.gains, key=lambda name: found.gains[name]) == cause
    assert found.gains[cause] > 1.0
    assert f"life x {found.gains[cause]:.2g}" in found.reason


def test_reason_is_told_with_its_numbers() -> None:
    found = assess(SEAM)
    assert found.reason.startswith(
        "650 against 250 degC, held 50 %, weld as welded; most gained by half the restraint: life x"
    )
    # 95 000 over 8 300 by the worked chain; two digits are printed.
    assert found.gains["restraint"] == pytest.approx(11.5, abs=0.5)


def test_a_reason_says_what_strains_the_place() -> None:
    """A leg on its way has one temperature and nothing beside it: it is its neighbours that bend
    it. Where both count, both are told with their shares."""
    way = Place("leg on its way", STEEL, 545.0 + C, STEEL, 545.0 + C, 0.0, 545.0 + C, extra=0.0116)
    said = assess(way).reason
    assert said.startswith("bent by legs that hold each other as they grow, at 545 degC; most")
    assert "545 against" not in said
    assert "held 0 %" not in said
    heat = strain_of(SEAM)
    mostly_legs = assess(replace(SEAM, extra=1.5 * heat)).reason
    assert mostly_legs.startswith(
        f"bent by legs that hold each other as they grow: {150 * heat:.2f} %, and "
        f"{100 * heat:.2f} % from 650 against 250 degC, held 50 %, weld as welded; most"
    )
    mostly_heat = assess(replace(SEAM, extra=0.5 * heat)).reason
    assert mostly_heat.startswith(
        f"650 against 250 degC, held 50 %, weld as welded, and bent {50 * heat:.2f} % by legs"
    )
    assert "bent" not in assess(replace(SEAM, extra=0.2 * heat)).reason
    assert "and by weight" in assess(replace(way, hung=True)).reason


def test_ranking_puts_the_worst_first() -> None:
    mild = replace(SEAM, name="mild", eta=0.25)
    hot = replace(SEAM, name="hot", T_hottest=900.0 + C)
    hotter = replace(SEAM, name="hotter", T_hottest=950.0 + C)
    ranked = ranking(assess(p) for p in (mild, SEAM, hot, hotter))
    assert [a.place.name for a in ranked] == ["hotter", "hot", "tube at flange", "mild"]
    assert ranked[0].reason == ranked[0].band.refused
    assert "950 degC is above the limit of 304" in ranked[0].reason
    assert ranked[0].gains == {}


def test_a_place_at_rest_has_nothing_to_gain() -> None:
    still = replace(SEAM, T=293.15, T_other=293.15, T_hottest=293.15)
    assert assess(still).reason.endswith("none of the changes helps")


def test_sensitivity_to_a_bend_radius() -> None:
    """Compliance goes with the cube of the radius and the inverse of stiffness: exponents exact
    (round-off); strongest first."""

    def soft(sizes: dict) -> float:
        return float(quarter_bend(sizes["radius"], sizes["EI"])[2, 2])

    rows = sensitivities(soft, {"radius": 0.08, "EI": 900.0}, {"EI": 1800.0, "radius": 0.16})
    assert [row.name for row in rows] == ["radius", "EI"]
    assert rows[0].exponent == pytest.approx(3.0, rel=1e-12)
    assert rows[0].factor == pytest.approx(8.0, rel=1e-12)
    assert rows[1].exponent == pytest.approx(-1.0, rel=1e-12)
    line = [[0.0, 0.0, 0.0], [0.0, 0.0, 0.1]]
    assert soft({"radius": 0.1, "EI": 900.0}) > compliance(line, 900.0)[2, 2]


def test_sensitivity_of_a_life() -> None:
    """The gap of a slot taken up as restraint: less held, longer life; a refused life has none."""

    def life(sizes: dict) -> float:
        place = replace(SEAM, eta=sizes["restraint"], T_hottest=sizes["hottest"])
        return assess(place).band.mid

    base = {"restraint": 0.5, "hottest": 650.0 + C}
    rows = sensitivities(life, base, {"restraint": 0.25, "hottest": 900.0 + C})
    by_name = {row.name: row for row in rows}
    assert by_name["restraint"].factor == pytest.approx(11.5, abs=0.5)  # as above
    assert by_name["restraint"].exponent < -2.0
    assert math.isnan(by_name["hottest"].factor)
    assert math.isnan(by_name["hottest"].exponent)
    assert rows[0].name == "hottest"  # the loss of any life stands first
    with pytest.raises(ValueError, match="no size named gap; known: restraint, hottest"):
        sensitivities(life, base, {"gap": 1.0})
