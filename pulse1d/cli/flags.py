"""Options that several verbs have: one wording, one place."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from pulse1d.cli.telling import hush


class Direction(StrEnum):
    """How the bench moves its air."""

    blown = "blown"
    sucked = "sucked"


class Layout(StrEnum):
    """Kinds of starter case."""

    cast = "cast"
    tubular = "tubular"


Cases = Annotated[
    list[Path], typer.Argument(metavar="CASES", help="Case files; the first is the base.")
]
Case = Annotated[Path, typer.Argument(metavar="CASE", help="Case file of the part.")]
Readings = Annotated[Path, typer.Argument(metavar="READINGS", help="File of bench readings.")]
ManyReadings = Annotated[
    list[Path], typer.Argument(metavar="READINGS", help="Files of readings, one or more.")
]
Study = Annotated[Path, typer.Argument(metavar="STUDY", help="The study file.")]

Json = Annotated[
    bool, typer.Option("--json", help="One JSON object on stdout in place of the text.")
]
Quiet = Annotated[
    bool,
    typer.Option(
        "--quiet",
        "-q",
        callback=hush,
        help="No progress, no lines on files written; errors stay.",
    ),
]
Plot = Annotated[
    Path | None,
    typer.Option(
        "--plot",
        metavar="FILE",
        help="Draw it to this .png, .svg or .pdf; further pictures become FILE-name.",
    ),
]
Export = Annotated[
    Path | None,
    typer.Option(
        "--export",
        metavar="FILE",
        help="Write the tables to a new .csv, .parquet, .nc or .json file, in SI.",
    ),
]
Output = Annotated[
    Path | None,
    typer.Option(
        "--output",
        metavar="FOLDER",
        help="Folder of what is kept, in place of FILE.results beside it.",
    ),
]

Part = Annotated[
    str | None,
    typer.Option(
        "--part", metavar="PART", help="Part in the readings; found by its case if left out."
    ),
]
Base = Annotated[
    str,
    typer.Option(
        "--base", metavar="PART", help="Part that gains are relative to: its key under parts."
    ),
]
Other = Annotated[
    str | None,
    typer.Option(
        "--other", metavar="PART", help="Part held against it; may be left out of two parts."
    ),
]
Workers = Annotated[
    int | None,
    typer.Option("--workers", metavar="N", min=1, help="Processes; one for each core if left out."),
]
Cluster = Annotated[
    str | None,
    typer.Option(
        "--cluster", metavar="ADDRESS", help="Scheduler to compute at, such as tcp://host:8786."
    ),
]
Seed = Annotated[
    int,
    typer.Option("--seed", metavar="N", min=0, help="The same seed gives the same samples again."),
]
