"""The page on the case file names every key that a case may have, and its example runs."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

PAGE = Path(__file__).parents[2] / "pulse1d" / "CASE_FILE.md"


def keys(schema: dict[str, Any]) -> set[str]:
    found = set(schema.get("properties", {}))
    for part in schema.get("$defs", {}).values():
        found |= set(part.get("properties", {}))
    return found


def test_every_key_is_on_the_page() -> None:
    from pulse1d.case.schema import Case

    text = PAGE.read_text(encoding="utf-8")
    missing = [key for key in keys(Case.model_json_schema()) if not re.search(rf"\b{key}\b", text)]
    assert missing == []


def test_every_piece_and_shape_is_on_the_page() -> None:
    from pulse1d.geometry.sections import SECTIONS
    from pulse1d.losses.catalogue import PIECES

    text = PAGE.read_text(encoding="utf-8")
    for piece in PIECES:
        assert f"`{piece.model_fields['kind'].default}`" in text
    for section in SECTIONS:
        assert f"shape: {section.model_fields['shape'].default}" in text


def test_the_example_runs(tmp_path: Path) -> None:
    import pulse1d

    example = PAGE.read_text(encoding="utf-8").split("```yaml\n")[1].split("```")[0]
    case = tmp_path / "example.yaml"
    case.write_text(example, encoding="utf-8")
    result = pulse1d.predict_bench(pulse1d.load(case), samples=0)
    # by hand: ideal nozzle 124.7 kg/s/m2 at 28 inH2O over sqrt(sum K), K = 0.03 entry + 0.18
    # friction (f_D 0.0185) + 0.15 bend + 1 exit; two digits of each K make 3 % of flow
    by_hand = 124.7 * 0.7854 * 0.04**2 / 1.36**0.5
    assert result.ports[0].answer.mdot == pytest.approx(by_hand, rel=0.03)
