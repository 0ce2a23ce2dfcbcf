"""Every public function says what it takes and gives, with units in brackets."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2] / "pulse1d"
FLOORS = (
    "gas", "heat", "geometry", "losses", "network", "steady", "waves", "measure", "uncertainty",
    "report",
    "durability", "results", "run", "study",
    "compare",
)  # fmt: skip
FILES = [path for floor in FLOORS for path in sorted((ROOT / floor).glob("*.py"))]
UNIT = re.compile(r"\[[^\]]+\]")


def public_functions(path: Path) -> list[ast.FunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [
        node
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_public_functions_are_documented(path: Path) -> None:
    faults = []
    for node in public_functions(path):
        text = ast.get_docstring(node) or ""
        names = [a.arg for a in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]
        if not text:
            faults.append(f"{node.name}: no docstring")
            continue
        if names:
            _, _, rest = text.partition("Parameters")
            section = rest.partition("Returns")[0]
            if not rest:
                faults.append(f"{node.name}: no Parameters")
            elif not UNIT.search(section) and "as in" not in section and "as for" not in section:
                faults.append(f"{node.name}: no unit in its Parameters")
            missing = [name for name in names if not re.search(rf"\b{name}\b", section)]
            if missing and rest:
                faults.append(f"{node.name}: {missing} not described")
        returns = node.returns is None or not (
            isinstance(node.returns, ast.Constant) and node.returns.value is None
        )
        gives = any(isinstance(part, ast.Return) and part.value for part in ast.walk(node))
        if returns and gives and "Returns" not in text:
            faults.append(f"{node.name}: no Returns")
    assert faults == []
