"""Every element and law explains itself, from its own spec, docstrings, sources and code."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any, Literal

import pytest

from pulse1d.case.design import load
from pulse1d.errors import InputError
from pulse1d.losses import law_catalogue, law_values
from pulse1d.losses.catalogue import PIECES
from pulse1d.losses.element import Element, Station, k_effects
from pulse1d.losses.explain import explain, names
from pulse1d.losses.explain_piece import explain_piece
from pulse1d.losses.piece import PieceBase, loss_step
from pulse1d.sources import OWN, catalogue
from pulse1d.spec import Length, PositiveLength

ROOT = Path(__file__).parents[2]
EVERY = list(names())


def kind(piece: type[PieceBase]) -> str:
    return str(piece.model_fields["kind"].default)


def test_all_are_listed_once() -> None:
    assert EVERY == [*map(kind, PIECES), *(law.name for law in law_catalogue.LAWS)]
    assert len(set(EVERY)) == len(EVERY)


@pytest.mark.parametrize("name", EVERY)
def test_each_tells_all_that_is_asked(name: str) -> None:
    one = explain(name)
    assert one.name == name
    assert one.what.endswith(".")
    assert "``" not in one.what
    assert one.example
    assert one.stations
    assert one.sources
    for source in one.sources:
        assert source.key in catalogue() or source.key in OWN
    assert one.tables
    for values in one.tables:
        assert len(values.rows) >= 3
        assert {len(row) for row in values.rows} == {len(values.headings)}
    for formula in one.formulas:
        assert formula.what
        assert formula.takes
        assert formula.source


@pytest.mark.parametrize("piece", PIECES, ids=kind)
def test_every_key_of_a_piece_is_told(piece: type[PieceBase]) -> None:
    told = {key.key for key in explain(kind(piece)).keys}
    fields = {info.alias or name for name, info in piece.model_fields.items()}
    assert told == fields - {"kind", "name"}


@pytest.mark.parametrize("piece", PIECES, ids=kind)
def test_the_example_is_one_that_a_case_may_hold(piece: type[PieceBase]) -> None:
    from pydantic import TypeAdapter
    from ruamel.yaml import YAML

    from pulse1d.losses import Piece
    from pulse1d.spec import FROM_TEXT

    text = explain(kind(piece)).example
    read = YAML(typ="safe").load(text)
    assert isinstance(TypeAdapter(Piece).validate_python(read, context=FROM_TEXT), piece)


@pytest.mark.parametrize("piece", PIECES, ids=kind)
def test_something_varies_in_every_table(piece: type[PieceBase]) -> None:
    for values in explain(kind(piece)).tables:
        columns = list(zip(*values.rows, strict=True))[1:]
        assert any(len(set(column)) > 1 for column in columns)


def test_the_table_of_a_piece_is_its_own_code(monkeypatch: pytest.MonkeyPatch) -> None:
    from pulse1d.losses import mitre

    before = [row[1] for row in explain("mitre").tables[0].rows]
    law = mitre.K_mitre
    monkeypatch.setattr(mitre, "K_mitre", lambda angle: 2.0 * law(angle))
    after = [row[1] for row in explain("mitre").tables[0].rows]
    # twice the K at Mach 0.1; second order in K M^2 is 1 % at K 2.4
    assert after == pytest.approx([2.0 * K for K in before], rel=0.02)


def test_the_table_of_a_law_is_its_own_code(monkeypatch: pytest.MonkeyPatch) -> None:
    from pulse1d.losses import valve_flow

    monkeypatch.setattr(valve_flow, "Cd_valve", lambda x: (x, 2.0 * x))
    rows = law_values.valves()[0].rows
    assert [row[1:] for row in rows] == [(float(row[0]), 2.0 * float(row[0])) for row in rows]


def test_values_against_the_handbook_formula() -> None:
    """Rennels & Hudson 2012: a mitre's K = 0.42 s + 2.56 s^3, s = sin(angle/2)."""
    for angle, K, *_ in explain("mitre").tables[0].rows:
        s = math.sin(0.5 * math.radians(float(str(angle).split()[0])))
        # told at Mach 0.1: factor 1 + 0.6 M^2 on K, and p0 loss over q to second order, 2 %
        assert pytest.approx(0.42 * s + 2.56 * s**3, rel=0.02) == K


def test_a_band_holds_its_value() -> None:
    for name in ("bend", "taper", "weld bead", "catalyst brick"):
        for values in explain(name).tables:
            for _, K, low, high, _ in values.rows:
                assert low <= K <= high


class Grille(PieceBase):
    """A grille that no catalogue has. It stands in the stream."""

    kind: Literal["grille"] = "grille"
    bar: PositiveLength
    """Of one bar, across."""
    lip: Length = 0.0

    def elements(self, station: Station) -> tuple[Element, ...]:
        """One row [SI]."""
        K = self.bar / station.section.D_h
        step = loss_step(station.section, station, K0=K, K0_rev=K)
        effects = k_effects("grille K", 0, 0.2)
        return (Element(self.label, self.kind, (step,), "upstream", "borda", effects),)


