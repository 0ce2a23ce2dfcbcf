"""``pulse1d doctor`` as a user meets it."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from typer.testing import CliRunner

from pulse1d.cli.doctor_text import record, report
from pulse1d.cli.main import app
from pulse1d.run import doctor, doctor_checks


@pytest.fixture(scope="module")
def found() -> doctor.Examination:
    return doctor.examine()


def test_a_sound_installation(found: doctor.Examination) -> None:
    text = report(found)
    assert text.endswith("Sound.")
    assert max(map(len, text.splitlines())) <= 80
    for word in ("numba", "Compiled code", "Fanno duct", "shock tube", "JCGM 100"):
        assert word in text


def test_the_object_tells_the_same(found: doctor.Examination) -> None:
    told = json.loads(json.dumps(record(found)))
    assert told["schema"] == "pulse1d doctor 1"
    assert told["sound"] is True
    assert told["cache"]["functions"] > 0
    assert {one["name"] for one in told["checks"]} == {"Fanno duct", "shock tube", "uncertainty"}
    for one in told["checks"]:
        # the record's own numbers, divided again
        assert one["found"] / one["exact"] - 1.0 == pytest.approx(one["error"], abs=1e-15)
        assert abs(one["error"]) <= one["tolerance"]


def test_an_answer_that_is_off_exits_1(monkeypatch: pytest.MonkeyPatch) -> None:
    def off() -> doctor_checks.Check:
        right = doctor_checks.uncertainty_check()
        return replace(right, found=right.found * 1.01)  # its tolerance is 0.7 %

    monkeypatch.setattr(doctor, "CHECKS", (off,))
    result = CliRunner().invoke(app, ["doctor"])
    assert result.exit_code == 1
    assert "FAILS" in result.stdout
    assert "NOT SOUND" in result.stdout


def test_the_closed_form_is_the_published_one() -> None:
    """Shapiro 1953 table of the Fanno line, gamma 1.4, from memory: fL*/D 0.20814 at M 0.7,
    5.2993 at M 0.3; and the ideal flux at 28 inH2O, 124.73 kg/s/m2, without friction."""
    assert doctor_checks.fanno_rest(0.7) == pytest.approx(0.20814, abs=1e-5)  # printed digits
    assert doctor_checks.fanno_rest(0.3) == pytest.approx(5.2993, abs=1e-4)
    # f L/D 0.5 costs about 1 - 1/sqrt(1.5) of the flow of a nozzle; compressibility 1 % of it
    assert doctor_checks.fanno_flux() == pytest.approx(124.73 / 1.5**0.5, rel=0.01)


def test_what_compiles_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    from numba import njit

    def fresh() -> doctor_checks.Check:
        found = njit(lambda x: 2.0 * x)(0.5)
        return doctor_checks.Check("two halves", "compiled here", found, 1.0, "1", 0.0, "exact")

    monkeypatch.setattr(doctor, "CHECKS", (fresh,))
    found = doctor.examine()
    assert found.sound
    assert found.cache.compiled == 1
    assert found.cache.first_call > 0.0


def test_a_missing_extra_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doctor, "EXTRAS", {"no-such-package": "parquet"})
    assert doctor.versions()["no-such-package"] == 'missing; pip install "pulse1d[parquet]"'
