"""Sizes and depressions far from any part: an answer is sound, or says that it is none."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pulse1d.run.bench import BenchResult
from tests.bench_layouts import (
    INCH_WATER,
    design,
    directions,
    from_none,
    log,
    merge,
    pipe,
    predict,
    quick,
    round_,
    runner,
)

extreme_bores = st.floats(math.log(0.005), math.log(0.150)).map(math.exp)
extreme_inches = st.floats(math.log(1.0), math.log(90e3)).map(lambda x: math.exp(x) / INCH_WATER)


def honest(result: BenchResult) -> None:
    """Converged, or said not to be; never a number that is none."""
    for port in result.ports:
        answer = port.answer
        assert np.isfinite([answer.mdot, answer.cda, answer.mach_max]).all()
        assert all(math.isfinite(line.loss_pa) for line in answer.budget)
        assert answer.profile is not None
        for column in (answer.profile.p, answer.profile.p0, answer.profile.M):
            assert np.isfinite(column).all()
        assert 0.0 <= answer.mach_max < 1.0 + 1e-2
        if not answer.converged:
            assert any("not converged" in warning for warning in answer.warnings)
        if answer.choked:
            assert answer.converged
            assert answer.mach_max > 0.95
            assert any("choked" in warning for warning in answer.warnings)


@quick
@given(extreme_bores, st.floats(0.005, 3.0), st.floats(0.5, 2.0), extreme_inches, directions)
def test_extreme_paths(
    bore: float, length: float, step: float, inches: float, direction: str
) -> None:
    parts = [pipe(length), {"kind": "step", "to": round_(step * bore)}, pipe(length)]
    result = predict(design([runner("1", bore, parts)]), inches, direction=direction)
    honest(result)
    assert result.converged  # a bracketed root: one path always has its answer


@quick
@given(
    st.lists(extreme_bores, min_size=2, max_size=6),
    extreme_bores,
    from_none(120.0),
    extreme_inches,
    directions,
    st.booleans(),
    st.booleans(),
)
def test_extreme_networks(
    sizes: list[float],
    log_bore: float,
    angle: float,
    inches: float,
    direction: str,
    together: bool,
    round_an_axis: bool,
) -> None:
    """Any bores, any depression: an answer, or an honest refusal."""
    part = (
        merge(sizes, [0.2] * len(sizes), log_bore, min(angle, 60.0))
        if round_an_axis
        else log(sizes, log_bore, angle)
    )
    honest(predict(part, inches, together=together, direction=direction))
