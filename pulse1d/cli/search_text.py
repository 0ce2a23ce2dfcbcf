"""A search as text for a terminal of 80 columns, and as one object."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

from pulse1d import __version__
from pulse1d.cli.search_draw import called
from pulse1d.cli.search_run import Told
from pulse1d.cli.search_slopes import slopes_text
from pulse1d.cli.sweep_text import fitted
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.study.aims import banded
from pulse1d.study.answers import answer_infos
from pulse1d.study.columns import as_read, shown_unit
from pulse1d.study.front import named, trade_words
from pulse1d.study.ranking import number
from pulse1d.study.search import Search
from pulse1d.study.shares import Shares

SCHEMA = "pulse1d search 1"
SHOWN = 12
"""Designs of a front in the table."""
REASONS = 5


def report(told: Told) -> str:
    """Everything ``pulse1d search`` prints.

    Parameters
    ----------
    told : Told   [SI]
    Returns
    -------
    text : str   [-]
    """
    head = f"{told.study.name}, around {told.study.base.name}"
    if told.search is not None:
        return "\n\n".join([head, *search_parts(told, told.search)])
    if told.slopes:
        return f"{head}\n\n{slopes_text(told)}"
    return "\n\n".join([head, *(shares_text(told, one) for one in told.shares)])


def search_parts(told: Told, search: Search) -> list[str]:
    """Counts, front, trade and warnings of a search.

    Parameters
    ----------
    told : Told   [SI]
    search : Search   [SI]
    Returns
    -------
    parts : list of str   [-]
    """
    wants = "; ".join(aim.words for aim in search.aims)
    count = len(search.outcomes)
    how = "each combination" if search.whole else f"seed {told.seed}"
    lines = [f"Wanted: {wants}.", f"{count} designs, {how}; {told.computed} computed now."]
    reasons = {f"left out: {why}": n for why, n in search.left_out.items()}
    for one in search.outcomes:
        if one.failure:
            reasons[f"failed: {one.failure}"] = reasons.get(f"failed: {one.failure}", 0) + 1
    most = sorted(reasons.items(), key=lambda pair: -pair[1])
    lines += [f"  {n} {shorten(why, 200)}" for why, n in most[:REASONS]]
    parts = ["\n".join(paragraph(line.strip(), 2 if line[0] == " " else 0) for line in lines)]
    if not search.front:
        return [*parts, "No design has all answers and keeps the limits."]
    parts.append(front_table(told, search))
    found = named(search.outcomes, search.aims, search.front)
    assert found is not None
    if found.trades:
        said = [trade_words(trade, found.aims) for trade in found.trades]
        parts.append("The trade:\n" + "\n".join(paragraph(text + ".", 2) for text in said))
    elif len(found.aims) > 1:
        parts.append("One design is best in every aim; nothing has to be traded.")
    if told.robust:
        centre = [aim.answer for aim in search.aims if not banded(aim)]
        text = "Robust: of each 5-95 % band its worse end counts"
        parts.append(paragraph(text + (f"; no band: {', '.join(centre)}." if centre else "."), 0))
    if not search.start:
        text = (
            "The base case is no point of the study: it breaks a constraint, or a parameter has "
            "several values in it or one off its range or list; `sets: change` varies each value "
            "by as much."
        )
        parts.append(paragraph(text, 0))
    if not search.whole:
        text = (
            "A search may miss a better design: run another --seed, or more --points, and see "
            "whether the front stays."
        )
        parts.append(paragraph(text, 0))
    return parts


def front_table(told: Told, search: Search) -> str:
    """The base and the front, the designs with a name always among them.

    Parameters
    ----------
    told : Told   [SI]
    search : Search   With a front [SI]
    Returns
    -------
    text : str   [-]
    """
    study, marks = told.study, called(search)
    names = dict.fromkeys(row for _, row in marks)
    room = max(SHOWN - len(names), 0)
    others = [row for row in search.front if row not in names]
    step = max(-(-len(others) // room), 1) if room else len(others) + 1
    kept = {*names, *(others[::step] if room else ())}
    rows = [row for row in names if row not in search.front]
    rows += [row for row in search.front if row in kept]
    infos = {info.name: info for info in answer_infos(study)}
    answers = dict.fromkeys(aim.answer for aim in search.aims)
    letters: dict[int, str] = {}
    ends = 0
    for name, row in marks:
        short = name
        if name not in ("base", "knee", "best"):
            ends += 1
            short = f"end {ends}"
        letters[row] = f"{letters[row]}, {short}" if row in letters else short
    heads = ["design", *(f"{name} {infos[name].shown}" for name in answers)]
    heads += [f"{a.name} {shown_unit(study, a)}".strip() for a in study.axes]
    cells = []
    for row in rows:
        one = search.outcomes[row]
        values = {name: one.answers.get(name) for name in answers}
        cells.append(
            [
                letters.get(row, f"no. {row}"),
                *("-" if v is None else number(infos[n].show(v)) for n, v in values.items()),
                *(as_read(study, axis, one.point[axis.name]) for axis in study.axes),
            ]
        )  # fmt: skip
    shown = sum(row in search.front for row in rows)
    title = f"Front: {len(search.front)} designs that no other beats"
    title += f", {shown} of them" if shown < len(search.front) else ""
    ended = [name for name, _ in marks if name not in ("base", "knee", "best")]
    key = "; ".join(f"end {k + 1}: {name}" for k, name in enumerate(ended))
    return f"{title}\n{stacked(heads, cells)}" + (f"\n{paragraph(key, 2)}" if key else "")


def stacked(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Tables below each other, as many columns in each as fit, the first column in all.

    Parameters
    ----------
    heads : sequence of str   [-]
    rows : sequence of rows of str   [-]
    Returns
    -------
    text : str   [-]
    """
    parts, first = [], 1
    while first < len(heads):
        last = len(heads)
        while True:
            pick = [0, *range(first, last)]
            text = fitted([heads[k] for k in pick], [[row[k] for k in pick] for row in rows])
            if last == first + 1 or "more columns" not in text:
                break
            last -= 1
        parts.append(text)
        first = last
    return "\n\n".join(parts)


