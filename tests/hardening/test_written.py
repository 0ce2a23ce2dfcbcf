"""Names in a case decide nothing about where files are written, nor drive a terminal."""

from __future__ import annotations

from json import dumps
from pathlib import Path

import pytest
from typer.testing import CliRunner

import pulse1d
from pulse1d.cli.main import app
from pulse1d.errors import InputError
from tests.hardening.places import INDENTED, READINGS, STUDY

ODD = ("../../up", "a/b", "/etc/odd", "..", "C:\\odd", "con", "~", "$HOME", "%s", "x" * 60, "né")
"""Names that would lead elsewhere as file names."""
ROUND = "section: {shape: round, bore: 36 mm}"
STRAIGHT = "{kind: straight, name: tail, length: 200 mm}"
CASE = f"""format: pulse1d case 1
about: {{name: NAMED}}
head: {{ports: [{{name: NAMED, {ROUND}}}]}}
runners:
  - {{port: NAMED, {ROUND}, pieces: [{STRAIGHT}, {{kind: straight, name: NAMED, length: 50 mm}}],
     to: outlet}}
pulse: {{port: NAMED, volume: 1 L, pressure: 150 kPa abs, opening: 1 cm^2, duration: 2 ms,
  stations: {{NAMED: 9 mm}}}}
"""


def files(folder: Path) -> set[Path]:
    return {path for path in folder.rglob("*") if not path.is_dir()}


@pytest.mark.parametrize("name", ODD)
def test_files_are_written_where_they_were_asked_for(tmp_path: Path, name: str) -> None:
    root, out = tmp_path / "deep" / "root", tmp_path / "deep" / "out"
    root.mkdir(parents=True)
    out.mkdir()
    quoted = dumps(name, ensure_ascii=False)
    case, study, rows = (root / f"{word}.yaml" for word in ("case", "study", "rows"))
    case.write_text(CASE.replace("NAMED", quoted), encoding="utf-8")
    named = STUDY.replace("{name: a}", f"{{name: {quoted}}}").replace("{x:", f"{{{quoted}:")
    study.write_text(f"{named}base: case.yaml\n".replace("runners/1", "runners/*"))
    readings = f"{READINGS}parts: {{{quoted}: {{name: {quoted}}}}}\nrows: |\n{INDENTED}"
    rows.write_text(readings.replace("part,a,1", f"part,{name},{name}"), encoding="utf-8")
    before = files(tmp_path)
    for verb in (
        ("bench", case, "--export", out / "bench.csv", "--samples", "0"),
        ("check", case, "--export", out / "check.csv"),
        ("pulse", case, "--output", out / "pulse"),
        ("reduce", rows, "--export", out / "reduce.csv"),
        ("sweep", study, "--workers", "1", "--output", out / "sweep"),
    ):
        result = CliRunner().invoke(app, [str(word) for word in verb])
        assert result.exit_code == 0, (verb, result.output, result.exception)
    written = files(tmp_path) - before
    assert len(written) > 8
    assert all(path.is_relative_to(out) for path in written)
    assert all(name not in path.name or len(name) < 3 for path in written)


@pytest.mark.parametrize(
    "sign", ["\\e[2J", "\\x07", "\\0", "\\u202e", "\\u2066", "\\x9b", "\\x7f", "\\uD800"]
)
@pytest.mark.parametrize("key", ["name", "port", "unknown key"])
def test_signs_that_drive_a_terminal_are_refused_and_not_printed(
    tmp_path: Path, sign: str, key: str
) -> None:
    case = tmp_path / "case.yaml"
    text = CASE.replace("NAMED", '"1"')
    changed = {
        "name": text.replace('about: {name: "1"}', f'about: {{name: "a{sign}"}}'),
        "port": text.replace('"1"', f'"1{sign}"'),
        "unknown key": f'{text}"odd{sign}": 1\n',
    }[key]
    case.write_text(changed)
    with pytest.raises(InputError) as caught:
        pulse1d.load(case)
    told = str(caught.value)
    assert told.replace("\n", "").isprintable()
