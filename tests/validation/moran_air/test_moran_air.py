"""Validation: enthalpy and entropy function of air against a textbook table. Verdict: pass."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from pulse1d.gas import dry_air, state

ROWS = np.loadtxt(Path(__file__).parent / "data.csv", delimiter=",", skiprows=2)


def test_air() -> None:
    table = dry_air().table
    T, h, s0 = ROWS.T
    ours_h = np.array([state.h(value, table) for value in T]) / 1e3
    ours_s = np.array([state.s0(value, table) for value in T]) / 1e3
    # differences from 300 K; 0.2 % covers two generations of spectroscopic data and the fit
    np.testing.assert_allclose(ours_h[1:] - ours_h[0], h[1:] - h[0], rtol=2e-3)
    np.testing.assert_allclose(ours_s[1:] - ours_s[0], s0[1:] - s0[0], rtol=2e-3)


def test_isentropic_compression_of_air() -> None:
    """Relative pressure 1.3860 at 300 K and 114.0 at 1000 K in the same table: p_2/p_1 = 82.25."""
    table, R = dry_air().table, dry_air().R
    T = state.T_from_s0(state.s0(300.0, table) + R * np.log(114.0 / 1.3860), table)
    assert abs(T / 1000.0 - 1.0) < 2e-3  # four digits of p_r, a third of that in T, and the fit
