"""Validation: wall friction against the Colebrook law, and the roughness of surfaces.

Verdict: pass. Colebrook's law is itself good to some 5 % on a wall of known roughness.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from pulse1d.losses import f_churchill, resolve_surface

FOLDER = Path(__file__).parent


def rows(name: str) -> list[dict[str, float]]:
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [{key: float(value) for key, value in row.items()} for row in table]


@pytest.mark.parametrize("row", rows("friction.csv"), ids=lambda row: f"{row['eps_mm']:g}")
def test_friction_of_rough_tubes(row: dict[str, float]) -> None:
    for Re in ("5e4", "1e5", "2e5", "5e5"):
        f_D = f_churchill(float(Re), row["eps_mm"] / 40.0)
        # Churchill's formula follows Colebrook within 3 % here: that is its own accuracy.
        assert f_D == pytest.approx(row[Re], rel=0.03)


RANGES = {  # mm, with the authors in losses/surfaces.toml
    "drawn tube": (0.0015, 0.010),
    "tube": (0.005, 0.020),
    "welded tube": (0.020, 0.100),
    "shell cast": (0.020, 0.100),
    "resin cast": (0.035, 0.20),
    "green sand cast": (0.07, 0.50),
    "scaled": (0.40, 0.50),
}


@pytest.mark.parametrize("name", RANGES)
def test_roughness_lies_in_the_published_range(name: str) -> None:
    low, high = RANGES[name]
    surface = resolve_surface(name)
    assert low <= 1e3 * surface.roughness <= high
    # The stated band reaches at least two thirds of the way to both ends, on a log scale.
    width = math.log(high / low) / 2.0
    assert surface.band > 0.66 * width
