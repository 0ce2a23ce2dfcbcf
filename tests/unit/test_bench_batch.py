"""Many designs at once give what each gives by itself."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pulse1d.case.design import Design, load
from pulse1d.network.network import build
from pulse1d.network.path import single_path
from pulse1d.network.plain import MOST, Memory, plain_path
from pulse1d.run.bench import predict_bench
from pulse1d.run.bench_batch import predict_many

CASES = Path(__file__).parents[2] / "cases"
NAMES = (
    "pump/log", "pump/divided", "pump/tubular", "pump/system", "v8/pair", "v8/better_log",
    "single/megaphone", "rig/expansion",
)  # fmt: skip


def alone(design: Design) -> dict[str, float]:
    """Flows by the whole prediction."""
    return {one.answer.port: one.answer.mdot for one in predict_bench(design, samples=0).ports}


def longer(design: Design, length: float) -> Design:
    """The design with another last straight in each runner."""
    runners = []
    for runner in design.case.runners:
        last = runner.pieces[-1].model_copy(update={"length": length})
        runners.append(runner.model_copy(update={"pieces": (*runner.pieces[:-1], last)}))
    case = design.case.model_copy(update={"runners": tuple(runners)})
    return replace(design, case=case)


def test_cases_on_several_benches_in_one_call() -> None:
    designs = [load(CASES / f"{name}.yaml") for name in NAMES]
    for design, found in zip(designs, predict_many(designs), strict=True):
        assert found == alone(design)  # to the last bit: the same rows, the same solver


def test_designs_that_share_pieces_keep_them_apart() -> None:
    base = load(CASES / "pump/tubular.yaml")
    designs = [longer(base, 0.05 + 0.01 * k) for k in range(6)]
    found = predict_many(designs)
    assert found == [alone(design) for design in designs]
    flows = [one["1"] for one in found if isinstance(one, dict)]
    assert flows == sorted(flows, reverse=True)  # more wall, less flow


def test_rows_are_those_of_the_path() -> None:
    design, memory = load(CASES / "pump/tubular.yaml"), Memory()
    layout = design.case.layout(design.case.bench)
    path = single_path(build(layout), "2", design.keys)
    rows = plain_path(memory.network(layout), "2")
    assert path is not None
    assert rows is not None
    assert rows.tolist() == path.rows.steps.tolist()
    memory.known.update({(k,): (rows, layout.runners[0].section, None) for k in range(MOST + 1)})
    assert memory.network(layout).rows  # forgets what it has too much of
    assert len(memory.known) < 100


def test_a_design_that_cannot_be_built_says_why() -> None:
    base = load(CASES / "pump/tubular.yaml")
    runner = base.case.runners[0]
    bend = next(piece for piece in runner.pieces if piece.kind == "bend")
    tight = tuple(
        piece.model_copy(update={"radius": 0.01}) if piece is bend else piece
        for piece in runner.pieces
    )
    runners = (runner.model_copy(update={"pieces": tight}), *base.case.runners[1:])
    bad = replace(base, case=base.case.model_copy(update={"runners": runners}))
    found = predict_many([base, bad, base])
    assert found[0] == found[2] == alone(base)
    assert isinstance(found[1], str)
    assert "tighter than its own radius allows" in found[1]


@pytest.mark.parametrize("what", ["other ports open", "sucked"])
def test_benches_that_ask_for_more(what: str) -> None:
    design = load(CASES / "pump/log.yaml")
    change = {"other_ports": "open"} if what == "other ports open" else {"direction": "sucked"}
    bench = design.case.bench.model_copy(update=change)
    design = replace(design, case=design.case.model_copy(update={"bench": bench}))
    assert predict_many([design]) == [alone(design)]
