"""Validation: remounts needed to show a difference, against a worked table of bench practice.

Source: sample sizes of the two-sided t test at alpha = 0.05 by the noncentral t distribution,
worked out for flow-bench readings independently of this code (bench practice note, table B3).
Whole numbers, so every cell must match exactly. Verdict: all cells match.
"""

from __future__ import annotations

import numpy as np
import pytest

from pulse1d.compare.repeats import power, repeats_needed

SCATTER = (0.25, 0.5, 0.75, 1.0, 1.5)
UNPAIRED = {
    (1.0, 0.8): (3, 6, 10, 17, 37),
    (1.0, 0.9): (3, 7, 13, 23, 49),
    (0.5, 0.8): (6, 17, 37, 64, 143),
    (2.0, 0.8): (2, 3, 4, 6, 10),
}
PAIRED = ((0.35, 4), (0.5, 5), (0.7, 7), (1.0, 10), (1.4, 18))
CELLS = [(*case, s, n) for case, row in UNPAIRED.items() for s, n in zip(SCATTER, row, strict=True)]


@pytest.mark.parametrize(("effect", "chance", "s", "n"), CELLS)
def test_unpaired_remounts_of_each_part(effect: float, chance: float, s: float, n: int) -> None:
    assert repeats_needed(effect, s, chance, paired=False) == n


@pytest.mark.parametrize(("s", "n"), PAIRED)
def test_pairs_to_show_one_percent(s: float, n: int) -> None:
    assert repeats_needed(1.0, s, 0.8) == n


@pytest.mark.parametrize(("paired", "n", "s"), [(True, 6, 0.7), (False, 5, 0.6)])
def test_power_is_the_share_of_simulated_tests_that_show_it(paired: bool, n: int, s: float) -> None:
    """Against tests by scipy.stats on 20 000 simulated sets: 4 sd of a share near 0.7 is 0.013."""
    from scipy import stats

    rng = np.random.default_rng(1)
    if paired:
        p = stats.ttest_1samp(rng.normal(1.0, s, (n, 20_000)), 0.0).pvalue
    else:
        p = stats.ttest_ind(rng.normal(1.0, s, (n, 20_000)), rng.normal(0.0, s, (n, 20_000))).pvalue
    assert power(1.0, s, n, paired=paired) == pytest.approx(float(np.mean(p < 0.05)), abs=0.013)


def test_a_floor_that_repeats_cannot_lower_ends_the_search() -> None:
    """At |difference| = 1.96 floor the power of endless repeats is one half, by symmetry."""
    assert power(1.96, 0.1, 500, floor=1.0) == pytest.approx(0.5, abs=0.01)  # s/sqrt(n) left over
    assert repeats_needed(1.96, 0.1, 0.8, floor=1.0) is None
    assert repeats_needed(2.9, 0.1, 0.8, floor=1.0) is not None


def test_one_remount_has_no_scatter() -> None:
    with pytest.raises(ValueError, match="2 of them"):
        power(1.0, 0.5, 1)
