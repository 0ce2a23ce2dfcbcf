"""Damage to a table of readings: cells, columns, rows, separators and decimal signs."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

CELLS = (
    "", "0", "-1", "1e308", "-1e308", "1e-308", "1e400", "nan", "inf", "#N/A", "1,5", "1.5",
    "1.234,5", "1 234", "1'234", "12 inH2O", "=A1+1", "@x", "part", "leak", "check",
    "adapter only", "1", "2", "99", "log", "tubular", '"', '""', '"a\nb"', "x" * 4000, "\u00e9",
    "\u202e", "1e5", "28", "0.001", "1000000",
)  # fmt: skip
Table = list[list[str]]


def mutate_table(random: Random, text: str) -> str:
    """A table with one to four changes."""
    separator = next((sign for sign in "\t;," if sign in text.partition("\n")[0]), ",")
    table = [line.split(separator) for line in text.split("\n")]
    for _ in range(random.choice((1, 1, 2, 4))):
        random.choice(CHANGES)(random, table)
    if random.random() < 0.1:
        separator = random.choice(";,\t |")
    return "\n".join(separator.join(row) for row in table)


def _cell(random: Random, table: Table) -> None:
    row = random.choice(table)
    row[random.randrange(len(row))] = random.choice(CELLS)


def _scaled(random: Random, table: Table) -> None:
    row = random.choice(table)
    place = random.randrange(len(row))
    try:
        row[place] = f"{float(row[place]) * random.choice((-1, 0, 0.1, 0.99, 10, 1e6, 1e-6)):g}"
    except ValueError:
        row[place] = random.choice(CELLS)


def _swapped(random: Random, table: Table) -> None:
    one, two = random.choice(table), random.choice(table)
    i, j = random.randrange(len(one)), random.randrange(len(two))
    one[i], two[j] = two[j], one[i]


def _column(random: Random, table: Table) -> None:
    place, cell, deed = random.randrange(len(table[0])), random.choice(CELLS), random.randrange(4)
    for row in table:
        if place >= len(row):
            continue
        if deed == 0:
            del row[place]
            row.extend([""] if not row else [])
        elif deed == 1:
            row.insert(place, row[place])
        elif row is not table[0]:
            row[place] = cell if deed == 2 else row[0]


def _rows(random: Random, table: Table) -> None:
    place = random.randrange(len(table))
    deed = random.randrange(4)
    if deed == 0 and len(table) > 1:
        del table[place]
    elif deed == 1:
        table[place:place] = [list(table[place]) for _ in range(random.choice((1, 3, 200)))]
    elif deed == 2:
        random.shuffle(table)
    else:
        del table[place + 1 :]


CHANGES: tuple[Callable[[Random, Table], None], ...] = (
    _cell, _cell, _scaled, _scaled, _swapped, _column, _rows,
)  # fmt: skip
