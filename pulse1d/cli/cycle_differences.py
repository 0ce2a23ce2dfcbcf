"""One layout less another on the running engine, as text."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean

from pulse1d.cli.text import Column, paragraph, table
from pulse1d.run.cycle_summary import SpeedDifference, differences, mean_difference
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.downstream import described, same, system
from pulse1d.run.engine_net import needs

MORE = (
    Column("speed", 6),
    Column("torque", 8),
    Column("", 7),
    Column("v.eff", 8),
    Column("residual", 8),
    Column("back", 8),
    Column("pmep", 8),
    Column("", 1),
)
MORE_UNITS = ["1/min", "N m", "%", "points", "points", "kPa", "bar", ""]


Pair = tuple[CaseSweep, CaseSweep]


def comparison(pairs: Sequence[Pair]) -> list[str]:
    """One case against the base, in every setting.

    Parameters
    ----------
    pairs : sequence of (base, other)   One pair a setting [SI]
    Returns
    -------
    parts : list of str   [-]
    """
    parts = [difference_lines(base, other) for base, other in pairs]
    found = [differences(base.summaries, other.summaries) for base, other in pairs]
    if not any(found):
        return parts
    notes = "torque %: of the base's."
    if any(sum(row.converged for row in rows) > 1 for rows in found):
        notes += " mean: of the speeds at which both converged."
    partly = whose(pairs[0][0])
    if any(math.isnan(row.torque) for rows in found for row in rows):
        notes += " No difference in torque: the cases do not model equally many cylinders."
    elif partly:
        notes += f" Torque: {partly}."
    parts.append(paragraph(notes))
    if len(pairs) > 1 and (left := left_over(pairs, found)):
        parts.append(paragraph(left, 0))
    return parts


def left_over(pairs: Sequence[Pair], found: Sequence[Sequence[SpeedDifference]]) -> str:
    """What a difference in torque is in each setting, over the same speeds.

    Parameters
    ----------
    pairs : sequence of (base, other)   [SI]
    found : sequence of differences   Of each pair [SI]
    Returns
    -------
    text : str   Empty where no speed converged in all [-]
    """
    good = [
        {
            row.rev_per_min: row.torque
            for row in rows
            if row.converged and not math.isnan(row.torque)
        }
        for rows in found
    ]
    speeds = sorted(set.intersection(*(set(own) for own in good)))
    if not speeds:
        return ""
    told = ", ".join(
        f"{fmean(own[speed] for speed in speeds):+.2f} N m {other.setting.label}"
        for own, (_, other) in zip(good, pairs, strict=True)
    )
    many = f"over the {len(speeds)} speeds" if len(speeds) > 1 else f"at {speeds[0]:g} rev/min"
    mean = "Mean torque" if len(speeds) > 1 else "Torque"
    base, other = pairs[0]
    return f"{mean} of {other.design.name} less that of {base.design.name} {many}: {told}."


def difference_lines(base: CaseSweep, other: CaseSweep) -> str:
    """One case against the base, with a warning where more than the manifold differs.

    Parameters
    ----------
    base, other : CaseSweep   Of one setting [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = differences(base.summaries, other.summaries)
    where = f", {other.setting.label}" if other.setting.label else ""
    if not rows:
        return paragraph(f"{other.design.name}{where}: no speed in common with the base.", 0)
    title = paragraph(f"{other.design.name} less {base.design.name} (the base){where}", 0)
    lines = [MORE_UNITS, *(difference_row(row) for row in rows)]
    good = [row for row in rows if row.converged]
    if len(good) > 1:
        lines.append(mean_row(good))
    return "\n".join([title, *mixed_lines(base, other), table(MORE, lines)])


def mixed_lines(base: CaseSweep, other: CaseSweep) -> list[str]:
    """The warning that two cases do not stand in front of the same system.

    Parameters
    ----------
    base, other : CaseSweep   [SI]
    Returns
    -------
    lines : list of str   Empty where they do [-]
    """
    ours, theirs = system(base.design), system(other.design)
    if same([ours, theirs]):
        return []
    what = f"{described(theirs)} against {described(ours)}"
    if described(ours) == described(theirs):
        what = f"{described(ours)} in both, but not the same ones"
    return [
        paragraph(
            f"Warning: what follows the outlet differs ({what}), so this difference mixes manifold "
            "and downstream system. --downstream CASE runs all behind one system, --bare without."
        )
    ]


def whose(sweep: CaseSweep) -> str:
    """Whose torque and power are told, where it is not the whole engine's.

    Parameters
    ----------
    sweep : CaseSweep   [-]
    Returns
    -------
    text : str   Empty for a whole engine [-]
    """
    count = needs(sweep.design).cylinders
    modelled = len(sweep.answers[0].cylinders) if sweep.answers else count
    if modelled == count:
        return ""
    return f"of the {modelled} cylinders modelled, not of the engine"


def difference_row(row: SpeedDifference) -> list[str]:
    """One speed's differences.

    Parameters
    ----------
    row : SpeedDifference   [SI]
    Returns
    -------
    cells : list of str   [-]
    """
    return [f"{row.rev_per_min:.5g}", *_figures(row), "" if row.converged else "*"]


def mean_row(rows: Sequence[SpeedDifference]) -> list[str]:
    """The mean of some speeds.

    Parameters
    ----------
    rows : sequence of SpeedDifference   Converged ones [SI]
    Returns
    -------
    cells : list of str   [-]
    """
    return ["mean", *_figures(mean_difference(rows)), ""]


def _figures(row: SpeedDifference) -> list[str]:
    return [
        "-" if math.isnan(row.torque) else f"{row.torque:+.2f}",
        "-" if math.isnan(row.torque_share) else f"{100.0 * row.torque_share:+.2f}",
        f"{100.0 * row.volumetric_efficiency:+.2f}",
        f"{100.0 * row.residual:+.2f}",
        f"{1e-3 * row.back_pressure:+.2f}",
        f"{1e-5 * row.pmep:+.3f}",
    ]
