"""A reduced session of bench readings as text for a terminal of 80 columns."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

from pulse1d import units
from pulse1d.case.document import row_ranges
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.measure.exponent import Exponent
from pulse1d.measure.reduce import Reduced, Reduction
from pulse1d.measure.spec import SetUp
from pulse1d.run.session import At, PortMean, Sampled

ROWS = (
    Column("no.", 4),
    Column("part", 8, left=True),
    Column("port", 4, left=True),
    Column("mount", 5),
    Column("inH2O", 5),
    Column("kg/h", 6),
    Column("actual", 6),
    Column("ref.", 6),
    Column("stated", 6),
    Column("mm2", 5),
    Column("", 3, left=True),
)
MEANS = (
    Column("part", 14, left=True),
    Column("port", 6, left=True),
    Column("rows", 4),
    Column("mounts", 6),
    Column("CFM", 7),
    Column("kg/h", 7),
    Column("CdA mm2", 7),
    Column("u %", 5),
    Column("U %", 5),
)
EXPONENTS = (
    Column("part", 14, left=True),
    Column("port", 6, left=True),
    Column("n", 6),
    Column("u", 6),
    Column("licence", 38, left=True),
)
AT = (
    Column("part", 14, left=True),
    Column("port", 6, left=True),
    Column("CFM", 7),
    Column("U %", 5),
    Column("", 36, left=True),
)
BUDGET = (
    Column("cause", 40, left=True),
    Column("u %", 8),
    Column("share %", 8),
)
_NUMBER = re.compile(r"[-+]?[0-9]+(?:\.[0-9]+)?(?:e[-+]?[0-9]+)?")
"""Numbers in a warning: rows whose warnings differ by them alone share a letter."""
SMALL = 0.01
"""Of the combined uncertainty: causes below it add 0.005 % of it or less, and are summed up."""
FEW = 10.0
"""Effective degrees of freedom below which k = 2 covers clearly less than 95 % (t = 2.23 at 10)."""


def cfm(flow: float) -> float:
    """Volume flow in the trade's unit.

    Parameters
    ----------
    flow : float   [m^3/s]
    Returns
    -------
    flow : float   [CFM]
    """
    return units.to(flow, "CFM", "volume flow")


def inches(pressure: float) -> float:
    """Pressure in the trade's unit.

    Parameters
    ----------
    pressure : float   [Pa]
    Returns
    -------
    pressure : float   [inH2O]
    """
    return units.to(pressure, "inH2O", "pressure")


def report(reduction: Reduction, means: Sequence[PortMean]) -> str:
    """Set-up, rows and means of a session, with its notes.

    Parameters
    ----------
    reduction : Reduction   [SI]
    means : sequence of PortMean   [SI]
    Returns
    -------
    text : str   [-]
    """
    parts = [set_up_text(reduction), rows_table(reduction), means_table(reduction, means)]
    return "\n\n".join(part for part in [*parts, notes_text(reduction)] if part)


def set_up_text(reduction: Reduction) -> str:
    """How the parts stood on the bench, and the state that volume flow is stated at.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   [-]
    """
    header = reduction.session.header
    about, set_up, reference = header.about, header.set_up, header.reference
    who = f", {about.operator}" if about.operator else ""
    title = f"{reduction.session.name}: {about.bench}, {about.date.isoformat()}{who}"
    text = (
        f"{inches(set_up.test_pressure):.4g} inH2O ({set_up.test_pressure / 1e3:.4g} kPa), "
        f"{set_up.direction} at the {set_up.fixed_end}, flow {_way(set_up)}, other ports "
        f"{set_up.other_ports}; adapter {set_up.adapter.shape}{_edge(set_up)}, {_gasket(set_up)}, "
        f"outlet stub {set_up.outlet_stub}. Reference: {reference.pressure / 1e3:.6g} kPa, "
        f"{reference.temperature - 273.15:.4g} degC, {100 * reference.humidity:.3g} % RH."
    )
    notes = [paragraph(about.notes, 0)] if about.notes else []
    return "\n".join([paragraph(title, 0), *notes, paragraph(text, 0)])


def _way(set_up: SetUp) -> str:
    forward = (set_up.fixed_end == "port") == (set_up.direction == "blown")
    return "port to outlet" if forward else "reverse"


def _edge(set_up: SetUp) -> str:
    radius = set_up.adapter.edge_radius
    return "" if radius is None else f" with edge radius {1e3 * radius:.4g} mm"


def _gasket(set_up: SetUp) -> str:
    return "no gasket" if set_up.gasket is None else f"gasket {1e3 * set_up.gasket:.4g} mm"


def rows_table(reduction: Reduction) -> str:
    """Every reading of a part.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   [-]
    """
    marks: dict[tuple[str, str], list[int]] = {}
    texts: dict[tuple[str, str], list[str]] = {}
    lines = []
    for row in reduction.rows:
        kinds = [(row.reading.meter, _NUMBER.sub("#", text)) for text in row.warnings]
        for kind, text in zip(kinds, row.warnings, strict=True):
            texts.setdefault(kind, []).append(text)
            marks.setdefault(kind, []).append(row.reading.order)
        letters = list(marks)
        lines.append(_row(row, " ".join(_letter(letters.index(kind)) for kind in kinds)))
    stated = inches(reduction.session.header.set_up.test_pressure)
    legend = (
        "CFM actual: at the state in front of the part; ref.: mass flow over the reference "
        f"density; stated: what it would pass at {stated:.4g} inH2O from reference air. mm2: CdA."
    )
    told = [
        paragraph(f"{_letter(k)} (no. {row_ranges(orders)}): {spanned(texts[kind])}")
        for k, (kind, orders) in enumerate(marks.items())
    ]
    return "\n".join(["readings", table(ROWS, lines), paragraph(legend), *told])


def spanned(texts: Sequence[str]) -> str:
    """Texts that differ by their numbers alone as one, with least and most of each number.

    Parameters
    ----------
    texts : sequence of str   Alike but for numbers [-]
    Returns
    -------
    text : str   Such as "reads 22 to 29 % of its full scale" [-]
    """
    columns = zip(*(_NUMBER.findall(text) for text in texts), strict=True)
    spans = (
        one[0] if len(set(one)) == 1 else f"{min(one, key=float)} to {max(one, key=float)}"
        for one in columns
    )
    return _NUMBER.sub(lambda _: next(spans), texts[0])


def percent(share: float) -> str:
    """A share in five characters at the most.

    Parameters
    ----------
    share : float   [-]
    Returns
    -------
    text : str   [%]
    """
    value = 100.0 * share
    if value >= 99999.5:
        return ">1e5"
    return (
        f"{value:.2f}" if value < 99.995 else f"{value:.1f}" if value < 999.95 else f"{value:.0f}"
    )


def _row(row: Reduced, signs: str) -> tuple[str, ...]:
    reading = row.reading
    return (
        f"{reading.order}",
        shorten(reading.part, 8),
        shorten(reading.port, 4),
        f"{reading.remount}",
        f"{inches(reading.test_pressure):.2f}",
        f"{3600 * row.mdot:.1f}",
        f"{cfm(row.q_actual):.1f}",
        f"{cfm(row.q_standard):.1f}",
        f"{cfm(row.flow):.1f}",
        f"{1e6 * row.cda:.0f}",
        signs,
    )


def _letter(count: int) -> str:
    """a, b ... z, aa, ab ..."""
    first, last = divmod(count, 26)
    return (chr(96 + first) if first else "") + chr(97 + last)


def means_table(reduction: Reduction, means: Sequence[PortMean]) -> str:
    """Mean of every part and port with its uncertainty.

    Parameters
    ----------
    reduction : Reduction   [SI]
    means : sequence of PortMean   [SI]
    Returns
    -------
    text : str   Empty when nothing was read at the stated test pressure [-]
    """
    if not means:
        return ""
    stated = inches(reduction.session.header.set_up.test_pressure)
    rows = [
        (
            shorten(mean.part, 14),
            shorten(mean.port, 6),
            f"{len(mean.rows)}",
            f"{mean.mounts}",
            f"{cfm(mean.flow):.1f}",
            f"{3600 * mean.mdot:.1f}",
            f"{1e6 * mean.cda:.0f}",
            percent(mean.u),
            percent(2 * mean.u),
        )
        for mean in means
    ]
    notes = [
        "u: combined standard uncertainty of the mean; U = 2 u. Both hold for the flow itself: "
        "between two parts of one session most of it cancels."
    ]
    once = [f"{mean.part} port {mean.port}" for mean in means if mean.mounts == 1]
    if once:
        notes.append(f"mounted once, so what a remount changes is not in u: {', '.join(once)}")
    few = [mean for mean in means if mean.freedom < FEW]
    if few:
        names = ", ".join(
            f"{mean.part} port {mean.port} ({math.floor(mean.freedom)})" for mean in few
        )
        notes.append(
            f"few effective degrees of freedom, so 2 u covers less than 95 %; remount more: {names}"
        )
    title = f"mean flow at {stated:.4g} inH2O from reference air"
    return "\n".join([title, table(MEANS, rows), *(paragraph(note) for note in notes)])


def notes_text(reduction: Reduction) -> str:
    """Leaks, drift of the bench, and what else the reduction has to say.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   Empty when there is nothing [-]
    """
    notes = []
    if reduction.leak:
        leaks = [
            f"{part} port {port} {3600 * mdot:.3g} kg/h"
            for (part, port), mdot in reduction.leak.items()
        ]
        notes.append(f"leak at the stated test pressure, subtracted: {', '.join(leaks)}")
    if reduction.drift:
        checks = [f"no. {order} {100 * (ratio - 1.0):+.2f} %" for order, ratio in reduction.drift]
        notes.append(f"check plate, bench against what it should read: {', '.join(checks)}")
    return "\n".join(paragraph(f"note: {note}") for note in [*notes, *reduction.notes])


def exponents_text(exponents: Mapping[tuple[str, str], Exponent]) -> str:
    """How flow grows with test pressure, where several were read.

    Parameters
    ----------
    exponents : mapping   (part, port) to Exponent [-]
    Returns
    -------
    text : str   Empty when there are none [-]
    """
    if not exponents:
        return ""
    rows = [
        (
            shorten(part, 14),
            shorten(port, 6),
            f"{found.n:.3f}",
            f"{found.u_n:.3f}",
            ("yes: " if found.licensed else "no: ") + found.reason,
        )
        for (part, port), found in exponents.items()
    ]
    title = "Q = K dP^n over the pressures read, compressibility taken out"
    return f"{title}\n{table(EXPONENTS, rows)}"


def at_text(found: Sequence[At]) -> str:
    """Mean flows at another test pressure, or why they are not stated.

    Parameters
    ----------
    found : sequence of At   At least one [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = [
        (
            shorten(item.mean.part, 14),
            shorten(item.mean.port, 6),
            f"{cfm(item.converted.flow):.1f}" if item.converted else "refused",
            percent(2 * item.u) if item.converted else "",
            item.converted.how if item.converted else "",
        )
        for item in found
    ]
    refusals: dict[str, list[str]] = {}
    for item in found:
        if item.refusal:
            names = refusals.setdefault(item.refusal, [])
            names.append(f"{item.mean.part} port {item.mean.port}")
    told = [paragraph(f"refused ({', '.join(names)}): {text}") for text, names in refusals.items()]
    title = f"mean flow converted to {inches(found[0].pressure):.4g} inH2O, reference air"
    return "\n".join([title, table(AT, rows), *told])


def budget_text(mean: PortMean, check: Sampled | None) -> str:
    """The uncertainty budget of one mean flow.

    Parameters
    ----------
    mean : PortMean   [SI]
    check : Sampled or None   Monte Carlo beside it [-]
    Returns
    -------
    text : str   [-]
    """
    rows = [
        (shorten(name, 40), f"{100 * u:.3f}", f"{100 * (u / mean.u) ** 2:.1f}")
        for name, u in mean.lines
        if u >= SMALL * mean.u
    ]
    rest = [u for _, u in mean.lines if u < SMALL * mean.u]
    if rest:
        u = math.hypot(*rest)
        rows.append(
            (f"{len(rest)} smaller ones", f"{100 * u:.3f}", f"{100 * (u / mean.u) ** 2:.1f}")
        )
    rows.append(("combined", f"{100 * mean.u:.3f}", "100.0"))
    rows.append(("expanded, k = 2", f"{200 * mean.u:.3f}", ""))
    title = f"{mean.part} port {mean.port}: budget of its mean flow, relative (JCGM 100)"
    lines = [title, table(BUDGET, rows)]
    if check is not None:
        lines.append(
            paragraph(
                f"Monte Carlo (JCGM 101), {check.samples} samples, scatter apart: u "
                f"{100 * check.u:.3f} %, 95 % of them {100 * math.expm1(check.low):+.2f} to "
                f"{100 * math.expm1(check.high):+.2f} %; the budget's u of the same causes "
                f"{100 * check.u_budget:.3f} %"
            )
        )
    return "\n".join(lines)
