"""The starter cases with their # taken away: engine, head flow, durability that work as shown."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import pulse1d
from pulse1d.case.design import Design
from pulse1d.case.shown import Shown
from pulse1d.cli.cycle_run import check
from pulse1d.losses.valve_seat import ValveSeat
from pulse1d.run.life import screen

SHIPPED = Path(pulse1d.__file__).parent / "case" / "shipped"
KEYS = ("flow", "passage", "engine", "durability")
LAYOUTS = pytest.mark.parametrize("layout", ["cast", "tubular"])


def full(layout: str, folder: Path) -> Design:
    """The starter with every commented block of KEYS switched on."""
    lines, inside = [], False
    for line in (SHIPPED / f"starter_{layout}.yaml").read_text("utf-8").splitlines():
        found = re.fullmatch(r"( *)# (( *)([\w ]+:.*|- .*))", line)
        starts = found is not None and found[2].split(":")[0] in KEYS
        inside = starts or (inside and found is not None and bool(found[3]))
        lines.append(found[1] + found[2] if found is not None and inside else line)
    path = folder / "full.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")
    return pulse1d.load(path)


@LAYOUTS
def test_the_blocks_run_as_they_stand(layout: str, tmp_path: Path) -> None:
    design = full(layout, tmp_path)
    assert design.case.engine is not None
    check([design], None, False)
    result = screen(design, sizes=False)
    assert result.places
    assert len(result.bolts) == 3
    # as CASE_FILE.md lists it: welded or cast in one
    assert (result.asked.weld is None) == (layout == "cast")


@LAYOUTS
def test_the_head_shows_a_table_of_its_own_up_to_the_engine_s_lift(
    layout: str, tmp_path: Path
) -> None:
    design = full(layout, tmp_path)
    flow, engine = design.case.head.flow, design.case.engine
    assert isinstance(flow, ValveSeat)
    assert flow.flows is not None
    assert len(flow.flows) >= 3
    assert engine is not None
    assert engine.exhaust is not None
    assert flow.flows[-1].lift >= engine.exhaust.lift
    (read,) = [row for row in flow.flows if row.lift == pytest.approx(4e-3)]
    # as written in the file; rounding alone
    assert read.flow * Shown().of_flow(1.0) == pytest.approx(57.0, rel=1e-9)
