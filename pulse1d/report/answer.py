"""What was found, first of all: every percentage with its base and its band."""

from __future__ import annotations

from math import isfinite
from statistics import fmean

from pulse1d.compare.against import Comparison
from pulse1d.compare.parts import PartComparison
from pulse1d.compare.parts_record import name_of
from pulse1d.plots.look import unit
from pulse1d.report.blocks import Block, Figure, Figures, Points, Section, Words
from pulse1d.report.evidence import Evidence, Readings
from pulse1d.report.words import banded, flow, pressure, signed
from pulse1d.run.bench import BenchResult
from pulse1d.run.cycle_summary import differences
from pulse1d.run.life_words import band_text, first_to_crack
from pulse1d.run.record import gains


def answer(evidence: Evidence) -> Section:
    """The headline: sentences, and the numbers to be read first.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section   [-]
    """
    figures = [
        *(_predicted(evidence, o) for o in evidence.bench[1:] if gains(evidence.bench[0], o)),
        *(_measured(pair, one) for one in evidence.readings for pair in one.pairs),
        *_engine(evidence),
    ]
    if len(evidence.designs) == 1:
        figures = [_alone(evidence), *figures]
    blocks: list[Block] = [Words(_lead(evidence), "lead"), Figures(tuple(figures))]
    more = [
        *_said_by_readings(evidence),
        *_said_by_bench(evidence),
        *_said_by_engine(evidence),
        *_said_by_life(evidence),
    ]
    if more:
        blocks.append(Points(tuple(more)))
    return Section("answer", "The answer", tuple(blocks))


def _lead(evidence: Evidence) -> str:
    base = evidence.bench[0]
    bench, shown = base.setup.bench, evidence.shown
    test = f"at {pressure(bench.depression, shown)} {bench.direction} at the {bench.fixed_end}"
    if len(evidence.bench) == 1:
        mean = flow(fmean(abs(m) for m in base.mdot), base, shown)
        return (
            f"{base.design.name} is predicted to flow {mean} {unit(shown.flow)} a port {test}, "
            f"with {100 * base.spread:.1f} % between its best and its worst port."
        )
    told = []
    for other in evidence.bench[1:]:
        rows = gains(base, other)
        if not rows:
            told.append(f"{other.design.name} has no port in common with {base.design.name}")
            continue
        _, gain, band = rows[-1]
        if band is not None and band.p5 <= 0.0 <= band.p95:
            told.append(
                f"{other.design.name} and {base.design.name} cannot be told apart by prediction "
                f"({banded(band)} %)"
            )
            continue
        word = "more" if gain > 0.0 else "less"
        sure = f" ({banded(band)} %)" if band is not None else ""
        told.append(f"{other.design.name} flows {100 * abs(gain):.1f} % {word}{sure}")
    return (
        f"Predicted {test}, mean of the ports: {'; '.join(told)}. Base of every percentage on this "
        f"page: {base.design.name}."
    )


def _alone(evidence: Evidence) -> Figure:
    base, shown = evidence.bench[0], evidence.shown
    mean = fmean(abs(m) for m in base.mdot)
    return Figure(
        f"{base.design.name}: flow of a port, predicted",
        f"{flow(mean, base, shown)} {unit(shown.flow)}",
        f"mean of {len(base.ports)}; evenness {100 * base.spread:.1f} %",
    )


def _predicted(evidence: Evidence, other: BenchResult) -> Figure:
    _, gain, band = gains(evidence.bench[0], other)[-1]
    beneath = f"{banded(band)} %, 5–95 %" if band is not None else "no band was asked for"
    return Figure(
        f"{other.design.name}: bench flow, predicted",
        f"{signed(gain)} %",
        f"{beneath}; base {evidence.base.name}",
    )


