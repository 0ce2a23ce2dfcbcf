"""A folder of its own for a study of the short tubular set."""

from __future__ import annotations

from pathlib import Path

PUMP = Path(__file__).parents[1] / "cases" / "pump"


def pump_study(folder: Path, text: str) -> Path:
    """Put the set, its head and a study of it into a folder; the study's path."""
    for name in ("tubular.yaml", "head.yaml"):
        (folder / name).write_text((PUMP / name).read_text())
    path = folder / "study.yaml"
    path.write_text(text)
    return path