def shares_text(told: Told, one: Shares) -> str:
    """Shares of one answer.

    Parameters
    ----------
    told : Told   [SI]
    one : Shares   [SI]
    Returns
    -------
    text : str   [-]
    """
    info = next(info for info in answer_infos(told.study) if info.name == one.answer)
    sobol = one.method == "sobol"
    show: Callable[[float], Any] = (lambda v: 100.0 * v) if sobol else info.show
    heads = ("by itself", "+-", "in all", "+-") if sobol else ("mean", "+-", "mean size", "+-")
    columns = [Column("parameter", 30, left=True)]
    columns += [Column(head, width) for head, width in zip(heads, (9, 7, 9, 7), strict=True)]
    rows = [
        (
            shorten(s.parameter, 30),
            *(f"{show(v):.3g}" for v in (s.alone, s.alone_doubt, s.total, s.total_doubt)),
        )
        for s in one.shares
    ]
    if sobol:
        rows = [(r[0], *(f"{float(v):.1f}" for v in r[1:])) for r in rows]
    what = "shares of the variance [%]" if sobol else f"effect of crossing the range [{info.shown}]"
    mean, spread = info.show(one.mean), info.show(one.deviation)
    head = (
        f"{one.answer}: {what}\nmean {number(mean)}, standard deviation {spread:.3g} {info.shown}"
    )
    lines = [head, table(columns, rows)]
    if one.lost:
        total = sum(one.lost.values())
        why = max(one.lost, key=lambda reason: one.lost[reason])
        text = f"{total} of {total + one.samples} blocks of points left out, most for: {why}"
        lines.append(paragraph(shorten(text, 300), 2))
    method = (
        "Sobol indices: by itself, and in all with its interactions with others. Their sum by "
        "itself falls short of 100 % by what interacts."
        if sobol
        else "Morris' elementary effects, a ranking: too few points for shares of the variance. A "
        "mean much smaller than its size tells of an effect that turns, or of interactions."
    )
    lines.append(
        paragraph(
            f"{method} {one.samples} blocks, seed {told.seed}; +- is half a 95 % interval. All "
            "over the ranges of the study, evenly: for tolerances give ranges that wide.",
            0,
        )
    )
    return "\n".join(lines)


def record(told: Told) -> dict[str, Any]:
    """The object that ``pulse1d search --json`` prints.

    ``{"schema", "version", "study", "file", "key", "base", "kind", "seed", "computed", "stopped"}``
    with, for a search, ``"aims", "left_out", "whole", "designs": [{"point", "answers",
    "failure"}], "front", "named"`` (rows of designs), for slopes ``"at", "slopes"``, for shares
    ``"shares"``. All in SI.

    Parameters
    ----------
    told : Told   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    study = told.study
    out: dict[str, Any] = {
        "schema": SCHEMA, "version": __version__, "study": study.name, "file": str(study.path),
        "key": study.key, "base": study.base.name, "kind": told.kind, "seed": told.seed,
        "computed": told.computed, "stopped": told.stopped,
    }  # fmt: skip
    if told.search is not None:
        found = told.search
        out |= {
            "robust": told.robust,
            "aims": [
                {"answer": a.answer, "aim": a.aim} | ({} if a.open else {"limit": a.limit})
                for a in found.aims
            ],
            "left_out": found.left_out,
            "whole": found.whole,
            "designs": [
                {"point": dict(o.point), "answers": o.answers, "failure": o.failure}
                for o in found.outcomes
            ],
            "front": list(found.front),
            "named": [{"name": name, "design": row} for name, row in called(found)],
        }
    if told.there is not None:
        out["at"] = dict(told.there.point)
        out["slopes"] = [
            {
                "parameter": s.axis.name, "answer": s.answer, "slope": s.slope, "doubt": s.doubt,
                "sure": s.sure, "low": s.low, "high": s.high, "failure": s.failure,
            }
            for s in told.slopes
        ]  # fmt: skip
    if told.shares:
        out["shares"] = [asdict(one) for one in told.shares]
    return out