def _measured(pair: PartComparison, readings: Readings) -> Figure:
    whole, rows = pair.whole, pair.rows
    other, base = name_of(pair, rows.other), name_of(pair, rows.base)
    if whole.verdict == "not shown":
        value = "not shown"
        beneath = f"±{100 * whole.U:.1f} % at 95 %"
    else:
        value, beneath = f"{signed(whole.gain)} %", f"±{100 * whole.U:.1f} points at 95 %"
    doubts = [
        verdict.named[0].what
        for comparison, verdict in readings.against
        if comparison.means.part in (rows.base, rows.other)
        if not verdict.explained and verdict.named
    ]
    doubt = f". In doubt: {'; '.join(doubts)}" if doubts else ""
    return Figure(
        f"{other}: bench flow, measured",
        value,
        f"{beneath}, {min(whole.remounts)} remounts; base {base}{doubt}",
    )


def _engine(evidence: Evidence) -> list[Figure]:
    if evidence.cycles is None:
        return []
    found = []
    setting, sweeps = evidence.cycles.groups[0]
    if sweeps[0].design is not evidence.base:
        return []
    for other in sweeps[1:]:
        rows = [r for r in differences(sweeps[0].summaries, other.summaries) if r.converged]
        rows = [row for row in rows if isfinite(row.torque_share)]  # the base's torque is above 0
        if not rows:
            continue
        value = fmean(row.torque for row in rows)
        share = fmean(row.torque_share for row in rows)
        where = f", {setting.label}" if setting.label else ""
        found.append(
            Figure(
                f"{other.design.name}: torque, predicted{where}",
                f"{value:+.2f} N m",
                f"{signed(share, 2)} %, mean of {len(rows)} speeds; base {evidence.base.name}",
            )
        )
    return found


def _said_by_readings(evidence: Evidence) -> list[str]:
    said = []
    for one in evidence.readings:
        for comparison, verdict in one.against:
            name = comparison.design.name
            if verdict.explained:
                said.append(
                    f"{name}: readings and prediction agree within what both leave open, "
                    f"{signed(min(_off(comparison)))} to {signed(max(_off(comparison)))} % apart."
                )
            else:
                likeliest = f"; likeliest, {verdict.named[0].what}" if verdict.named else ""
                said.append(
                    f"{name}: no sensible set of coefficients explains its readings{likeliest}. "
                    "Settle that before a gain is claimed from them."
                )
    return said


def _off(comparison: Comparison) -> list[float]:
    return [gap.measured / gap.predicted - 1.0 for gap in comparison.ports]


def _said_by_bench(evidence: Evidence) -> list[str]:
    return [
        f"{result.design.name}: {100 * result.spread:.1f} % between its best and its worst port, "
        f"of their mean; most of the depression of port {result.ports[0].answer.port} goes into "
        f"{_dearest(result)}."
        for result in evidence.bench
    ]


def _dearest(result: BenchResult) -> str:
    budget = result.ports[0].answer.budget
    total = sum(entry.loss_pa for entry in budget)
    entry = max(budget, key=lambda entry: entry.loss_pa)
    return f"{entry.element} ({100 * entry.loss_pa / total:.0f} %)"


def _said_by_engine(evidence: Evidence) -> list[str]:
    cycles = evidence.cycles
    if cycles is None or len(cycles.groups[0][1]) < 2:
        return []
    base, *others = cycles.groups[0][1]
    said = []
    for other in others:
        rows = [r for r in differences(base.summaries, other.summaries) if r.converged]
        if rows:
            low, high = (f([100 * r.residual for r in rows]) for f in (min, max))
            said.append(
                f"{other.design.name} against {base.design.name} on the engine: residual gas "
                f"{low:+.2f} to {high:+.2f} points, over {rows[0].rev_per_min:g} to "
                f"{rows[-1].rev_per_min:g} rev/min."
            )
    return said


def _said_by_life(evidence: Evidence) -> list[str]:
    ranked = first_to_crack(evidence.life)
    if not ranked:
        return []
    told = "; ".join(
        f"{r.design.name} at {r.places[0].place.name} ({band_text(r.places[0])} full starts)"
        for r in ranked
    )
    first = "Screened, the first to crack named first: " if len(ranked) > 1 else "Screened: "
    return [f"{first}{told}. A ranking, never a certificate."]
