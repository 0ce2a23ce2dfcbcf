"""The page as a customer gets it: alone, sound, escaped, in the case's units, and never stale."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from pathlib import Path

import pytest
from typer.testing import Result

from pulse1d.errors import InputError
from tests.pump_study import pump_study
from tests.report_page import Element, invoke, read

CASES = Path(__file__).parents[2] / "cases"
PUMP, SINGLE = CASES / "pump", CASES / "single"
Page = tuple[Path, dict]
HOSTILE = "<img src=x onerror=alert(1)></script><b>&\"'"


def problem(result: Result) -> str:
    """What was refused; the command line prints it and leaves with status 2."""
    assert isinstance(result.exception, InputError), result.output
    return str(result.exception)


def copied(source: Path, folder: Path) -> Path:
    """A folder of cases without what earlier runs left there."""
    return Path(shutil.copytree(source, folder, ignore=shutil.ignore_patterns("*.results")))


@pytest.fixture(scope="module")
def single(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Cases of one cylinder with saved speeds; interference is told at one of them."""
    folder = copied(SINGLE, tmp_path_factory.mktemp("single") / "cases")
    cases = [folder / "plain.yaml", folder / "megaphone.yaml"]
    for speeds in ("2000,3000", "4000"):
        assert invoke("cycle", *cases, "--speeds", speeds, "--json").exit_code == 0
    assert invoke("cycle", *cases, "--speeds", "3000", "--interference").exit_code == 0
    return folder


def test_the_page_stands_alone(pump_page: Page) -> None:
    text = pump_page[0].read_text(encoding="utf-8")
    page = read(pump_page[0])
    for tag in ("script", "link", "iframe", "img", "object", "form"):
        assert not page.all(tag), tag
    fetched = [
        value
        for element in walk(page)
        for name, value in element.attributes.items()
        if name in ("src", "href", "xlink:href", "data", "action")
        and not value.startswith(("#", "data:image/png;base64,"))
    ]
    assert fetched == []
    assert "@import" not in text
    assert not re.search(r"url\((?!#)", text)
    assert "default-src 'none'" in text  # a browser would refuse any fetch that slipped in


def test_ids_are_unique_and_references_lead_somewhere(pump_page: Page) -> None:
    text = pump_page[0].read_text(encoding="utf-8")
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    asked = re.findall(r'(?:url\(#|href="#)([^")]+)', text)
    labels = [one for two in re.findall(r'aria-labelledby="([^"]+)"', text) for one in two.split()]
    assert asked
    assert not {*asked, *labels} - set(ids)


def test_a_reader_without_eyes_or_mouse_gets_all_of_it(pump_page: Page) -> None:
    page = read(pump_page[0])
    levels = [int(one.tag[1]) for one in walk(page) if re.fullmatch("h[1-6]", one.tag)]
    assert levels[0] == 1
    assert set(levels[1:]) == {2}
    assert page.all("html")[0].attributes["lang"] == "en"
    for figure in page.all("figure"):
        image = next(one for one in walk(figure) if one.attributes.get("role") == "img")
        assert len(image.attributes["aria-label"]) > 40
        assert figure.all("figcaption")[0].words
    for table in page.all("table"):
        heads = table.all("thead")[0].all("th")
        assert all(head.attributes["scope"] == "col" for head in heads)
        for row in table.all("tbody")[0].all("tr"):
            assert len(row.children) == len(heads)
            assert row.children[0].attributes["scope"] == "row"
    assert [one.attributes["href"] for one in page.all("nav")[0].all("a")] == [
        f"#{one.attributes['id']}" for one in page.all("section")
    ]


def test_numbers_are_those_of_bench_and_parts(pump_page: Page) -> None:
    page, record = pump_page
    words = " ".join(read(page).words.split())
    cases = [PUMP / "log.yaml", PUMP / "tubular.yaml"]
    bench = invoke("bench", *cases, "--samples", 60).stdout
    for port, base, other, gain in re.findall(
        r"^  (\w+) +([\d.]+) +([\d.]+) +([+-][\d.]+) +[+-]", bench, re.M
    ):
        assert f"{port} {base} {other} {gain.replace('-', '−')}" in words
    parts = json.loads(
        invoke(
            "parts", PUMP / "readings_log_tubular.yaml", "--base", "log", "--other", "tubular",
            "--json",
        ).stdout
    )  # fmt: skip
    gain = f"{100 * parts['whole']['gain']:+.1f} %"
    figures = {one["label"]: one for one in record["answer"]["figures"]}
    assert figures["pump tubular: bench flow, measured"]["value"] == gain
    assert all("base" in one["beneath"] for one in figures.values())
    assert "the base of every percentage here" in words