def test_a_new_piece_explains_itself_without_a_word_more() -> None:
    one = explain_piece(Grille)
    assert one.what == "A grille that no catalogue has. It stands in the stream."
    assert one.example == "{kind: grille, bar: 38 mm}"
    keys: dict[str, Any] = {key.key: key for key in one.keys}
    assert keys["bar"].needed
    assert keys["bar"].what == "Of one bar, across."
    assert keys["lip"].default == "0 mm"
    assert [source.key for source in one.sources] == ["borda"]
    values = one.tables[0]
    assert values.headings[0] == "bar"
    for text, K, low, high, _ in values.rows:
        # K as written above; at Mach 0.1 loss over q is 1 % more than K at K 2
        assert pytest.approx(float(str(text).split()[0]) / 38.0, rel=0.02) == K
        # a band of exp(+-0.2) on K
        assert pytest.approx(K * math.exp(-0.2), rel=0.03) == low
        assert pytest.approx(K * math.exp(0.2), rel=0.03) == high


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("Elbows", "bend"),
        ("weld-root", "weld bead"),
        ("port match", "flange joint"),
        ("catalytic converter", "catalyst brick"),
        ("green sand cast", "roughness"),
        ("merge", "joint"),
        ("K_bend", "bend"),
        ("f_churchill", "wall friction"),
        ("exit kinetic energy", "exit"),
    ],
)
def test_words_of_the_trade(word: str, name: str) -> None:
    assert explain(word).name == name


@pytest.mark.parametrize(("typed", "meant"), [("cataliser", "catalyst brick"), ("elbo", "bend")])
def test_a_near_miss_suggests(typed: str, meant: str) -> None:
    with pytest.raises(InputError) as caught:
        explain(typed)
    assert f"did you mean {meant}" in str(caught.value)


def stated_causes() -> list[str]:
    """Doubts that the code of losses and networks names, without the labels of single parts."""
    call = re.compile(r'(?:\bEffect|k_effects|jet_effects)\(\s*f?"([^"{]+)')
    named = re.compile(r'cause = f?"([^"{]+)')
    found = set()
    for folder in ("losses", "network"):
        for file in (ROOT / "pulse1d" / folder).glob("*.py"):
            text = file.read_text(encoding="utf-8")
            found |= {*call.findall(text), *named.findall(text)}
    return sorted(cause.strip() for cause in found)


def test_every_doubt_that_a_band_may_name_is_explained() -> None:
    from pulse1d.network.rows import FITTED, LAWS

    causes = stated_causes()
    assert {*FITTED, *LAWS} <= {*causes, "bend interaction"}
    assert len(causes) > 15
    for cause in causes:
        assert explain(cause.removesuffix(":") + (": of my own" if ":" in cause else "")).name


@pytest.mark.parametrize("case", ["pump/log", "pump/tubular", "v8/tubular", "single/megaphone"])
def test_every_line_of_a_budget_is_explained(case: str) -> None:
    from pulse1d.run.bench import predict_bench

    path = ROOT / "cases" / f"{case}.yaml"
    result = predict_bench(load(path), samples=60)
    lines = {entry.element for port in result.ports for entry in port.answer.budget}
    assert len(lines) > 3
    for line in lines:
        # the pieces' own names in these cases are words of the trade
        assert explain(line).name, line
    for port in result.ports:
        for cause in port.shares:
            try:
                assert explain(cause).name
            except InputError as error:
                (problem,) = error.problems
                assert problem.message.endswith("no law")


@pytest.mark.parametrize(
    ("read", "name"),
    [
        ("junction K", "joint"),
        ("tubular: junction K of joint collector", "joint"),
        ("joint y", "joint"),
        ("bend K", "bend"),
        ("shape change", "taper"),
        ("joint contraction", "flange joint"),
        ("contraction K", "opening"),
        ("entry 1", "entry"),
        ("runner 1: weld bead 2", "weld bead"),
        ("log 1 to log 2: taper 1", "taper"),
        ("roughness: my own wall", "roughness"),
        ("effective area: middle box", "restriction"),
        ("friction law", "wall friction"),
    ],
)
def test_what_a_budget_prints(read: str, name: str) -> None:
    assert explain(read).name == name


@pytest.mark.parametrize(
    ("read", "words"),
    [("log: bore of runner 1", "tolerance of a dimension"), ("interaction of causes", "no cause")],
)
def test_what_is_no_law_is_told_as_such(read: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        explain(read)


def test_a_name_of_the_user_s_own_leads_to_check() -> None:
    with pytest.raises(InputError, match="pulse1d check CASE"):
        explain("runner 1: gooseneck")
