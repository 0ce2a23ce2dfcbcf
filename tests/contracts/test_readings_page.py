"""The page on the readings file names every key, meter and column, and its example runs."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

from pulse1d.case.reading_columns import DIMENSIONS
from pulse1d.case.readings import ReadingsFile, load_reduced
from pulse1d.measure.spec import Meter

PAGE = Path(__file__).parents[2] / "pulse1d" / "READINGS_FILE.md"
TEXT = PAGE.read_text(encoding="utf-8")


def named(word: str) -> bool:
    """Whether a word stands between backticks, alone or in an example."""
    code = " ".join(re.findall(r"`([^`\n]+)`", TEXT.partition("## Top level")[2]))
    return re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", code) is not None


def test_every_key_is_on_the_page() -> None:
    schema = ReadingsFile.model_json_schema()
    specs = [schema, *schema["$defs"].values()]
    keys = {key for spec in specs for key in spec.get("properties", {})}
    assert {"set-up", "rated density", "heading", "ignored columns"} <= keys
    assert sorted(key for key in keys if not named(key)) == []


def test_every_choice_and_meter_is_on_the_page() -> None:
    kinds = [
        get_args(spec.model_fields["kind"].annotation)[0] for spec in get_args(get_args(Meter)[0])
    ]
    assert len(kinds) == 4
    for kind in kinds:
        assert f"| `{kind}` |" in TEXT
    schema = ReadingsFile.model_json_schema()
    for spec in schema["$defs"].values():
        for value in spec.get("properties", {}).values():
            assert [choice for choice in value.get("enum", ()) if not named(choice)] == []


def test_every_column_is_on_the_page() -> None:
    table = TEXT.partition("## Columns")[2].partition("## Rules")[0]
    assert [name for name in DIMENSIONS if f"`{name}`" not in table] == []


def test_the_example_reduces(tmp_path: Path) -> None:
    path = tmp_path / "example.yaml"
    path.write_text(TEXT.split("```yaml\n")[1].split("```")[0], encoding="utf-8")
    reduction = load_reduced(path)
    # by hand: 300 CFM is 0.14158 m^3/s, of 1.2041 kg/m^3 at
    # 6 inH2O; the root of 2.05/6 is 0.5845, of the leak's 0.02/6 is 0.0577
    by_hand = 0.14158 * 1.2041 * (0.5845 - 0.0577)
    assert abs(reduction.rows[0].mdot / by_hand - 1.0) < 0.005
