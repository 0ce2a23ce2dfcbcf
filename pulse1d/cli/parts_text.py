"""The comparison of two parts as text for a terminal of 80 columns."""

from __future__ import annotations

from pulse1d import units
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.compare.parts import CHANCES, Gain, PartComparison
from pulse1d.compare.parts_record import name_of
from pulse1d.compare.repeats import MOST, repeats_needed

GAINS = (
    Column("port", 5, left=True),
    Column("base CFM", 8),
    Column("other CFM", 9),
    Column("gain %", 6),
    Column("+-U", 5),
    Column("n", 4),
    Column("p", 6),
    Column("verdict", 9, left=True),
    Column("more n", 8),
)
RESOLVE = 0.01
"""Difference that the closing line plans for [-]."""
LEAST = 1.960 + 0.842
"""Standard uncertainties that a difference needs to be shown four times in five [-]: quantiles of
the normal distribution at 0.975 and 0.8."""


def report(comparison: PartComparison) -> str:
    """Everything ``pulse1d parts`` prints.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = comparison.rows
    parts = [
        *(paragraph(f"CAUTION: {caution}", 0) for caution in comparison.cautions),
        test_line(comparison),
        f"base:  {part_line(comparison, rows.base)}\nother: {part_line(comparison, rows.other)}",
        table(GAINS, [_row(gain) for gain in (*comparison.ports, comparison.whole)]),
        paragraph(_legend(comparison), 2),
        paragraph(in_words(comparison), 0),
        evenness_lines(comparison),
        "\n".join(paragraph(f"note: {note}") for note in comparison.notes),
        budget_line(comparison),
        plan_line(comparison),
    ]
    return "\n\n".join(part for part in parts if part)


def test_line(comparison: PartComparison) -> str:
    """Benches, dates and the test in one paragraph.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    Returns
    -------
    text : str   [-]
    """
    first = comparison.rows.sessions[0].header
    days = dict.fromkeys(
        f"{s.header.about.bench}, {s.header.about.date}" for s in comparison.rows.sessions
    )
    test, air = first.set_up, first.reference
    return paragraph(
        f"{'; '.join(days)}: {units.to(test.test_pressure, 'inH2O', 'pressure'):.4g} inH2O "
        f"({test.test_pressure / 1e3:.4g} kPa), {test.direction} at the {test.fixed_end}, ports "
        f"one at a time, others {test.other_ports}. CFM at {air.pressure / 1e3:.6g} kPa, "
        f"{air.temperature - 273.15:.4g} degC, {100 * air.humidity:.3g} % RH.",
        0,
    )


def part_line(comparison: PartComparison, part: str) -> str:
    """Key, name and serial numbers of a part.

    Parameters
    ----------
    comparison : PartComparison   [-]
    part : str   Its key [-]
    Returns
    -------
    text : str   [-]
    """
    parts = [s.header.parts[part] for s in comparison.rows.sessions if part in s.header.parts]
    serials = [serial for serial in dict.fromkeys(p.serial for p in parts) if serial]
    text = f"{part}, {name_of(comparison, part)}"
    return shorten(text + (f", serial {', '.join(serials)}" if serials else ""), 72)


def _row(gain: Gain) -> tuple[str, ...]:
    n = dict.fromkeys(gain.remounts) if gain.paired else gain.remounts
    whole = gain.port == "whole part"
    return (
        shorten("whole" if whole else gain.port, 5),
        f"{_cfm(gain.base_flow):.1f}",
        f"{_cfm(gain.other_flow):.1f}",
        f"{100 * gain.gain:+.1f}",
        f"{100 * gain.U:.1f}",
        "/".join(f"{count}" for count in n),
        chance(gain.p_holm),
        gain.verdict,
        _more(gain),
    )


def chance(p: float) -> str:
    """A chance in six characters.

    Parameters
    ----------
    p : float   0 .. 1 [-]
    Returns
    -------
    text : str   [-]
    """
    return "<.0001" if p < 1e-4 else f"{p:.4f}"


def _more(gain: Gain) -> str:
    """Further remounts at either power, for a difference that is not shown."""
    if gain.verdict != "not shown":
        return "-"
    needed = [gain.needed(power) for power in CHANCES]
    if needed[0] is None:
        return "none do"
    have = min(gain.remounts)
    return "/".join(f">{MOST}" if n is None else f"{max(n - have, 1)}" for n in needed)


def _cfm(flow: float) -> float:
    return units.to(flow, "CFM", "volume flow")


def _legend(comparison: PartComparison) -> str:
    paired = [gain.paired for gain in comparison.ports]
    n = "remounted pairs" if all(paired) else "remounts of base/other, or remounted pairs"
    return (
        f"gain: flow of {comparison.rows.other} relative to {comparison.rows.base} (the base) at "
        f"equal test pressure; +-U: points at 95 %; n: {n}; p: chance of such a difference "
        "between equal parts, over ports by Holm's rule, whole part by itself; more n: further "
        "pairs that would show the difference seen, were it real, with power 0.8/0.9; none do: "
        "what remounting cannot lower is too large for it."
    )


def in_words(comparison: PartComparison) -> str:
    """Gain, its mirror and the loss at equal flow: one fact in three numbers, each with its base.

    Parameters
    ----------
    comparison : PartComparison   [-]
    Returns
    -------
    text : str   [-]
    """
    whole, base, other = comparison.whole, comparison.rows.base, comparison.rows.other
    if whole.verdict == "not shown":
        return (
            f"Whole part: no difference shown between {base} and {other} at +-{_points(whole)} %."
        )
    more, less = ("more", "less") if whole.gain > 0.0 else ("less", "more")
    text = (
        f"Whole part: {other} flows {100 * abs(whole.gain):.1f} % {more} than {base} (+-"
        f"{_points(whole)} points at 95 %, base {base}). The same fact from the other side: {base} "
        f"flows {100 * abs(whole.mirror):.1f} % {less} than {other} (base {other}). At equal flow "
        f"{other} loses {100 * abs(whole.less_loss):.0f} % {less} pressure: "
        f"1/{1.0 + whole.gain:.3f}^2 = {1.0 - whole.less_loss:.2f} of the base's."
    )
    if len(comparison.ports) > 1:
        text += (
            " The whole is the ratio of summed flows; the average of the ports' gains is another "
            f"quantity, {100 * comparison.mean_gain:+.1f} %."
        )
    return text


def _points(gain: Gain) -> str:
    return f"{100 * gain.U:.1f}"


def evenness_lines(comparison: PartComparison) -> str:
    """How evenly each part serves its ports.

    Parameters
    ----------
    comparison : PartComparison   [-]
    Returns
    -------
    text : str   Empty with one port [-]
    """
    if len(comparison.ports) < 2:
        return ""
    lines = []
    for part in (comparison.rows.base, comparison.rows.other):
        spread, varies = comparison.evenness(part)
        lines.append(
            f"  evenness of {part}: (max - min)/mean {100 * spread:.1f} %, coefficient of "
            f"variation {100 * varies:.1f} %"
        )
    return "\n".join(lines)


def budget_line(comparison: PartComparison, count: int = 4) -> str:
    """What the uncertainty of the whole part's ratio is made of.

    Parameters
    ----------
    comparison : PartComparison   [-]
    count : int   Causes to name [-]
    Returns
    -------
    text : str   [-]
    """
    whole = comparison.whole
    named = [f"{name} {100 * u:.2f}" for name, u in whole.causes[:count]]
    freedom = f"{whole.free:.0f}" if whole.free < 1000.0 else "endless"
    text = (
        f"standard uncertainty of the whole part's ratio {100 * whole.u:.2f} %, {freedom} degrees "
        f"of freedom: remounting {100 * whole.u_random:.2f}, the rest "
        f"{100 * whole.u_systematic:.2f}"
    )
    return paragraph(text + (f" (largest: {', '.join(named)})" if named else ""))


def plan_line(comparison: PartComparison) -> str:
    """Remounts that one port needs to show a difference worth having.

    Parameters
    ----------
    comparison : PartComparison   [-]
    Returns
    -------
    text : str   [-]
    """
    port = max(comparison.ports, key=lambda gain: gain.s)
    kind = "pairs" if port.paired else "remounts of each part"
    counts = [
        repeats_needed(RESOLVE, port.s, power, paired=port.paired, floor=port.floor)
        for power in CHANCES
    ]
    text = f"to show {100 * RESOLVE:.0f} % on one port with this scatter ({100 * port.s:.2f} % a "
    text += "pair): " if port.paired else "remount): "
    shown = [
        f"{n} {kind} at power {power:g}" for n, power in zip(counts, CHANCES, strict=True) if n
    ]
    text += " and ".join(shown) or "no number of them"
    if len(shown) < len(CHANCES):
        least = LEAST * port.floor
        text += (
            f"; remounting cannot lower {100 * port.floor:.2f} % of standard uncertainty ("
            f"{', '.join(name for name, _ in port.causes[:2])}), which hides anything below "
            f"{100 * least:.1f} % at power {CHANCES[0]:g}"
        )
    return paragraph(text)
