"""``pulse1d reduce`` as a user meets it: text, record, table, budget, conversion, refusals."""

from __future__ import annotations

import csv
import json
import math
import re
import statistics
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from pulse1d import units

HEAD = (
    (Path(__file__).parents[2] / "cases" / "broken_readings" / "base.yaml")
    .read_text(encoding="utf-8")
    .partition("rows:")[0]
    .replace(", case: part.yaml", "")
)
HEAD_METER = "rated pressure: 6 inH2O"
COLUMNS = "order,what,part,port,remount,meter,test pressure [inH2O],meter pressure [inH2O]"


def pulse1d(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pulse1d", *map(str, arguments)], capture_output=True, text=True
    )


def session(folder: Path, rows: list[str], set_up: str = "") -> Path:
    path = folder / "mine.yaml"
    head = HEAD.replace("  meter inlet:", f"{set_up}  meter inlet:")
    table = "".join(f"  {row}\n" for row in [COLUMNS, *rows])
    path.write_text(f"{head}rows: |\n{table}", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("readings") / "mine.yaml"
    made = pulse1d("new", path, "--readings")
    assert made.returncode == 0, made.stderr
    assert f"pulse1d reduce {path}" in made.stdout
    return path


@pytest.fixture(scope="module")
def record(starter: Path) -> dict[str, Any]:
    result = pulse1d("reduce", starter, "--json", "--monte-carlo", 20_000)
    assert result.returncode == 0, result.stderr
    return json.loads(result.stdout)


def test_the_starter_file_is_made_once(starter: Path) -> None:
    again = pulse1d("new", starter, "--readings")
    assert again.returncode == 2
    assert "exists already" in again.stderr
    both = pulse1d("new", starter.with_name("other.yaml"), "--readings", "--schema")
    assert both.returncode == 2


def test_the_starter_file_reduces_without_a_flag(record: dict[str, Any]) -> None:
    assert [row["warnings"] for row in record["rows"]] == [[]] * 6
    assert [mean["mounts"] for mean in record["means"]] == [3, 3]


def test_the_program_starts_without_the_heavy_packages() -> None:
    code = "import sys, pulse1d.cli.main; print(' '.join(sys.modules))"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout
    assert not {"numpy", "pydantic", "pint"} & set(loaded.split())


def test_text_fits_80_columns_and_says_how_it_stood(starter: Path) -> None:
    result = pulse1d("reduce", starter, "--budget", "--monte-carlo", 1000, "--at", "27 inH2O")
    assert result.returncode == 0, result.stderr
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    flat = " ".join(result.stdout.split())
    for piece in ("28 inH2O (6.975 kPa)", "port to outlet", "note: leak", "note: check plate"):
        assert piece in flat
    for piece in ("JCGM 100", "JCGM 101", "expanded, k = 2", "converted to 27 inH2O"):
        assert piece in flat
    assert "ear protection" in flat


def test_record_has_its_documented_keys(record: dict[str, Any]) -> None:
    from pulse1d.run.session_record import session_record

    documented = session_record.__doc__ or ""

    def keys(value: Any) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*map(keys, value.values()))
        return set().union(*map(keys, value)) if isinstance(value, list) else set()

    assert record["schema"] == "pulse1d reduce 1"
    about = {"bench", "date", "operator", "notes"}
    known = {*re.findall("``([a-z0-9_]+)``", documented), *re.findall('"([a-z_]+)"', documented)}
    assert keys(record) - about - known == set()


def test_text_record_and_table_agree(starter: Path, record: dict[str, Any]) -> None:
    text = pulse1d("reduce", starter).stdout
    path = starter.with_name("out.csv")
    assert pulse1d("reduce", starter, "--export", path).returncode == 0
    with path.with_name("out-rows.csv").open(encoding="utf-8", newline="") as file:
        table = list(csv.DictReader(file))
    for row, cells in zip(record["rows"], table, strict=True):
        line = next(x for x in text.splitlines() if x.split()[:1] == [str(row["order"])])
        shown = [float(word) for word in line.split()[4:10]]
        factors = [  # exact definitions: inch of water, hour, CFM thrice, mm2
            1 / 249.09,
            3600.0,
            *[60 / 0.3048**3] * 3,
            1e6,
        ]
        keys = ["test_pressure_pa", "mdot_kg_s", "q_actual_m3_s", "q_standard_m3_s", "q_m3_s"]
        exact = [f * row[k] for f, k in zip(factors, [*keys, "cda_m2"], strict=True)]
        # the text shows 0.01 inH2O, 0.1 CFM and kg/h, 1 mm2: half of the last digit, and round-off
        for a, b, step in zip(shown, exact, [0.01, 0.1, 0.1, 0.1, 0.1, 1.0], strict=True):
            assert abs(a - b) <= 0.5001 * step
        assert [cells["part"], cells["port"]] == [row["part"], row["port"]]
        assert float(cells["flow [m3/s]"]) == row["q_m3_s"]
        assert float(cells["CdA [m2]"]) == row["cda_m2"]


