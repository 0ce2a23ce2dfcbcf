"""Materials: every cell sourced, tables sound, names found, own ones derived."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pulse1d.durability.materials import citations, material, names
from pulse1d.durability.metal import UNITS
from pulse1d.durability.own_material import OwnMaterial
from pulse1d.durability.own_materials import own_materials

C = 273.15
WANTED = (
    "simo ductile iron", "ductile iron", "grey iron", "D5S", "cast heat-resisting steel", "304",
    "321", "309", "409", "441", "1.4828", "316", "steel 8.8", "A286", "1.7709", "aluminium head",
    "iron head",
)  # fmt: skip


@pytest.mark.parametrize("name", WANTED)
def test_what_an_exhaust_is_made_of_is_there(name: str) -> None:
    assert material(name).name in names()


@pytest.mark.parametrize("name", names())
def test_every_cell_has_a_source_and_a_sound_value(name: str) -> None:
    metal = material(name)
    for prop, table in metal.tables.items():
        assert len(table.T) == len(table.value) == len(table.source)
        assert all(b > a for a, b in zip(table.T, table.T[1:], strict=False)), prop
        assert min(table.value) > 0.0
        assert set(table.source) <= set(citations()), prop
    assert set(metal.from_.split(", ")) <= set(citations())
    assert 0.0 < metal.RA < 1.0
    # metals lie between magnesium and tungsten in all of these; a slip of a unit does not
    assert 1.7e3 < metal.rho < 2e4
    assert 20e9 < metal.E(300.0) < 420e9
    assert 4e-6 < metal.alpha_mean(400.0) < 30e-6
    assert 300.0 < metal.cp(300.0) < 1100.0
    assert 470.0 < metal.T_limit < 1400.0
    for T in metal.ultimate.T + metal.yield_.T:
        assert metal.yield_(T) < metal.ultimate(T)


def test_values_are_those_of_their_source() -> None:
    """Cells marked as seen, against the notes of the pages (read, typed again here)."""
    simo = material("SiMo iron")
    at = [20 + C, 300 + C, 500 + C, 800 + C]
    assert simo.yield_(at) == pytest.approx([480e6, 395e6, 270e6, 30e6])
    assert simo.ultimate(at) == pytest.approx([550e6, 480e6, 350e6, 50e6])
    assert simo.E(at) == pytest.approx([148e9, 140e9, 120e9, 25e9])
    assert simo.T_limit == pytest.approx(750 + C)
    hot = [20 + C, 540 + C, 650 + C]
    for name, proof, tensile in (
        ("304", [269, 124, 110], [600, 379, 303]),
        ("321", [214, 179, 145], [545, 396, 310]),
        ("309", [310, 248, 193], [621, 462, 372]),
    ):
        assert material(name).yield_(hot) == pytest.approx([1e6 * x for x in proof])
        assert material(name).ultimate(hot) == pytest.approx([1e6 * x for x in tensile])
    E = [194e9, 188e9, 182e9, 174e9, 166e9, 158e9, 149e9]  # Karditsas & Baptiste 1995
    assert material("316").E([300.0 + 100.0 * i for i in range(7)]) == pytest.approx(E)
    for T in (298.15, 500.0, 773.15, 1000.0, 1273.15):  # Mills' fits; straight lines cost 1 % of k
        k = 6.308 + 0.02716 * T - 7.3e-6 * T**2
        assert material("316").k(T) == pytest.approx(k, rel=0.03)
        assert material("316").cp(T) == pytest.approx(428.5 + 0.1816 * T, rel=1e-3)


def test_values_from_memory_are_marked() -> None:
    marks = {mark for cells in material("441").sources.values() for mark in cells}
    assert "memory" in marks
    assert "from memory" in citations()["memory"]
    assert "from memory" not in citations()["foundry_simo"]
    assert "foundry_simo" in material("simo ductile iron").sources["yield_"]


def test_beyond_a_table_its_end_holds_and_is_told() -> None:
    simo = material("simo ductile iron")
    assert simo.alpha_mean(1100.0) == simo.alpha_mean(600 + C)
    assert "alpha_mean" in simo.outside(650 + C)
    assert material("304").outside(500.0) == ()


def test_unknown_names_get_the_nearest() -> None:
    with pytest.raises(ValueError, match=r"unknown material 'grey irn'; nearest 'grey iron'"):
        material("grey irn")
    with pytest.raises(ValueError, match=r"unknown material 'qqq'; known: grey iron"):
        material("qqq")
    mine = replace(material("304"), name="my tube")
    with pytest.raises(ValueError, match=r"nearest 'my tube'"):
        material("my tub", (mine,))
    assert material("My Tube", (mine,)) is mine


def test_own_materials_differ_where_they_say() -> None:
    stated = {
        "my iron": OwnMaterial(like="simo ductile iron", E=((300.0, 150.0),), density=7050.0),
        "mine too": OwnMaterial(like="my iron", limit=1043.15),
    }
    own = own_materials(stated)
    first, second = own
    assert first.E(900.0) == pytest.approx(150 * UNITS["E"])
    assert first.sources["E"] == ("case",)
    assert (first.rho, second.rho, second.T_limit) == (7050.0, 7050.0, 1043.15)
    assert first.yield_ is material("simo").yield_
    assert "case (rho)" in first.from_
    with pytest.raises(ValueError, match="unknown material"):
        own_materials({"x": OwnMaterial(like="unobtainium")})