def test_sections_stand_only_where_there_are_data(pump_page: Page, single: Path) -> None:
    assert pump_page[1]["sections"] == [
        "answer", "sheet", "ports", "pressure", "measured", "shape", "notes", "readings", "inputs",
        "sources", "cautions",
    ]  # fmt: skip
    page = single / "one.html"
    case = single / "diesel.yaml"  # never run
    result = invoke("report", case, "--output", page, "--samples", 0, "--json")
    assert result.exit_code == 0, result.output
    record = json.loads(result.stdout)
    assert not {"measured", "engine", "pulses", "studies", "life"} & set(record["sections"])
    assert "–" in read(page).all("main")[0].words  # no band was asked for, and none is invented


def test_saved_speeds_are_read_and_not_marched(single: Path) -> None:
    page = single / "both.html"
    cases = [single / "plain.yaml", single / "megaphone.yaml"]
    result = invoke("report", *cases, "--output", page, "--samples", 0)
    assert result.exit_code == 0, result.output
    words = " ".join(read(page).words.split())
    saved = json.loads(invoke("cycle", *cases, "--speeds", "2000,3000,4000", "--json").stdout)
    for case in saved["cases"]:
        for speed in case["speeds"]:
            assert f"{speed['rev_per_min']:.5g} {speed['torque_nm']:.1f}" in words
    assert "Who disturbs whom at 3000 rev/min" in words  # the speed at which that was told
    some = single / "some.html"
    assert invoke(
        "report", *cases, "--output", some, "--speeds", "2000,4000", "--samples", 0
    ).exit_code == 0  # fmt: skip
    shown = next(one for one in read(some).all("section") if one.attributes["id"] == "engine")
    firsts = {row.children[0].words for row in shown.all("tr")}
    assert {"2000", "4000"} <= firsts
    assert "3000" not in firsts
    other = single / "at.html"
    assert invoke("report", *cases, "--output", other, "--at", 4000, "--samples", 0).exit_code == 0
    assert "was not told apart at this speed" in " ".join(read(other).words.split())


def test_speeds_of_another_state_are_refused_with_the_command(single: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(single, tmp_path / "cases"))
    case = folder / "plain.yaml"
    case.write_text(case.read_text().replace("length: 390 mm", "length: 400 mm"))
    page = tmp_path / "page.html"
    told = problem(invoke("report", case, "--output", page))
    assert f"run: pulse1d cycle {case} --speeds 2000,3000,4000" in told
    both = problem(invoke("report", case, "--output", page, "--readings", tmp_path / "none.yaml"))
    assert "another state" in both  # what is wrong is told together
    assert "none.yaml" in both
    assert not page.exists()
    without = invoke("report", case, "--output", page, "--leave-out", "engine,pulses")
    assert without.exit_code == 0, without.output


def test_a_speed_that_is_not_saved_is_named_with_the_command(single: Path, tmp_path: Path) -> None:
    case = single / "plain.yaml"
    told = problem(invoke("report", case, "--output", tmp_path / "p.html", "--at", 2500))
    assert "saved of all are 2000, 3000, 4000" in told
    assert "--speeds 2500" in told
    told = problem(invoke("report", case, "--output", tmp_path / "p.html", "--speeds", "2000,2500"))
    assert f"run: pulse1d cycle {case} --speeds 2500" in told
    assert "no speed" in problem(
        invoke("report", case, "--output", tmp_path / "p.html", "--at", "x")
    )


def test_a_speed_without_torque_gives_no_percentage(single: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(single, tmp_path / "cases"))
    cases = [folder / "plain.yaml", folder / "megaphone.yaml"]
    assert invoke("cycle", *cases, "--speeds", "20000", "--json").exit_code in (0, 3)
    page = tmp_path / "page.html"
    result = invoke("report", *cases, "--output", page, "--samples", 0)
    assert result.exit_code == 0, result.output
    assert not re.search(r"\bnan\b", read(page).all("main")[0].words, re.I)
    assert "mean of 3 speeds" in " ".join(result.stdout.split())