def test_no_file_is_overwritten(starter: Path) -> None:
    there = starter.with_name("there.csv")
    there.write_text("order;part\n", encoding="utf-8")
    result = pulse1d("reduce", starter, "--export", there)
    assert result.returncode == 2
    assert "exists already" in result.stderr
    assert there.read_text(encoding="utf-8") == "order;part\n"


def test_a_mean_and_its_budget(record: dict[str, Any]) -> None:
    """JCGM 100:2008, 4.2.3 (scatter of a mean), 5.1.2 (sum of squares), G.4.1 (degrees of
    freedom), worked out here with the standard library."""
    for mean in record["means"]:
        flows = [row["q_m3_s"] for row in record["rows"] if row["order"] in mean["orders"]]
        logs = [math.log(flow) for flow in flows]
        causes = {item["cause"]: item["u_relative"] for item in mean["budget"]}
        # the same sums in another order: round-off
        assert mean["q_m3_s"] == pytest.approx(statistics.geometric_mean(flows), rel=1e-12)
        scatter = statistics.stdev(logs) / math.sqrt(len(logs))
        assert causes["scatter of the remounts"] == pytest.approx(scatter, rel=1e-9)
        assert mean["u_relative"] == pytest.approx(math.hypot(*causes.values()), rel=1e-9)
        assert mean["expanded_relative"] == 2 * mean["u_relative"]
        freedom = mean["u_relative"] ** 4 / (scatter**4 / (len(logs) - 1))
        assert mean["degrees_of_freedom"] == pytest.approx(freedom, rel=1e-9)
        assert list(causes.values()) == sorted(causes.values(), reverse=True)


def test_monte_carlo_stands_beside_the_budget(record: dict[str, Any]) -> None:
    for mean in record["means"]:
        check = mean["monte_carlo"]
        assert check["samples"] == 20_000
        # a standard deviation of 20 000 draws scatters by 1/sqrt(40 000) = 0.5 %; four of them,
        # and the budget is linear where the model is not
        assert check["u_relative"] == pytest.approx(check["u_budget_relative"], rel=0.025)
        assert check["low_relative"] < 0.0 < check["high_relative"]


def test_the_budget_of_the_part_and_port_asked_for(starter: Path) -> None:
    first = pulse1d("reduce", starter, "--budget").stdout
    other = pulse1d("reduce", starter, "--budget", "--part", "new").stdout
    assert "old port 1: budget" in first
    assert "new port 1: budget" not in first
    assert "new port 1: budget" in other
    assert "old port 1: budget" not in other
    none = pulse1d("reduce", starter, "--budget", "--part", "nwe")
    assert none.returncode == 2
    assert "means are of old port 1, new port 1" in none.stderr


def test_a_large_step_of_pressure_is_refused_with_the_reason(starter: Path) -> None:
    result = pulse1d("reduce", starter, "--at", "20 inH2O")
    assert result.returncode == 3
    assert "refused (old port 1, new port 1)" in result.stdout
    found = json.loads(pulse1d("reduce", starter, "--at", "20 inH2O", "--json").stdout)["at"]
    assert [item["q_m3_s"] for item in found] == [None, None]
    assert all(item["refusal"] for item in found)


def nozzle(dp: float) -> float:
    """Isentropic mass flow per area from 101.325 kPa + dp, in proportion (NACA Report 1135)."""
    p0, g = 101_325.0 + dp, 1.4
    r = 101_325.0 / p0
    return p0 * math.sqrt(r ** (2 / g) - r ** ((g + 1) / g))


