"""What a table is before it has rows: its fields, each with where its values come from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pulse1d.results.table import Field, Table, cell

Row = TypeVar("Row")


@dataclass(frozen=True)
class Column(Generic[Row]):
    """A field, and its value of one row."""

    field: Field
    value: Callable[[Row], Any]


@dataclass(frozen=True)
class Sheet(Generic[Row]):
    """A table without rows."""

    name: str
    title: str
    columns: tuple[Column[Row], ...]
    more: str = ""
    """Which fields stand behind these, where a file of the user's says."""

    def table(self, rows: Iterable[Row]) -> Table:
        """The table of these rows."""
        fields = tuple(column.field for column in self.columns)
        cells = tuple(tuple(cell(c.field, c.value(row)) for c in self.columns) for row in rows)
        return Table(self.name, self.title, fields, cells)


def text(name: str, meaning: str, value: Callable[[Row], Any]) -> Column[Row]:
    """A column of texts.

    Parameters
    ----------
    name, meaning : str   [-]
    value : function   Of a row [-]
    Returns
    -------
    column : Column   [-]
    """
    return Column(Field(name, "", meaning, "text"), value)


def number(name: str, unit: str, meaning: str, value: Callable[[Row], Any]) -> Column[Row]:
    """A column of numbers.

    Parameters
    ----------
    name, unit, meaning : str   [-]
    value : function   Of a row; None or not finite where it cannot be told [unit]
    Returns
    -------
    column : Column   [-]
    """
    return Column(Field(name, unit, meaning), value)


def count(name: str, meaning: str, value: Callable[[Row], Any]) -> Column[Row]:
    """A column of whole numbers.

    Parameters
    ----------
    name, meaning : str   [-]
    value : function   Of a row [-]
    Returns
    -------
    column : Column   [-]
    """
    return Column(Field(name, "1", meaning, "count"), value)


def flag(name: str, meaning: str, value: Callable[[Row], Any]) -> Column[Row]:
    """A column of true and false.

    Parameters
    ----------
    name, meaning : str   [-]
    value : function   Of a row [-]
    Returns
    -------
    column : Column   [-]
    """
    return Column(Field(name, "1", meaning, "flag"), value)


def part(k: int, name: str, at: int | None = None) -> Callable[[Any], Any]:
    """The value of a column that reads an attribute.

    Parameters
    ----------
    k : int   Place in the row of what has the attribute [-]
    name : str   Of the attribute [-]
    at : int or None   Place in the row of an index into it [-]
    Returns
    -------
    value : function   Of a row [-]
    """
    if at is None:
        return lambda row: getattr(row[k], name)
    return lambda row: getattr(row[k], name)[row[at]]
