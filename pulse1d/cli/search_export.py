"""The tables of ``pulse1d search --export``."""

from __future__ import annotations

from pulse1d.cli.search_draw import called
from pulse1d.cli.search_run import Told
from pulse1d.results.table import Table
from pulse1d.study.study_tables import designs_table, shares_table, slopes_table


def search_tables(told: Told) -> list[Table]:
    """What was asked for.

    Parameters
    ----------
    told : Told   [SI]
    Returns
    -------
    tables : list of Table   One [SI]
    """
    if told.search is not None:
        names: dict[int, list[str]] = {}
        for name, row in called(told.search):
            names.setdefault(row, []).append(name)
        said = {row: "; ".join(some) for row, some in names.items()}
        return [designs_table(told.study, told.search, said)]
    if told.kind == "slopes":
        return [slopes_table(told.study, told.slopes)]
    return [shares_table(told.study, told.shares)]