def test_several_pressures_give_an_exponent_and_license_a_conversion(tmp_path: Path) -> None:
    """Readings made up for a part of constant effective area: n must be 1/2, and its flow at 15
    inH2O that of the isentropic formula."""
    pressures = [10.0, 15.0, 21.0, 28.0]
    full = nozzle(units.parse("28 inH2O", "pressure"))
    rows = []
    for k, inches in enumerate(pressures, 1):
        share = nozzle(units.parse(f"{inches} inH2O", "pressure")) / full
        rows.append(f"{k},part,log,1,1,range 4,{inches},{2.6 * share**2:.6f}")
    path = session(tmp_path, rows, "  several pressures: true\n")
    found = json.loads(pulse1d("reduce", path, "--at", "15 inH2O", "--json").stdout)
    (exponent,) = found["exponents"]
    # gamma of the room's moist air is 1.40 to 0.002 and the readings have six decimals
    assert exponent["n"] == pytest.approx(0.5, abs=5e-4)
    assert exponent["points"] == 4
    (mean,), (at,) = found["means"], found["at"]
    assert mean["orders"] == [4]
    ratio = nozzle(units.parse("15 inH2O", "pressure")) / full
    # n is 0.5 to 5e-4 over ln(28/15) = 0.62, see above
    assert at["q_m3_s"] / mean["q_m3_s"] == pytest.approx(ratio, rel=4e-4)
    text = pulse1d("reduce", path, "--at", "15 inH2O").stdout
    assert "Q = K dP^n" in text
    assert f"{exponent['n']:.3f}" in text
    assert "mounted once" in text


def test_a_doubtful_row_carries_a_letter(tmp_path: Path) -> None:
    rows = ["1,leak,log,1,1,range 4,28,0.05", "2,part,log,1,1,range 4,28,2"]
    text = pulse1d("reduce", session(tmp_path, rows)).stdout
    line = next(line for line in text.splitlines() if line.split()[:2] == ["2", "log"])
    assert line.split()[-1] == "a"
    assert "a (no. 2): the leak is" in " ".join(text.split())
    assert "no check plate was read" in " ".join(text.split())


def test_what_cannot_be_reduced_is_told_with_file_and_line(tmp_path: Path) -> None:
    path = session(tmp_path, ["1,part,log,1,1,range 4,28,2", "2,part,log,1,2,range 4,28,420"])
    result = pulse1d("reduce", path)
    line = 1 + path.read_text(encoding="utf-8").splitlines().index(
        "  2,part,log,1,2,range 4,28,420"
    )
    assert result.returncode == 2
    assert f"{path}:{line}: range 4 shows" in result.stderr
    assert "2,part,log,1,2,range 4,28,420" in result.stderr
    assert "remedy: check the unit of the meter pressure" in result.stderr


def test_a_slip_in_the_file_is_told(tmp_path: Path) -> None:
    result = pulse1d("reduce", session(tmp_path, ["1,part,lug,1,1,range 4,28,2"]))
    assert result.returncode == 2
    assert "part 'lug' is not under 'parts:'" in result.stderr


def test_a_remark_names_every_row_and_its_span(tmp_path: Path) -> None:
    rows = [
        "1,part,log,1,1,range 4,28.0,2.0", "2,part,log,1,2,range 4,28.0,0.81",
        "3,part,log,1,3,range 4,28.0,0.99", "4,part,log,1,4,range 4,28.0,0.9",
    ]  # fmt: skip
    path = session(tmp_path, rows)
    scaled = HEAD_METER + ", full scale: 6 inH2O"
    path.write_text(path.read_text(encoding="utf-8").replace(HEAD_METER, scaled), encoding="utf-8")
    result = pulse1d("reduce", path)
    assert result.returncode == 0, result.stderr
    text = " ".join(result.stdout.split())
    # 0.81, 0.9 and 0.99 of 6
    assert "(no. 2 to 4): range 4 reads 14 to 16 % of its full scale" in text


def test_a_large_uncertainty_stays_in_its_column(tmp_path: Path) -> None:
    rows = ["1,part,log,1,1,range 4,28.0,0.2", "2,part,log,1,2,range 4,28.0,200"]
    result = pulse1d("reduce", session(tmp_path, rows))
    assert result.returncode == 0, result.stderr
    mean = re.search(r"^  log +1 +2 +2 .*$", result.stdout, flags=re.M)
    assert mean is not None
    *_, u, expanded = mean[0].split()
    # ln flow moves by half of ln(1000) from one to the other: u = that over two
    assert float(u) == pytest.approx(100 * math.log(1000) / 4, rel=0.1)
    assert float(expanded) == pytest.approx(2 * float(u), rel=2e-3)
    assert max(map(len, result.stdout.splitlines())) <= 80
