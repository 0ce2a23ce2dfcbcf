"""Validation: flange offsets, steps and weld beads.

Verdict: too loose to say. Both bounds are reproduced, but no measured offset was found, and the
bounds are far apart at the offsets that matter.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pulse1d.losses import K_bead, K_contraction, K_expansion, K_offset_bounds, K_opening_bounds
from pulse1d.losses.flange_joint import K_offset, open_share

FOLDER = Path(__file__).parent
READING = 0.13
"""Relative: monotone cubic against linear reading of Weisbach's last interval, 0.892 to 1."""


def rows(name: str) -> list[dict[str, float]]:
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [{key: float(value) for key, value in row.items()} for row in table]


@pytest.mark.parametrize("row", rows("offsets.csv"), ids=lambda row: f"{row['e_over_D']:g}")
def test_offset_of_equal_bores(row: dict[str, float]) -> None:
    e = row["e_over_D"]
    assert 1.0 - open_share(e) == pytest.approx(row["blocked"], abs=6e-4)  # three decimals printed
    low, high = K_offset_bounds(e)
    # Three decimals printed; the reading of the table counts where K_lo is small.
    assert low == pytest.approx(row["K_lo"], abs=6e-4, rel=0.03 if e >= 0.1 else READING)
    assert high == pytest.approx(row["K_hi"], abs=6e-4)
    assert K_offset(e) == pytest.approx(0.5 * (low + high), abs=1e-15)  # round-off: by definition


@pytest.mark.parametrize("row", rows("steps.csv"), ids=lambda row: f"{row['ratio']:g}")
def test_concentric_steps(row: dict[str, float]) -> None:
    share = row["ratio"] ** 2
    assert K_expansion(share) == pytest.approx(row["backward"], abs=6e-5, rel=5e-3)  # as printed
    assert K_contraction(share) == pytest.approx(row["rennels"], abs=6e-5)  # four decimals printed
    low, high = K_opening_bounds(share, 1.0, share)
    assert low == pytest.approx(row["weisbach"], abs=6e-4, rel=READING)
    assert high == pytest.approx(row["idelchik"], abs=1e-3)  # 0.5 (1 - s), two digits printed
    assert row["backward"] < row["rennels"]  # the good direction: port smaller than tube


@pytest.mark.parametrize("row", rows("beads.csv"), ids=lambda row: f"{row['h_over_D']:g}")
def test_weld_bead(row: dict[str, float]) -> None:
    assert K_bead(row["h_over_D"]) == pytest.approx(row["weisbach"], rel=READING, abs=6e-4)
    s = (1.0 - 2.0 * row["h_over_D"]) ** 2
    assert K_opening_bounds(s, 1.0, 1.0)[1] == pytest.approx(row["sharp"], rel=0.02, abs=6e-4)
