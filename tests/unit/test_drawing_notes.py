"""Drawing notes: what they say of cast and tubular parts, and what their prices rest on."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import pulse1d
from pulse1d.case.design import Design
from pulse1d.durability.spec import HotGas
from pulse1d.run.drawing_flow import bench_flows, shifted, with_runners, without_beads
from pulse1d.run.drawing_notes import Note, drawing_notes, is_cast

CASES = Path(__file__).parents[2] / "cases"
CAST = {"least wall", "core shift", "draft", "machining", "fillets"}
TUBE = {"least wall", "weld preparation", "weld dressing"}
BOTH = {"port match", "sealing face", "outlet support", "leak test", "metal", "holes", "slots"}


def design(name: str) -> Design:
    return pulse1d.load(CASES / "pump" / f"{name}.yaml")


@pytest.fixture(scope="module")
def told() -> dict[str, dict[str, Note]]:
    names = ("log", "tubular", "tubular_slotted")
    return {name: {note.topic: note for note in drawing_notes(design(name))} for name in names}


def test_each_has_value_reason_and_source(told: dict[str, dict[str, Note]]) -> None:
    for notes in told.values():
        for note in notes.values():
            assert note.text.endswith(".")
            assert note.reason.endswith(".")
            assert note.source


def test_a_casting_and_a_weldment_are_told_different_things(
    told: dict[str, dict[str, Note]],
) -> None:
    assert set(told["log"]) == CAST | BOTH | {"port step"}  # its opening is drawn small
    assert set(told["tubular"]) == TUBE | BOTH


@pytest.mark.parametrize(("name", "cast"), [("log", True), ("divided", True), ("tubular", False)])
def test_cast_or_not(name: str, cast: bool) -> None:
    assert is_cast(design(name)) is cast


def test_the_price_of_a_shift_is_the_joint_s_own(told: dict[str, dict[str, Note]]) -> None:
    """Port match prices a shift by solving the part whose case states the larger offset."""
    text = told["tubular"]["port match"].reason
    port = re.search(r"port (\w+) loses", text)[1]
    prices = dict(re.findall(r"([\d.]+) mm ([\d.]+) %", text))
    base = design("tubular")
    drawn = bench_flows(base)[port]
    for by in (1.0, 2.0):
        runners = []
        for runner in base.case.runners:
            joint = runner.pieces[0].model_copy(
                update={"offset": (1e-3 * by / 2**0.5, 1e-3 * by / 2**0.5)}
            )
            runners.append(runner.model_copy(update={"pieces": (joint, *runner.pieces[1:])}))
        case = base.case.model_copy(update={"runners": tuple(runners)})
        result = pulse1d.predict_bench(Design(case, base.path, base.document), samples=0)
        flows = {p.answer.port: p.answer.mdot / result.setup.rho_ref for p in result.ports}
        # told to a tenth of a per cent
        assert 100.0 * (1.0 - flows[port] / drawn) == pytest.approx(
            float(prices[f"{by:g}"]), abs=0.0501
        )


def test_a_shift_costs_more_the_larger_it_is() -> None:
    base = design("log")
    flows = [bench_flows(base)["1"]]
    flows += [bench_flows(with_runners(base, shifted(by)))["1"] for by in (1e-3, 2e-3, 3e-3)]
    assert flows == sorted(flows, reverse=True)
    assert flows[-1] < flows[0]


def test_the_limit_is_the_largest_shift_within_one_per_cent(
    told: dict[str, dict[str, Note]],
) -> None:
    for notes in told.values():
        note = notes["port match"]
        limit = float(re.search(r"within ([\d.]+) mm", note.text)[1])
        prices = {float(a): float(b) for a, b in re.findall(r"([\d.]+) mm ([\d.]+) %", note.reason)}
        # prices are told to a tenth of a per cent
        assert prices[limit] <= 1.05
        assert all(price >= 0.95 for by, price in prices.items() if by > limit)


def test_beads_cost_what_the_note_says(told: dict[str, dict[str, Note]]) -> None:
    text = told["tubular"]["weld dressing"].reason
    port, gain = re.search(r"port (\w+) would flow ([\d.]+) % more", text).groups()
    base = design("tubular")
    ratio = bench_flows(without_beads(base))[port] / bench_flows(base)[port]
    assert 100.0 * (ratio - 1.0) == pytest.approx(float(gain), abs=0.0501)  # told to a tenth
    assert ratio > 1.0


def test_the_outside_of_a_bend_by_hand(told: dict[str, dict[str, Note]]) -> None:
    """63.5 mm of radius on a 38.0 mm bore, 1.651 mm of wall: t r/(r + D/2)."""
    text = told["tubular"]["least wall"].reason
    by_hand = 1.651 * 63.5 / (63.5 + 0.5 * 37.97)
    assert f"about {by_hand:.2g} mm" in text
    assert "enough" in text


def test_a_wall_too_thin_is_said() -> None:
    base = design("log")
    thin = base.case.wall.model_copy(update={"thickness": 4e-3})
    changed = Design(base.case.model_copy(update={"wall": thin}), base.path, base.document)
    (note,) = [one for one in drawing_notes(changed) if one.topic == "least wall"]
    assert "4 mm would leave 3 mm: too little" in note.reason


def test_holes_and_slots_follow_the_growth(told: dict[str, dict[str, Note]]) -> None:
    """The slip of ``life`` is less than the clearance of an M8 hole here; a hot flange of more
    growth asks for wider holes and a cut."""
    assert "serve at every stud" in told["tubular"]["holes"].text
    assert "need no slots" in told["tubular"]["slots"].text
    base = design("log")
    spec = base.case.durability
    assert spec is not None
    cooler = spec.head.model_copy(update={"contact": 60.0, "material": "iron head"})
    case = base.case.model_copy(update={"durability": spec.model_copy(update={"head": cooler})})
    notes = {n.topic: n for n in drawing_notes(Design(case, base.path, base.document))}
    slid = float(re.search(r"slides ([\d.]+) mm", notes["holes"].reason)[1])
    assert slid > 0.5  # of clearance: 9 mm of hole less 8 of bolt, halved
    wide = float(re.search(r"widening to ([\d.]+) mm", notes["holes"].text)[1])
    assert 8.0 + 2.0 * slid - 0.05 <= wide <= 8.0 + 2.0 * slid + 0.55  # rounded up to half a mm
    assert "cut through between ports" in notes["slots"].text


def of(base: Design, **changes: object) -> dict[str, Note]:
    """Notes on a design whose durability differs."""
    spec = base.case.durability
    assert spec is not None
    case = base.case.model_copy(update={"durability": spec.model_copy(update=changes)})
    return {n.topic: n for n in drawing_notes(Design(case, base.path, base.document))}


def test_without_durability_the_notes_ask_for_it() -> None:
    notes = {n.topic: n for n in drawing_notes(pulse1d.load(CASES / "v8" / "better_log.yaml"))}
    assert "not worked out here: the case states no `durability`." in notes["slots"].reason
    assert "states no `fasteners`" in of(design("log"), fasteners=None)["slots"].reason


def test_gas_of_the_engine_is_why_no_slot_is_worked_out() -> None:
    """Durability and fasteners are both there, so neither is asked for."""
    notes = of(design("log"), gas=HotGas.model_validate({"from": "cycle", "speed": 4000.0}))
    reason = notes["slots"].reason
    assert "running engine's at 4000 rev/min" in reason
    assert "`pulse1d life` does so" in reason
    assert "`durability`" not in reason
    assert "`fasteners`" not in reason
