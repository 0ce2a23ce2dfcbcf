"""A calibration: read with a case, applied by every prediction."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import pulse1d
from pulse1d.case.design import Design
from pulse1d.case.schema import Calibration, Correction, Correlation
from pulse1d.errors import InputError
from pulse1d.run.bench import predict_bench
from pulse1d.run.left_over import calibrated_samples
from pulse1d.run.march import march_bench
from pulse1d.run.response import response_of

PUMP = Path(__file__).parents[2] / "cases" / "pump"


def calibrated(design: Design, *corrections: Correction, **more: object) -> Design:
    calibration = Calibration(corrections=corrections, **more)
    return replace(design, case=design.case.model_copy(update={"calibration": calibration}))


def test_a_shift_does_to_the_bench_what_the_response_says() -> None:
    design = pulse1d.load(PUMP / "tubular.yaml")
    response = response_of(design)
    z = np.zeros(len(response.causes))
    z[response.causes.index("bend K")] = 1.3
    moved = calibrated(design, Correction(cause="bend K", sigmas=1.3))
    found = np.log(np.abs(predict_bench(moved, samples=0).mdot))
    # the same rows solved by the same kernel: its tolerance of 1e-10 of the depression
    np.testing.assert_allclose(found, response.ln_flow(z[None])[0], atol=1e-9)
    assert np.all(found < response.ln_flow(0.0 * z[None])[0] - 1e-3)


def test_a_shift_of_the_joints_law_acts_with_all_ports_open_too() -> None:
    design = pulse1d.load(PUMP / "tubular.yaml")
    moved = calibrated(design, Correction(cause="junction K", sigmas=1.0))
    plain, other = (predict_bench(d, together=True, samples=0).mdot for d in (design, moved))
    assert np.all(other < plain * (1.0 - 1e-3))


def test_the_wave_solver_marches_to_the_calibrated_flow() -> None:
    """Within what the mesh leaves between the two solvers anyway: they move by the same amount."""
    design = pulse1d.load(PUMP / "tubular.yaml")
    moved = calibrated(design, Correction(cause="bend K", sigmas=2.0))
    flows = []
    for d in (design, moved):
        result = predict_bench(d, ports=["1"], samples=0)
        flows.append((result.mdot[0], march_bench(d, result, 0.02)[0].mdot))
    (network, marched), (network_2, marched_2) = flows
    change = network_2 / network - 1.0
    assert change < -0.01
    # a tenth of the change: two meshes of 20 mm cells differ from the network alike
    assert marched_2 / marched - 1.0 == pytest.approx(change, rel=0.1)


def test_what_is_left_of_the_spread_narrows_the_band() -> None:
    design = pulse1d.load(PUMP / "tubular.yaml")
    causes = response_of(design).causes
    known = calibrated(design, *(Correction(cause=cause, spread=0.5) for cause in causes))
    wide, narrow = (predict_bench(d, samples=2000).ports[0].samples for d in (design, known))
    # flows are nearly linear in the causes: half the spread of each halves that of the flow
    assert np.std(np.log(narrow)) == pytest.approx(0.5 * np.std(np.log(wide)), rel=0.03)


def test_correlated_causes_are_sampled_so() -> None:
    calibration = Calibration(
        corrections=(Correction(cause="a", spread=0.8), Correction(cause="c", spread=0.6)),
        correlations=(Correlation(between=("a", "c"), r=-0.7),),
    )
    z = np.random.default_rng(1).standard_normal((40_000, 3))
    found = np.cov(calibrated_samples(z, ["a", "b", "c"], calibration).T)
    # 40 000 samples: standard errors below 1 % of a variance
    np.testing.assert_allclose(found[0, 0], 0.64, rtol=0.03)
    np.testing.assert_allclose(found[2, 2], 0.36, rtol=0.03)
    np.testing.assert_allclose(found[0, 2], -0.7 * 0.48, rtol=0.05)
    np.testing.assert_allclose(found[1, 1], 1.0, rtol=0.03)
    np.testing.assert_allclose(found[1, [0, 2]], 0.0, atol=0.02)


FILE = """format: pulse1d calibration 1
source: invented
corrections:
  - {cause: bend K, sigmas: 1.3, spread: 0.7}
"""


def test_a_case_names_a_calibration_file(tmp_path: Path) -> None:
    for name in ("tubular.yaml", "head.yaml"):
        (tmp_path / name).write_text((PUMP / name).read_text("utf-8"), "utf-8")
    (tmp_path / "calibration.yaml").write_text(FILE, "utf-8")
    case = tmp_path / "mine.yaml"
    case.write_text(
        "format: pulse1d case 1\nbased on: tubular.yaml\ncalibration: calibration.yaml\n", "utf-8"
    )
    correction = pulse1d.load(case).case.calibration.corrections[0]
    assert (correction.sigmas, correction.spread) == (1.3, 0.7)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (FILE.replace("calibration 1", "calibration 9"), None, "not a calibration file"),
        (FILE.replace("spread: 0.7", "spread: 1.7"), 4, "spread"),
        (FILE + "  - {cause: bend K, sigmas: 1}\n", None, "stands twice"),
        (FILE + "correlations:\n  - {between: [bend K, roughness], r: 0.1}\n", None, "roughness"),
    ],
)
def test_a_bad_calibration_is_refused(
    tmp_path: Path, text: str, line: int | None, words: str
) -> None:
    for name in ("tubular.yaml", "head.yaml"):
        (tmp_path / name).write_text((PUMP / name).read_text("utf-8"), "utf-8")
    (tmp_path / "calibration.yaml").write_text(text, "utf-8")
    case = tmp_path / "mine.yaml"
    case.write_text(
        "format: pulse1d case 1\nbased on: tubular.yaml\ncalibration: calibration.yaml\n", "utf-8"
    )
    with pytest.raises(InputError) as caught:
        pulse1d.load(case)
    assert len(caught.value.problems) == 1
    assert words in str(caught.value)
    if line is not None:
        assert f"calibration.yaml:{line}" in str(caught.value)