def test_a_word_about_the_case_leaves_its_speeds_valid(single: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(single, tmp_path / "cases"))
    case = folder / "plain.yaml"
    case.write_text(case.read_text().replace("one bend, 900 mm", "one bend, about 900 mm"))
    result = invoke("report", case, "--output", tmp_path / "page.html", "--samples", 0, "--json")
    assert result.exit_code == 0, result.output
    assert "engine" in json.loads(result.stdout)["sections"]


def test_every_file_read_is_named_with_its_hash(pump_page: Page) -> None:
    words = read(pump_page[0]).words
    for path in (PUMP / "log.yaml", PUMP / "head.yaml", PUMP / "readings_log_tubular.yaml"):
        assert hashlib.sha256(path.read_bytes()).hexdigest()[:16] in words


def test_a_measured_gain_in_doubt_says_so_beside_it(pump_page: Page) -> None:
    figures = {one["label"]: one for one in pump_page[1]["answer"]["figures"]}
    assert "In doubt: port 3 alone" in figures["pump tubular: bench flow, measured"]["beneath"]


def test_every_text_of_a_user_is_escaped(tmp_path: Path) -> None:
    folder = copied(PUMP, tmp_path / "cases")
    quoted = json.dumps(HOSTILE)
    text = (folder / "tubular.yaml").read_text()
    text = re.sub(r"name: pump tubular 1 5/8", lambda _: f"name: {quoted}", text)
    text = re.sub(r"name: blend", lambda _: f"name: {json.dumps('<u>blend')}", text)
    (folder / "tubular.yaml").write_text(text)
    rows = (folder / "readings_log_tubular.yaml").read_text()
    rows = rows.replace("bench: invented bench", f"bench: {quoted}")
    rows = rows.replace("name: pump tubular", f"name: {quoted}")
    rows = rows.replace("notes: Invented readings of invented parts; no bench was run.",
                        f"notes: {quoted}")  # fmt: skip
    (folder / "readings_log_tubular.yaml").write_text(rows)
    page = tmp_path / "page.html"
    result = invoke(
        "report", folder / "log.yaml", folder / "tubular.yaml", "--output", page, "--samples", 0,
        "--readings", folder / "readings_log_tubular.yaml", "--leave-out", "life,notes",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    found = read(page)
    assert not found.all("img")
    assert not found.all("b")
    assert not found.all("u")
    assert not found.all("script")
    assert found.words.count(HOSTILE) > 10
    known = {"style", "href", "xlink:href", "id", "class", "role"}
    events = {name for one in walk(found) for name in one.attributes if name.startswith("on")}
    assert events <= known


def test_the_page_speaks_the_units_of_the_case(tmp_path: Path) -> None:
    folder = copied(PUMP, tmp_path / "cases")
    text = (folder / "log.yaml").read_text().replace("depression: 28 inH2O", "depression: 7 kPa")
    (folder / "log.yaml").write_text(re.sub(r"\nexpect:.*", "\n", text, flags=re.S))
    page = tmp_path / "page.html"
    result = invoke(
        "report", folder / "log.yaml", "--output", page, "--samples", 0, "--leave-out", "life,notes"
    )
    assert result.exit_code == 0, result.output
    own = " ".join(  # what the files themselves say stands under "inputs"
        one.words for one in read(page).all("section") if one.attributes["id"] != "inputs"
    )
    assert "CFM" not in own
    assert "inH2O" not in own
    assert "m³/h" in own
    assert "7 kPa" in own


def test_a_study_is_shown_once_it_was_swept(tmp_path: Path) -> None:
    study = pump_study(
        tmp_path,
        "format: pulse1d study 1\nabout: {name: tails}\nbase: tubular.yaml\n"
        "parameters:\n  blend: {path: runners/*/blend/length, range: [20 mm, 40 mm], steps: 3}\n"
        "plan: {kind: grid}\ncompute: {bench: {}}\n"
        "objectives: [{aim: most, answer: mean flow}]\n",
    )
    case, page = tmp_path / "tubular.yaml", tmp_path / "page.html"
    asked = ("report", case, "--output", page, "--study", study, "--samples", 0, "--leave-out",
             "life,notes")  # fmt: skip
    assert f"run: pulse1d sweep {study}" in problem(invoke(*asked))
    assert invoke("sweep", study, "--workers", 1).exit_code == 0
    assert invoke(*asked).exit_code == 0
    assert "tails, around pump tubular 1 5/8: 3 designs computed" in " ".join(
        read(page).words.split()
    )
    case.write_text(case.read_text().replace("edge radius: 6 mm", "edge radius: 5 mm"))
    assert "another state" in problem(invoke(*asked))


def test_only_an_earlier_report_is_written_over(pump_page: Page, tmp_path: Path) -> None:
    mine = tmp_path / "mine.html"
    mine.write_text("<p>my own page</p>", encoding="utf-8")
    assert "exists already" in problem(invoke("report", PUMP / "log.yaml", "--output", mine))
    assert mine.read_text(encoding="utf-8") == "<p>my own page</p>"
    again = shutil.copy(pump_page[0], tmp_path / "again.html")
    fresh = invoke("report", SINGLE / "diesel.yaml", "--output", again, "--samples", 0)
    assert fresh.exit_code == 0, fresh.output
    assert "pump log" not in Path(again).read_text(encoding="utf-8")
    assert "end it in .html" in problem(
        invoke("report", PUMP / "log.yaml", "--output", tmp_path / "page.pdf")
    )


def test_bad_sections_and_readings_are_refused(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    log = PUMP / "log.yaml"
    told = problem(invoke("report", log, "--output", page, "--leave-out", "cautions,motor"))
    assert "'cautions' is no section to leave out" in told
    assert "'motor'" in told
    readings = PUMP / "readings_log_tubular.yaml"
    told = problem(
        invoke("report", PUMP / "divided.yaml", "--output", page, "--readings", readings)
    )
    assert "names one of the cases" in told
    assert not page.exists()


def test_designs_that_cannot_be_told_apart_are_refused(tmp_path: Path) -> None:
    log = PUMP / "log.yaml"
    assert "same name" in problem(invoke("report", log, log, "--output", tmp_path / "page.html"))


def test_designs_without_a_port_in_common_are_not_compared(tmp_path: Path) -> None:
    folder = copied(SINGLE, tmp_path / "cases")
    for path in (folder / "head.yaml", folder / "megaphone.yaml", folder / "plain.yaml"):
        text = path.read_text()
        path.write_text(re.sub(r"\nexpect:.*", "\n", text, flags=re.S))
    shutil.copy(folder / "head.yaml", folder / "other_head.yaml")
    other = folder / "other_head.yaml"
    other.write_text(re.sub(r"name: ['\"]?1\b['\"]?", "name: rear", other.read_text()))
    text = (folder / "plain.yaml").read_text()
    text = text.replace("head: head.yaml", "head: other_head.yaml").replace("port: 1", "port: rear")
    text = text.replace("name: single, plain pipe", "name: rear pipe")
    text = re.sub(r"\nengine:.*", "\n", text, flags=re.S)
    (folder / "rear.yaml").write_text(text)
    page = folder / "page.html"
    result = invoke(
        "report", folder / "plain.yaml", folder / "rear.yaml", "--output", page, "--samples", 0
    )
    assert result.exit_code == 0, result.output
    assert "rear pipe has no port in common with single, plain pipe" in " ".join(
        result.stdout.split()
    )


def test_text_can_be_read_on_its_ground() -> None:
    css = (Path(__file__).parents[2] / "pulse1d" / "report" / "page.css").read_text()
    schemes = [
        dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block))
        for block in re.findall(r":root \{(.*?)\}", css, re.S)
    ]
    assert len(schemes) == 3
    for colours in schemes:
        for text, ground in (
            ("ink", "page"), ("soft", "page"), ("link", "page"), ("ink", "tint"), ("soft", "tint"),
            ("ink", "warn-tint"),
        ):  # fmt: skip
            # WCAG 2.2, success criterion 1.4.3: 4.5 for text of this size
            assert contrast(colours[text], colours[ground]) >= 4.5, (text, ground)
        for k in range(1, 7):
            # 1.4.11 asks 3 of graphics; hatches, dashes and labels carry the rest of it
            assert contrast(colours[f"series-{k}"], colours["page"]) >= 1.9, k


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, relative luminance)."""

    def luminance(colour: str) -> float:
        shares = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
        r, g, b = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def walk(element: Element) -> list[Element]:
    """This and all below."""
    return [element, *(one for child in element.children for one in walk(child))]
