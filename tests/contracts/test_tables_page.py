"""The page on tables is current, and the catalogue behind it holds every table and no other."""

from __future__ import annotations

import inspect
import re

import pytest
from typer.main import get_command

from pulse1d.cli.catalogue import CATALOGUE
from pulse1d.cli.main import app
from pulse1d.cli.tables_page import SHIPPED, page

SHEETS = [(verb, sheet) for verb, sheets in CATALOGUE.items() for sheet in sheets]
UNITS = {
    "", "1", "m", "m2", "m3", "m3/s", "m/s", "m/N", "rad", "s", "kg", "kg/s", "kg/m3", "N", "N m",
    "Pa", "K", "J", "W", "W/m2/K",
}  # fmt: skip
"""SI by name and in derived form (BIPM, The International System of Units, 9th ed.)."""
SAID_ON_THE_PAGE = {"deg", "1/min", "SI", "own"}
"""Crank angle, engine speed, and units that the row names."""


def test_the_page_is_current() -> None:
    assert SHIPPED.read_text(encoding="utf-8") == page()


def test_a_verb_has_tables_if_and_only_if_it_exports() -> None:
    commands = get_command(app).commands  # type: ignore[attr-defined]
    exporting = {
        verb
        for verb, command in commands.items()
        if "export" in inspect.signature(command.callback).parameters
    }
    assert exporting == set(CATALOGUE)


@pytest.mark.parametrize(("verb", "sheet"), SHEETS, ids=lambda one: getattr(one, "name", one))
def test_names_units_and_meanings_are_sound(verb: str, sheet) -> None:  # type: ignore[no-untyped-def]
    assert [s.name for v, s in SHEETS if v == verb].count(sheet.name) == 1
    assert re.fullmatch(r"[a-z]+(_[a-z]+)*", sheet.name)  # part of a file's name
    fields = [column.field for column in sheet.columns]
    names = [field.name for field in fields]
    assert len(set(names)) == len(names)
    assert "row" not in names  # the dimension in NetCDF
    assert [name for name in names if not re.fullmatch(r"[A-Za-z]\w*", name)] == []
    assert {field.unit for field in fields} <= UNITS | SAID_ON_THE_PAGE
    assert [field.name for field in fields if not field.meaning] == []
    assert [field.name for field in fields if field.holds in ("flag", "count")
            and field.unit != "1"] == []  # fmt: skip
