"""What the bench read: parts against each other, prediction against measurement."""

from __future__ import annotations

from functools import partial

from pulse1d.compare.against import Comparison
from pulse1d.compare.claim import claim_text
from pulse1d.compare.faults import Verdict
from pulse1d.compare.parts import Gain, PartComparison
from pulse1d.compare.sayings import apart_sentences, judgement_sentences
from pulse1d.plots.compare import comparison_figure
from pulse1d.plots.look import unit
from pulse1d.plots.parts import parts_figure
from pulse1d.report.blocks import Block, Grid, Picture, Points, Section, Words
from pulse1d.report.evidence import Evidence, Readings
from pulse1d.report.words import between, signed


def measured(evidence: Evidence) -> Section | None:
    """Both comparisons for every file of readings.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section or None   None without readings [-]
    """
    shown, blocks = evidence.shown, list[Block]()
    for one in evidence.readings:
        for pair in one.pairs:
            title = f"{pair.rows.other} against {pair.rows.base}, as the bench read them"
            blocks += [
                Words(claim_text(pair)),
                Picture(
                    title,
                    f"Bars of the measured flow of parts {pair.rows.base} and {pair.rows.other}, "
                    "port by port, with 95 % bands; numbers in the table below.",
                    partial(parts_figure, pair, shown=shown),
                ),
                _gains(evidence, pair),
            ]
        for comparison, verdict in one.against:
            blocks += [
                Picture(
                    f"{comparison.design.name}: predicted and measured",
                    f"Predicted flow with its band beside measured flow of every port of "
                    f"{comparison.design.name}; numbers in the table below.",
                    partial(comparison_figure, comparison, verdict, shown=shown),
                ),
                _gaps(evidence, comparison),
                *_sayings(comparison, verdict),
            ]
        blocks.append(Words(_which(one), "note"))
    return Section("measured", "Against the bench", tuple(blocks)) if blocks else None


def _which(one: Readings) -> str:
    header = one.reduction.session.header
    return (
        f"Readings: {one.path.name}, {header.about.bench}, {header.about.date}. "
        f"{header.about.notes or ''}"
    ).strip()


def _gains(evidence: Evidence, pair: PartComparison) -> Grid:
    rows = [_gain(evidence, gain) for gain in (*pair.ports, pair.whole)]
    flow = unit(evidence.shown.flow)
    return Grid(
        f"Measured gain of {pair.rows.other}, base {pair.rows.base}",
        ("port", f"base {flow}", f"other {flow}", "gain %", "95 %", "remounts", "verdict"),
        tuple(rows),
        words=True,
        last_is_sum=True,
    )


def _gain(evidence: Evidence, gain: Gain) -> tuple[str, ...]:
    shown = evidence.shown
    return (
        gain.port,
        f"{shown.of_flow(gain.base_flow):.1f}",
        f"{shown.of_flow(gain.other_flow):.1f}",
        signed(gain.gain),
        between(*gain.band),
        f"{min(gain.remounts)}",
        gain.verdict,
    )


def _gaps(evidence: Evidence, comparison: Comparison) -> Grid:
    shown = evidence.shown
    return Grid(
        f"{comparison.design.name}: measured less predicted, base the prediction",
        (
            "port", f"measured {unit(shown.flow)}", "±U %", f"predicted {unit(shown.flow)}",
            "±U %", "off %", "off, in sigma",
        ),
        tuple(
            (
                gap.port,
                f"{shown.of_flow(gap.measured):.1f}",
                f"{200 * gap.u_measured:.1f}",
                f"{shown.of_flow(gap.predicted):.1f}",
                f"{200 * gap.u_predicted:.1f}",
                signed(gap.measured / gap.predicted - 1.0),
                f"{gap.ratio:+.1f}",
            )
            for gap in comparison.ports
        ),
    )  # fmt: skip


def _sayings(comparison: Comparison, verdict: Verdict) -> list[Block]:
    head, *further = judgement_sentences(verdict)
    told = (*further, *(f"{line[:1].upper()}{line[1:]}." for line in apart_sentences(comparison)))
    return [Words(head), *([Points(told)] if told else [])]
