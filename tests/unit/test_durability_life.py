"""Life bands: what must hold whatever the numbers."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pulse1d.durability.life import SCATTER_COLD, SCATTER_HOT, lives
from pulse1d.durability.life_bounds import LIFE_LEAST, LIFE_MOST
from pulse1d.durability.materials import material, names
from pulse1d.durability.methods import METHODS, life_of, like_316, methods_at
from pulse1d.durability.slopes import ductility
from pulse1d.durability.weld_factor import WELDS

C = 273.15
PARTS = [name for name in names() if "head" not in name]


@settings(max_examples=80, deadline=None)
@given(
    name=st.sampled_from(PARTS),
    strain=st.floats(1e-4, 0.05),
    more=st.floats(1.0, 3.0),
    celsius=st.floats(20.0, 1000.0),
    warmer=st.floats(0.0, 200.0),
)
def test_more_strain_or_heat_never_lives_longer(
    name: str, strain: float, more: float, celsius: float, warmer: float
) -> None:
    metal = replace(material(name), T_limit=math.inf)
    here = lives(strain, metal, celsius + C)
    strained = lives(more * strain, metal, celsius + C)
    hotter = lives(strain, metal, celsius + warmer + C)
    assert LIFE_LEAST <= here.low <= here.mid <= here.high <= LIFE_MOST
    slack = 1.0 + 1e-6  # the dip is found to 1e-4 in log su/E, so to about 1e-8 in life
    for worse in (strained, hotter):
        assert worse.low <= slack * here.low
        assert worse.mid <= slack * here.mid
        assert worse.high <= slack * here.high


def test_worse_welds_live_shorter() -> None:
    metal, T = material("304"), 600.0 + C
    bands = [lives(0.004, metal, T, weld) for weld in WELDS]
    assert [b.low for b in bands] == sorted((b.low for b in bands), reverse=True)
    assert [b.mid for b in bands] == sorted((b.mid for b in bands), reverse=True)
    assert len({b.mid for b in bands}) == len(WELDS)


def test_a_band_spans_its_weld() -> None:
    """Fillet 2 to 2.5: shortest rule at the worst, tenth of it; longest at the best."""
    metal, T = material("321"), 600.0 + C
    band = lives(0.002, metal, T, "fillet")
    shortest = min(methods_at(2.5 * 0.002, metal, T).values())
    longest = max(methods_at(2.0 * 0.002, metal, T).values())
    assert band.low == pytest.approx(SCATTER_HOT * shortest, rel=1e-12)  # same reckoning
    assert band.high == pytest.approx(longest, rel=1e-12)
    assert band.methods == methods_at(2.25 * 0.002, metal, T)


@pytest.mark.parametrize("method", ["modified slopes", "four-point"])
def test_the_shortest_life_on_the_way_is_found(method: str) -> None:
    """Against 4000 temperatures one by one. 1e-5: the grid."""
    metal, strain, T = material("441"), 0.003, 800.0 + C
    D, way = ductility(metal.RA), np.linspace(293.15, T, 4000)
    each = [life_of(method, strain, metal.ultimate(t) / metal.E(t), D) for t in way]
    assert methods_at(strain, metal, T)[method] == pytest.approx(min(each), rel=1e-5)


def test_the_dip_between_cold_and_hot_is_found() -> None:
    """Modified slopes of 441 at 0.25 %: shortest on the way, not at an end or a cell."""
    metal, strain, T = material("441"), 0.0025, 800.0 + C
    D, cells = ductility(metal.RA), {*metal.ultimate.T, *metal.E.T, T}
    at_cells = min(
        life_of("modified slopes", strain, metal.ultimate(t) / metal.E(t), D)
        for t in cells
        if t <= T
    )
    assert methods_at(strain, metal, T)["modified slopes"] < 0.999 * at_cells


def test_above_the_limit_no_life_is_told() -> None:
    metal = material("409")
    band = lives(0.001, metal, metal.T_limit + 1.0)
    assert math.isnan(band.low)
    assert math.isnan(band.mid)
    assert math.isnan(band.high)
    assert band.refused == "706 degC is above the limit of 409, 705 degC: no life is told"
    assert lives(0.001, metal, metal.T_limit).refused == ""


def test_lower_bound_by_heat() -> None:
    """Shortest method over 3 cold, over 10 in the creep range; one without weld factor."""
    metal = material("simo ductile iron")
    for T, share in ((350.0 + C, SCATTER_COLD), (400.0 + C, SCATTER_HOT)):
        band = lives(0.004, metal, T)
        assert band.low == pytest.approx(share * min(band.methods.values()), rel=1e-12)


def test_316_curves_stand_for_their_family_alone() -> None:
    assert {n for n in names() if like_316(material(n))} == {"304", "316", "321"}
    assert like_316(replace(material("304"), name="my 304 tube"))


def test_316_curve_is_an_upper_bound_above_its_end() -> None:
    metal = material("321")
    band = lives(0.004, metal, 800.0 + C)
    assert band.mid <= band.methods["316 curve"]
    assert any("upper bound" in note for note in band.notes)
    assert not any("upper bound" in note for note in lives(0.004, metal, 700.0 + C).notes)


def test_ends_of_what_is_told() -> None:
    metal = material("304")
    none = lives(0.0, metal, 300.0)
    assert none.mid == none.high == LIFE_MOST
    torn = lives(20.0, metal, 300.0)
    assert torn.low == torn.mid == torn.high == LIFE_LEAST
    assert set(torn.methods) == {*METHODS, "316 curve"}


def test_bad_input_is_refused() -> None:
    metal = material("304")
    with pytest.raises(ValueError, match='unknown weld "glued"; known: none, dressed'):
        lives(0.004, metal, 600.0, "glued")
    with pytest.raises(ValueError, match=r"a strain range of -0\.001 is negative"):
        lives(-0.001, metal, 600.0)
    with pytest.raises(ValueError, match="reduction of area of 0 is not within"):
        lives(0.004, replace(metal, RA=0.0), 600.0)
