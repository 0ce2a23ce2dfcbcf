"""The text of ``pulse1d life``: cautions, then designs beside each other, then each by itself."""

from __future__ import annotations

from collections.abc import Sequence

from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.durability.transient import peak_difference
from pulse1d.run.cautions import LIFE
from pulse1d.run.life import LONGER, LifeResult
from pulse1d.run.life_record import peaks
from pulse1d.run.life_words import band_text, first_to_crack

C = 273.15
MOST = 6
"""Places that are listed; the rest stand in --json."""


def report(results: Sequence[LifeResult]) -> str:
    """The whole text.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    Returns
    -------
    text : str   At most 80 columns [-]
    """
    parts = ["Cautions", *(paragraph(text) for text in LIFE)]
    if len(results) > 1:
        parts += ["", beside(results)]
    for result in results:
        parts += ["", design(result)]
    return "\n".join(parts)


def beside(results: Sequence[LifeResult]) -> str:
    """The designs beside each other, the one that cracks first on top.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    columns = [
        Column("design", 28, True), Column("strain", 7), Column("starts", 13),
        Column("worst place", 24, True),
    ]  # fmt: skip
    rows = [
        [
            shorten(r.design.name, 28),
            f"{100.0 * r.places[0].strain_range:.2f} %",
            band_text(r.places[0]),
            r.places[0].place.name,
        ]
        for r in first_to_crack(results)
    ]
    return "Ranking, the first to crack on top; full starts to a crack, low to high\n" + table(
        columns, rows
    )


def design(result: LifeResult) -> str:
    """One design: heat, places, bolts, what would help.

    Parameters
    ----------
    result : LifeResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    metals = ", ".join(f"{part} {metal.name}" for part, metal in result.metals.named.items())
    parts = [
        result.design.name,
        paragraph(f"Gas: {result.gas_origin}. Metals: {metals}."),
        *(paragraph(f"Note: {note}.") for note in result.notes),
        "", _heat(result), "", _places(result),
    ]  # fmt: skip
    if result.bolts:
        parts += ["", _bolts(result)]
    if helps := _helps(result):
        parts += ["", helps]
    return "\n".join(parts)


def _heat(result: LifeResult) -> str:
    columns = [
        Column("runner", 12, True), Column("wall", 5), Column("weld zone", 9), Column("flange", 6),
        Column("bolt", 5), Column("wall less flange", 16), Column("at", 6),
    ]  # fmt: skip
    rows = []
    for wall, flange in peaks(result):
        difference, when = peak_difference(result.heat, wall, flange)
        bolt = f"{wall} bolt"
        hot = [
            f"{float(result.heat.at(n).max()) - C:.0f}" for n in (wall, f"{wall} weld zone", flange)
        ]
        hot.append(
            f"{float(result.heat.at(bolt).max()) - C:.0f}" if bolt in result.heat.names else "-"
        )
        rows.append([shorten(wall, 12), *hot, f"{difference:.0f} K", f"{when:.0f} s"])
    return "  Hottest metal of the start [degC], and the greatest difference\n" + table(
        columns, rows
    )


def _places(result: LifeResult) -> str:
    columns = [
        Column("place", 23, True), Column("strain", 7), Column("starts", 13),
        Column("why", 28, True),
    ]  # fmt: skip
    rows = [
        [shorten(a.place.name, 23), f"{100.0 * a.strain_range:.2f} %", band_text(a), a.reason]
        for a in result.places[:MOST]
    ]
    more = len(result.places) - MOST
    text = "  Places, the first to crack on top\n" + table(columns, rows)
    return text + (f"\n  and {more} more in --json" if more > 0 else "")


def _bolts(result: LifeResult) -> str:
    columns = [
        Column("bolts of", 9, True), Column("preload", 7), Column("settled", 7), Column("hot", 6),
        Column("least", 6), Column("cold", 6), Column("", 24, True),
    ]  # fmt: skip
    rows = []
    for b in result.bolts:
        s = b.state
        forces = (s.preload, s.preload_after_embedding, s.hot, b.least, s.cold_again)
        told = "; ".join(s.notes) or "holds"
        rows.append([shorten(b.port, 9), *(f"{1e-3 * f:.1f}" for f in forces), told])
    asked = result.asked.fasteners
    count = asked.count_a_port if asked is not None else 0
    text = f"  Force of one bolt of {count} a port [kN]\n" + table(columns, rows)
    slip = result.slip
    if slip is not None:
        text += "\n" + paragraph(
            f"End stud: the flange slips {1e3 * slip.slip:.2f} mm, its hole gives "
            f"{1e3 * slip.clearance:.2f} mm; "
            + (f"the stud must follow {1e3 * slip.rest:.2f} mm and bends by "
               f"{100.0 * slip.strain:.2f} %." if slip.rest > 0.0 else "the stud need not follow.")
        )  # fmt: skip
    return text


def _helps(result: LifeResult) -> str:
    lines = []
    if result.sensitivity:
        sizes = ", ".join(
            f"{s.name} x {s.changed / s.base:.3g}: x {s.factor:.2g}" for s in result.sensitivity
        )
        lines.append(paragraph(f"Middle life of the worst place by size: {sizes}."))
    if result.longer and result.bolts:
        now, then = (
            min(b.state.cold_again for b in bolts) for bolts in (result.bolts, result.longer)
        )
        lines.append(
            paragraph(
                f"Sleeves {1e3 * LONGER:.0f} mm longer: least bolt force cold "
                f"{1e-3 * then:.1f} kN in place of {1e-3 * now:.1f} kN."
            )
        )
    return "\n".join(lines)
