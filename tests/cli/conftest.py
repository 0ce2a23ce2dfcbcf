"""A page that several files of tests look at: made once, for it takes seconds."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.report_page import invoke

PUMP = Path(__file__).parents[2] / "cases" / "pump"


@pytest.fixture(scope="session")
def pump_page(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict]:
    """Cast against tubular with readings, without a screening; and the record of the page."""
    page = tmp_path_factory.mktemp("page") / "pump.html"
    result = invoke(
        "report", PUMP / "log.yaml", PUMP / "tubular.yaml", "--output", page, "--samples", 60,
        "--readings", PUMP / "readings_log_tubular.yaml", "--leave-out", "life,engine,pulses",
        "--json",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    return page, json.loads(result.stdout)
